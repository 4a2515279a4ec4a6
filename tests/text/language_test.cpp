// SPDX-License-Identifier: GPL-3.0-or-later
//
// The lick language, sentence by sentence. Bars are compared as short text: `2d@0+1/2` is a note at beat 0
// that lasts half a beat; `>` and `>>` stand before joined notes, `-` is a hold, `.` a rest, `,` a breath
// before.
#include <gtest/gtest.h>

#include "engine/lick/unfold.hpp"
#include "engine/text/spelling.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

std::string number(Fraction f) {
    return std::to_string(f.top()) + (f.whole() ? "" : "/" + std::to_string(f.bottom()));
}

std::string shown(const lick::Event& e) {
    std::string out = e.breath_before ? "," : "";
    if (e.kind == lick::Event::Kind::rest) out += ".";
    if (e.kind == lick::Event::Kind::hold) out += "-";
    if (e.start == lick::Start::joined) out += ">";
    if (e.start == lick::Start::glide) out += ">>";
    if (e.kind == lick::Event::Kind::note) out += to_text(e.tab);
    for (const lick::Ornament& o : e.ornaments) out += "{" + std::string{lick::word(o.gesture)} + "}";
    return out + "@" + number(e.at.value) + "+" + number(e.length.value);
}

std::string shown(const lick::Bar& bar) {
    std::string out;
    for (const lick::Event& e : bar.events) out += (out.empty() ? "" : " ") + shown(e);
    return out + (bar.breath_at_end ? " ," : "");
}

LickReading with_head(const std::string& head, const std::string& lanes) {
    return read_lick("title: T\n" + head + "\n" + lanes + "\n");
}

/// The bars of one tab lane in 4/4 on a C harp, parted by ` | `.
std::string bars(const std::string& tab, const std::string& head = "") {
    const LickReading reading = with_head(head, "tab " + tab);
    std::string out;
    for (const Diagnostic& d : reading.diagnostics) {
        if (d.level == Level::error) out += "[" + std::string{d.slug} + "] ";
    }
    for (const lick::Bar& bar : reading.lick.bars) {
        if (&bar != &reading.lick.bars.front()) out += " | ";
        out += shown(bar);
    }
    return out;
}

std::string faults(const std::string& tab, const std::string& head = "") {
    std::string out;
    for (const Diagnostic& d : with_head(head, "tab " + tab).diagnostics)
        out += (out.empty() ? "" : " ") + std::string{d.slug};
    return out;
}

std::string played(const std::string& tab) {
    std::string out;
    for (const lick::PlayedNote& n : lick::unfold(with_head("", "tab " + tab).lick).notes)
        out += (out.empty() ? "" : " ") + to_text(n.tab) + "+" + number(n.length.value);
    return out;
}

TEST(Language, a_bar_is_as_many_slots_as_the_meter_has_beats) {
    EXPECT_EQ(bars("| 4d 4b 3d 2d |"), "4d@0+1 4b@1+1 3d@2+1 2d@3+1");
    EXPECT_EQ(bars("| 4d 4b |", "meter: 6/8\n"), "4d@0+1 4b@1+1");
    EXPECT_EQ(bars("| 4d 4b 3d 2d |", "meter: 12/8\n"), "4d@0+1 4b@1+1 3d@2+1 2d@3+1");
    EXPECT_EQ(bars("| 4d 4b 3d |", "meter: 9/8\n"), "4d@0+1 4b@1+1 3d@2+1");
    EXPECT_EQ(faults("| 4d 4b 3d |"), "bar-short");
    EXPECT_EQ(faults("| 4d 4b 3d 2d 2d |"), "bar-overfull");
    EXPECT_EQ(faults("| 4d 4b 3d | 4d 4b 3d 2d | 2d |"), "bar-short bar-short") << "any short bar, last too";
}

TEST(Language, brackets_cut_one_slot_into_equal_parts_and_nest) {
    EXPECT_EQ(bars("| (2d 3d' 4b) . . . |"), "2d@0+1/3 3d'@1/3+1/3 4b@2/3+1/3 .@1+1 .@2+1 .@3+1");
    EXPECT_EQ(bars("| (2d (3d 4b)) . . . |"), "2d@0+1/2 3d@1/2+1/4 4b@3/4+1/4 .@1+1 .@2+1 .@3+1");
    EXPECT_EQ(bars("| (2d 3d 4b)/2 . . |"), "2d@0+2/3 3d@2/3+2/3 4b@4/3+2/3 .@2+1 .@3+1");
    EXPECT_EQ(bars("| ((2d 3d 4b)/2 5d) . . . |"),
              "2d@0+2/9 3d@2/9+2/9 4b@4/9+2/9 5d@2/3+1/3 .@1+1 .@2+1 .@3+1")
        << "inside a group it counts as two parts";
    EXPECT_EQ(faults("| . . . (2d 3d 4b)/2 | . . . . |"), "bar-overfull") << "never crosses a bar line";
}

TEST(Language, blow_draw_bends_and_overbends) {
    EXPECT_EQ(bars("| 4b 4d' 3d''' 5dq |"), "4b@0+1 4d'@1+1 3d'''@2+1 5dq@3+1");
    EXPECT_EQ(bars("| 6bo 7do 2d''q 3d'''q |"), "6bo@0+1 7do@1+1 2d''q@2+1 3d'''q@3+1");
    EXPECT_EQ(bars("| 2+3d 1+4d 3'+4d 3'q+4d |"), "2+3d@0+1 1+4d@1+1 3'+4d@2+1 3'q+4d@3+1");
    EXPECT_EQ(bars("| 2+3d' 2+3'd . . |"), "2+3d'@0+1 2+3d'@1+1 .@2+1 .@3+1")
        << "the mark of the last hole stands on either side of the letter";
    EXPECT_EQ(faults("| 2''+3'd . . . |"), "two-bends");
    EXPECT_EQ(faults("| 4+5bo . . . |"), "overbend-in-chord");
    EXPECT_EQ(faults("| 3dq' . . . |"), "bend-misplaced") << "q stands once, after all '";
    EXPECT_EQ(faults("| 5d' 2d''' 4d'''q 7b' |"), "bend-too-deep bend-too-deep bend-too-deep bend-too-deep");
}

TEST(Language, signs_of_word_processors_are_understood) {
    EXPECT_EQ(bars("| 3d’ 3d′′ – — |"), "3d'@0+1 3d''@1+1 -@2+1 -@3+1");
    const std::string tidy = format_lick("title: T\ntab | 3d’ 3d′′ – — |\n");
    EXPECT_EQ(tidy, "title: T\ntab | 3d' 3d'' - - |\n");
    EXPECT_EQ(faults("|\xC2\xA0"
                     "4d\t4b 3d\xE2\x80\x89"
                     "2d |"),
              "")
        << "hard and thin spaces, tabs";
    EXPECT_EQ(read_lick("\xEF\xBB\xBFtitle: T\r\ntab | 4d 4b 3d 2d |\r\n").diagnostics.size(), 0u);
}

TEST(Language, a_hold_lengthens_what_sounds_across_groups_and_bars) {
    EXPECT_EQ(played("| 4d - (- 4b) - | - - 2d . |"), "4d+5/2 4b+7/2 2d+1");
    EXPECT_EQ(bars("| . - 4d -{shake 5} |"), ".@0+1 .@1+1 4d@2+1 -{shake}@3+1") << "silent after a rest";
    EXPECT_EQ(faults("| - 4d 4d 4d |"), "hold-at-start");
    EXPECT_EQ(faults("| 4d , - 4d 4d |"), "hold-after-breath");
    EXPECT_EQ(faults("| 4d 4d 4d 4d , | - 4d 4d 4d |"), "hold-after-breath");
}

TEST(Language, a_hold_in_a_second_ending_continues_what_sounded_before_the_first) {
    EXPECT_EQ(played("|: 4d 4d 4d 4d |1 2b . . . :|2 - . . . |"),
              "4d+1 4d+1 4d+1 4d+1 2b+1 4d+1 4d+1 4d+1 4d+2");
    EXPECT_EQ(faults("|: 4d 4d 4d 4d |1 2b 2b 2b 2b :|2 >4d' . . . |"), "");
    EXPECT_EQ(faults("|: 4d 4d 4d 4d |1 2b 2b 2b 2b :|2 >4b . . . |"), "join-turns-breath");
}

TEST(Language, joined_notes_need_the_same_breath_before_them) {
    EXPECT_EQ(bars("| 4d' >4d >>2d . |"), "4d'@0+1 >4d@1+1 >>2d@2+1 .@3+1");
    EXPECT_EQ(faults("| 4d - >4d' . |"), "") << "the token before includes its holds";
    EXPECT_EQ(faults("| . >4d . . |"), "join-after-rest");
    EXPECT_EQ(faults("| 4d , >4d' . . |"), "join-after-breath");
    EXPECT_EQ(faults("| 4d >>4b . . |"), "join-turns-breath");
}

TEST(Language, again_copies_the_slot_before_it_braces_included) {
    EXPECT_EQ(bars("| (2d{slap} 3d) = 4d = | = . . . |"),
              "2d{slap}@0+1/2 3d@1/2+1/2 2d{slap}@1+1/2 3d@3/2+1/2 4d@2+1 4d@3+1 | 4d@0+1 .@1+1 .@2+1 .@3+1");
    EXPECT_EQ(faults("| = . . . |"), "again-at-start");
    EXPECT_EQ(faults("| 4d (4d =) . . |"), "again-in-group");
    EXPECT_EQ(faults("| (4d 4d 4d)/2 = . |"), "again-after-wide");
}

TEST(Language, percent_copies_the_bar_as_written) {
    EXPECT_EQ(bars("| 4d - . (2d 3d) | % | % |"),
              "4d@0+1 -@1+1 .@2+1 2d@3+1/2 3d@7/2+1/2 | 4d@0+1 -@1+1 .@2+1 2d@3+1/2 3d@7/2+1/2 | "
              "4d@0+1 -@1+1 .@2+1 2d@3+1/2 3d@7/2+1/2");
    EXPECT_EQ(bars("| 4d 4b 3d 2d | - . . . | % |"),
              "4d@0+1 4b@1+1 3d@2+1 2d@3+1 | -@0+1 .@1+1 .@2+1 .@3+1 | .@0+1 .@1+1 .@2+1 .@3+1")
        << "as written: its hold now follows a rest";
    EXPECT_EQ(faults("4d | % |"), "bar-again-pickup");
    EXPECT_EQ(faults("| 4d 4b 3d 2d | % . |"), "bar-again-not-alone");
}

TEST(Language, a_breath_takes_no_time_and_is_not_counted) {
    EXPECT_EQ(bars("| 4d , (4b , 3d) 2d , 2d , |"), "4d@0+1 ,4b@1+1/2 ,3d@3/2+1/2 2d@2+1 ,2d@3+1 ,");
}

TEST(Language, braces_are_read_before_white_space) {
    EXPECT_EQ(bars("| 4d{shake 5} 4d{from 3d'}{vibrato} . . |"),
              "4d{shake}@0+1 4d{from}{vibrato}@1+1 .@2+1 .@3+1");
    const LickReading reading = with_head("", "tab | 4d{ shake   5 } 4d{from 3d'q} . . |");
    EXPECT_EQ(reading.lick.bars[0].events[0].ornaments[0].other_hole, 5);
    EXPECT_EQ(to_text(reading.lick.bars[0].events[1].ornaments[0].from), "3d'q");
    EXPECT_EQ(faults("| 4d{from 2+3d} 4d{from 4b} . . |"), "from-note from-breath");
}

TEST(Language, a_pickup_stands_before_the_first_bar_line_and_the_last_bar_may_complete_it) {
    const LickReading reading = with_head("", "tab (. . 3d') | 2d - . . | 2d . . |");
    EXPECT_TRUE(reading.ok());
    EXPECT_TRUE(reading.lick.bars[0].pickup);
    EXPECT_EQ(reading.lick.bars[0].length, Beats{Fraction{1}});
    EXPECT_EQ(reading.lick.bars[2].length, Beats{Fraction{3}});
    EXPECT_EQ(faults("3d | 2d . . | 2d . . . |"), "bar-short") << "only the last bar may complete it";
    EXPECT_EQ(faults("3d |: 2d . . . | 2d . . :|"), "last-bar-repeated") << "repeated bars are full";
    EXPECT_EQ(faults("3d 3d 3d 3d | 2d . . . |"), "pickup-full");
}

TEST(Language, a_lanes_name_again_continues_the_phrase) {
    const std::string expected = "4d@0+1 4b@1+1 3d@2+1 2d@3+1 | 2d@0+1 .@1+1 .@2+1 .@3+1";
    EXPECT_EQ(bars("| 4d 4b 3d 2d |\ntab | 2d . . . |"), expected) << "the same bar line";
    EXPECT_EQ(bars("| 4d 4b 3d 2d\ntab | 2d . . . |"), expected);
    EXPECT_EQ(bars("| 4d 4b 3d 2d |\ntab 2d . . . |"), expected) << "a pickup only at the lane's start";
    EXPECT_EQ(bars("| 4d 4b\ntab 3d 2d | 2d . . . |"), expected) << "a bar may run on";
}

TEST(Language, an_endings_number_touches_its_bar_line_and_white_space_follows) {
    const LickReading reading = with_head("", "tab |: 4d 4b 3d 2d |1 1d . . . :|2 1b . . . |");
    EXPECT_TRUE(reading.ok());
    EXPECT_EQ(reading.lick.bars[1].ending, 1);
    EXPECT_EQ(reading.lick.bars[2].ending, 2);
    EXPECT_TRUE(reading.lick.bars[1].closes_repeat);
    EXPECT_EQ(bars("|1d . . . |"), "1d@0+1 .@1+1 .@2+1 .@3+1");
    EXPECT_EQ(bars("| 1d . . . |"), "1d@0+1 .@1+1 .@2+1 .@3+1");
}

TEST(Language, a_closing_sign_without_an_opening_one_goes_back_to_the_first_full_bar) {
    EXPECT_EQ(played("4b | 4d . . . :| 2d . . . |"), "4b+1 4d+1 4d+1 2d+1");
    EXPECT_EQ(played("|: 4d . . . :|: 2d . . . :|"), "4d+1 4d+1 2d+1 2d+1");
}

TEST(Language, chords_fill_their_bar_or_take_a_slot_each) {
    const LickReading r = with_head("", "chords | G7 | D7 - . F#7 | % |\ntab | 4d 4d 4d 4d | % | % |");
    EXPECT_TRUE(r.ok());
    ASSERT_EQ(r.lick.bars[0].chords.size(), 1u);
    EXPECT_EQ(r.lick.bars[0].chords[0].length, Beats{Fraction{4}});
    ASSERT_EQ(r.lick.bars[1].chords.size(), 3u);
    EXPECT_EQ(r.lick.bars[1].chords[0].length, Beats{Fraction{2}});
    EXPECT_EQ(r.lick.bars[1].chords[1].symbol, "");
    EXPECT_EQ(r.lick.bars[1].chords[2].symbol, "F#7") << "a # inside a word is no comment";
    EXPECT_EQ(r.lick.bars[2].chords.size(), 3u);
}

TEST(Language, a_comment_stands_at_a_lines_start_or_between_white_space) {
    const std::string text = "# about\ntitle: Lick #9  # the ninth\n\n#tight\ntab | 4d 4b 3d 2d |  # slow\n";
    const LickReading reading = read_lick(text);
    EXPECT_EQ(reading.diagnostics.size(), 0u);
    EXPECT_EQ(reading.lick.head.title, "Lick #9");
    EXPECT_EQ(format_lick(text), text);
}

TEST(Language, the_head) {
    const LickReading r = with_head(
        "harp: low D\nposition: 3rd\nmeter: 5/4\ntempo: 92.5\nfeel: shuffle\ntags: slow, two words\n"
        "more: https://example.org/a\nmore: https://example.org/b\ncredit: our own\na4: 442\n"
        "tuning: 5d+1 3b+2\nladder: 46 92.5\nrepeats: 3\nclick: count-in\nformats: flac ogg\n",
        "tab | 4d 4b 3d 2d . |");
    ASSERT_TRUE(r.ok());
    const lick::Head& h = r.lick.head;
    EXPECT_EQ(harp::name(h.harp), "low D");
    EXPECT_EQ(h.position, 3);
    EXPECT_EQ(h.tempo.value, 92.5);
    EXPECT_EQ(h.feel.ratio, Fraction{2}) << "shuffle is read as swing";
    EXPECT_EQ(h.tags, (std::vector<std::string>{"slow", "two words"}));
    EXPECT_EQ(h.more.size(), 2u);
    EXPECT_EQ(h.harp.a4.value, 442.0);
    EXPECT_EQ(h.harp.tuning.name, "3b+2 5d+1") << "in the order of the reeds";
    EXPECT_EQ(r.clips.ladder_percent, (std::vector<int>{50, 100}));
    EXPECT_EQ(r.clips.repeats, 3);
    EXPECT_FALSE(r.clips.click_through);
    EXPECT_EQ(r.clips.formats, (std::vector<std::string>{"flac", "ogg"}));
}

TEST(Language, tidying_aligns_the_bars_of_the_lanes) {
    EXPECT_EQ(format_lick("TITLE:  T\n\n\n\nchords D7 |: G7 :|\ntab   4d|:4d,(4b   3d)2d{ fall } . :|\n\n"),
              "title: T\n\n"
              "chords D7 |: G7                      :|\n"
              "tab    4d |: 4d , (4b 3d) 2d{fall} . :|\n");
}

TEST(Language, reading_never_stops_at_the_first_fault) {
    EXPECT_EQ(faults("| 11d 4x 3d'''' . | 4d | 4d{dop} . . . |"),
              "no-such-hole token-unknown bend-too-deep bar-short gesture-unknown");
}

TEST(Language, a_chord_may_be_held_over_the_bar_line) {
    const LickReading r = with_head("", "chords | . - G7 - | - - D7 = |\ntab | 4d 4d 4d 4d | % |");
    ASSERT_TRUE(r.ok());
    ASSERT_EQ(r.lick.bars[1].chords.size(), 3u);
    EXPECT_EQ(r.lick.bars[1].chords[0].symbol, "G7");
    EXPECT_EQ(r.lick.bars[1].chords[0].length, Beats{Fraction{2}});
    EXPECT_EQ(r.lick.bars[1].chords[2].symbol, "D7") << "= strikes it again";
}

TEST(Language, a_slide_is_far_when_more_than_three_holes_lie_on_its_way) {
    EXPECT_EQ(faults("| 2d >5d >>8d >5d |"), "");
    EXPECT_EQ(faults("| 2d >6d >>10d >6d |"), "far-slide far-slide far-slide");
    EXPECT_EQ(faults("| 2+3d >6d >>2+3d . |"), "") << "from the nearest hole of a chord";
    EXPECT_EQ(faults("| 2d - - >6d |"), "far-slide") << "a hold before it changes nothing";
    EXPECT_EQ(faults("| 2d 6d . >6d |"), "join-after-rest") << "a fault is told once";
}

TEST(Language, a_bar_line_may_be_finished_on_the_next_line) {
    EXPECT_EQ(played("|: 4d 4b 3d 2d |\ntab :| 2b . . . |"), "4d+1 4b+1 3d+1 2d+1 4d+1 4b+1 3d+1 2d+1 2b+1");
}

TEST(Language, a4_takes_its_unit) {
    EXPECT_EQ(with_head("a4: 442 Hz\n", "tab | 4d 4b 3d 2d |").lick.head.harp.a4.value, 442.0);
}

// The three spellings as they stand above spelled() (common practice, no source); the exchange room reads them back.
TEST(Spelled, one_note_in_the_trades_three_spellings) {
    using harp::Breath;
    const auto all = [](const lick::Tab& tab) {
        return spelled(tab, Spelling::signs) + " " + spelled(tab, Spelling::arrows) + " " +
               spelled(tab, Spelling::letters);
    };
    EXPECT_EQ(all({{4}, Breath::blow, 0, 0, false}), "+4 ↑4 4B");
    EXPECT_EQ(all({{3}, Breath::draw, 3, 4, false}), "-3'' ↓3'' 3D''");
    EXPECT_EQ(all({{5}, Breath::draw, 5, 1, false}), "-5q ↓5q 5Dq");
    EXPECT_EQ(all({{6}, Breath::blow, 0, 0, true}), "+6o ↑6o 6OB");
    EXPECT_EQ(all({{2, 3}, Breath::draw, 3, 2, false}), "-(2,3') ↓(2,3') (2,3')D");
    EXPECT_EQ(spelled({{4}, Breath::blow, 0, 0, false}, Spelling::none), "");
    EXPECT_EQ(spelled({}, Spelling::signs), "");
}

}  // namespace
}  // namespace lw::text
