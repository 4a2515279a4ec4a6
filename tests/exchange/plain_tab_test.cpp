// SPDX-License-Identifier: GPL-3.0-or-later
// The trade's three plain spellings; what they mean is common practice, no source.
#include "engine/exchange/plain_tab.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <sstream>

#include "engine/text/spelling.hpp"
#include "engine/text/text.hpp"
#include "tests/exchange/lick_by_hand.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::exchange {
namespace {

using by_hand::tab;
using lick::Breath;
using text::Spelling;

lick::Lick small_lick() {
    lick::Lick lick;
    lick.head.title = "Small";
    lick.head.position = 2;
    lick.head.feel.ratio = Fraction{2};
    lick::Bar bar =
        by_hand::bar_of({tab({4}, Breath::blow), tab({3}, Breath::draw, 4), tab({2, 3}, Breath::draw)});
    bar.chords.push_back({Beats{}, Beats{4}, "G7", {}});
    bar.opens_repeat = bar.closes_repeat = true;
    lick.bars = {bar};
    return lick;
}

TEST(Spelled, EveryWayInEverySpelling) {
    lick::Tab over = tab({6}, Breath::blow);
    over.overbend = true;
    const std::vector<std::pair<lick::Tab, std::vector<std::string>>> table = {
        {tab({4}, Breath::blow), {"+4", "↑4", "4B"}},
        {tab({10}, Breath::draw), {"-10", "↓10", "10D"}},
        {tab({3}, Breath::draw, 6), {"-3'''", "↓3'''", "3D'''"}},
        {tab({5}, Breath::draw, 1), {"-5q", "↓5q", "5Dq"}},
        {over, {"+6o", "↑6o", "6OB"}},
        {tab({3, 4}, Breath::draw, 2, 3), {"-(3',4)", "↓(3',4)", "(3',4)D"}},
    };
    for (const auto& [t, words] : table) {
        EXPECT_EQ(text::spelled(t, Spelling::signs), words[0]);
        EXPECT_EQ(text::spelled(t, Spelling::arrows), words[1]);
        EXPECT_EQ(text::spelled(t, Spelling::letters), words[2]);
        EXPECT_EQ(text::spelled(t, Spelling::none), "");
    }
}

TEST(WritePlainTab, StandsInColumns) {
    EXPECT_EQ(write_plain_tab(small_lick(), Spelling::signs), R"(Small
harp in C, 2nd position, music in G; 4/4; 90 beats a minute; swing
+ blow, - draw, ' each half step of a bend, (2,3) holes in one breath, . rest,
|: :| played twice

chords    G7
tab    |: +4 -3'' -(2,3) . :|
count     1  2    3      4
)");
    EXPECT_NE(write_plain_tab(small_lick(), Spelling::arrows).find("tab    |: ↑4 ↓3'' ↓(2,3) . :|"),
              std::string::npos);
}

TEST(WritePlainTab, NoLineIsWiderThanAskedUnlessOneBarIs) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const std::string text = write_plain_tab(support::random_lick(seed), Spelling::signs, 60);
        std::size_t bars_in_wide_lines = 0;
        std::size_t start = 0;
        while (start < text.size()) {
            const std::size_t end = text.find('\n', start);
            const std::string line = text.substr(start, end - start);
            start = end + 1;
            if (line.rfind("tab ", 0) != 0 || line.size() <= 60) continue;
            // Too wide: only because a single bar is. Its own line at the end is the one line inside.
            const auto inner = static_cast<std::size_t>(std::count(line.begin() + 8, line.end() - 1, '|'));
            bars_in_wide_lines = std::max(bars_in_wide_lines, inner);
        }
        EXPECT_EQ(bars_in_wide_lines, 0U) << text;
    }
}

/// The notes of a draft's lane, one token each.
std::string lane_of(std::string_view draft) {
    std::string lane;
    std::size_t start = 0;
    while (start < draft.size()) {
        const std::size_t end = std::min(draft.find('\n', start), draft.size());
        if (draft.substr(start, 4) == "tab ") lane += std::string{draft.substr(start, end - start)} + "\n";
        start = end + 1;
    }
    return lane;
}

TabMeanings letters_mean_blow() {
    TabMeanings m;
    m.letter_b = TabMeanings::LetterB::blow;
    return m;
}

TEST(ReadPlainTab, ReadsTheThreeSpellingsAlike) {
    const std::string expected = "tab | 4b 3d'' 2+3d 6bo | 3'+4d 10d 5dq . |\n";
    for (const char* source : {"+4 -3'' -(2,3) +6o | -(3',4) -10 -5q", "↑4 ↓3'' ↓(2,3) ↑6o ↓(3',4) ↓10 ↓5q",
                               "4B 3D'' (2,3)D 6OB (3',4)D 10D 5Dq", "+4 −3” –(2,3) +6o -(3’,4) -10 -5q"}) {
        const auto draft = read_plain_tab(source, "Draft", "C", letters_mean_blow());
        ASSERT_TRUE(draft) << source << ": " << draft.error().front().words;
        EXPECT_EQ(lane_of(*draft), expected) << source;
    }
}

TEST(ReadPlainTab, ABreathThatIsKnownMakesABendOfB) {
    const auto draft = read_plain_tab("-4b -3bb 4d 3db", "", "C");
    ASSERT_TRUE(draft) << draft.error().front().words;
    EXPECT_EQ(lane_of(*draft), "tab | 4d' 3d'' 4d 3d' |\n");
}

TEST(ReadPlainTab, AsksAndNeverGuesses) {
    const auto draft = read_plain_tab("words\n4d 4b 5 4b", "", "C");
    ASSERT_FALSE(draft);
    ASSERT_EQ(draft.error().size(), 2U);
    const TabTrouble& b = draft.error()[0];
    EXPECT_EQ(b.place.line, 2);
    EXPECT_EQ(b.place.column, 4);
    EXPECT_EQ(b.words, "`4b` can be a blown hole or a bent one.");
    EXPECT_EQ(b.remedy, "Say which: --letter-b blow or --letter-b bend.");
    EXPECT_EQ(b.meaning, "letter b");
    EXPECT_EQ(b.choices, (std::vector<std::string>{"blow", "bend"}));
    const TabTrouble& bare = draft.error()[1];
    EXPECT_EQ(bare.place.column, 7);
    EXPECT_EQ(bare.remedy, "Say which: --bare blow or --bare draw.");

    TabMeanings blown = letters_mean_blow();
    blown.bare = TabMeanings::Bare::blow;
    EXPECT_EQ(lane_of(*read_plain_tab("words\n4d 4b 5 4b", "", "C", blown)), "tab | 4d 4b 5b 4b |\n");
    TabMeanings bent;
    bent.letter_b = TabMeanings::LetterB::bend;
    bent.bare = TabMeanings::Bare::draw;
    EXPECT_EQ(lane_of(*read_plain_tab("words\n4d 4b 5 4b", "", "C", bent)), "tab | 4d 4d' 5d 4d' |\n");
}

TEST(ReadPlainTab, SaysWhatIsWrongAndWhere) {
    const auto draft = read_plain_tab("+4 +11 what\n(2,3D", "", "C");
    ASSERT_FALSE(draft);
    ASSERT_EQ(draft.error().size(), 3U);
    EXPECT_EQ(draft.error()[0].words, "There is no hole 11.");
    EXPECT_EQ(draft.error()[1].words, "`what` is not tab.");
    EXPECT_EQ(draft.error()[1].place.column, 8);
    EXPECT_EQ(draft.error()[2].place.line, 2);
    EXPECT_EQ(read_plain_tab("only words", "", "C").error().front().words, "There is no tab in this text.");
    EXPECT_EQ(read_plain_tab("", "", "C").error().front().words, "There is no tab in this text.");
}

/// Written in each spelling and read again, it is the same lick.
void expect_read_back(const lick::Lick& lick, std::string_view what) {
    for (const Spelling spelling : {Spelling::signs, Spelling::arrows, Spelling::letters}) {
        const std::string plain = write_plain_tab(lick, spelling);
        const auto draft = read_plain_tab(plain, "", "F#");
        ASSERT_TRUE(draft) << what << '\n' << draft.error().front().words << '\n' << plain;
        const text::LickReading reading = text::read_lick(*draft);
        ASSERT_TRUE(reading.ok()) << what << '\n'
                                  << explain(reading.diagnostics.front(), "draft", *draft) << plain << *draft;
        EXPECT_EQ(reading.lick.bars, lick.bars) << what << '\n' << plain << *draft;
        const lick::Head& head = reading.lick.head;
        EXPECT_EQ(head.title, lick.head.title);
        EXPECT_EQ(harp::name(head.harp), harp::name(lick.head.harp));
        EXPECT_EQ(head.harp.tuning, lick.head.harp.tuning);
        EXPECT_EQ(head.position, lick.head.position);
        EXPECT_EQ(head.meter, lick.head.meter);
        EXPECT_EQ(head.feel, lick.head.feel);
        EXPECT_EQ(head.more, lick.head.more);
        EXPECT_EQ(head.credit, lick.head.credit);
        EXPECT_NEAR(head.tempo.value, lick.head.tempo.value, 0.05);  // written to one digit after the point
    }
}

TEST(RoundTrip, TheLessonReadsBackFromEverySpelling) {
    std::ifstream file{std::string{LICKWRIGHT_SOURCE_DIR} + "/lessons/demo/lesson.md"};
    std::stringstream text;
    text << file.rdbuf();
    const text::LessonReading lesson = text::read_lesson(text.str());
    ASSERT_EQ(lesson.lesson.licks.size(), 7U);
    for (const text::LessonLick& l : lesson.lesson.licks) expect_read_back(l.lick, l.slug);
}

TEST(RoundTrip, TwoHundredRandomLicksReadBackFromEverySpelling) {
    for (std::uint64_t seed = 400; seed < 600; ++seed)
        expect_read_back(support::random_lick(seed), "seed " + std::to_string(seed));
}

TEST(RoundTrip, ALegendExplainsEverySignThatStandsBelowIt) {
    const std::vector<std::pair<std::string, std::string>> signs = {
        {"q", "q a quarter"}, {"o", "o over"},        {"{", "{ } how"},     {"[", "[ ] what"},
        {"_", "_ hold"},      {" , ", "comma alone"}, {"|1", "|1 |2 "},     {">>", ">> gliding"},
        {"]/", "[ ]/2"},      {" . ", ". rest"},      {"'", "' each half"}, {"(", "(2,3) holes"}};
    std::map<std::string, int> met;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const std::string text = write_plain_tab(support::random_lick(seed), Spelling::signs);
        const std::size_t first = std::min(text.find("\nchords "), text.find("\ntab "));
        std::string legend = text.substr(0, first);
        std::replace(legend.begin(), legend.end(), '\n', ' ');
        std::string lanes;
        std::istringstream lines{text.substr(first)};
        int depth = 0;
        for (std::string line; std::getline(lines, line);) {
            if (line.rfind("tab ", 0) != 0) continue;
            for (const char c : line.substr(4)) {
                if (depth == 0) lanes += c;
                depth += c == '{' ? 1 : c == '}' ? -1 : 0;
            }
        }
        for (const auto& [sign, words] : signs) {
            if (lanes.find(sign) == std::string::npos) continue;
            ++met[sign];
            EXPECT_NE(legend.find(words), std::string::npos) << sign << '\n' << text;
        }
    }
    EXPECT_EQ(met.size(), signs.size()) << "every sign was met at least once";
}

TEST(RoundTrip, ABracketLeftOpenIsToldWhenTheDraftIsRead) {
    const auto draft =
        read_plain_tab("harp in A; 4/4\n+ blow, - draw\n\ntab | [+4 -4 +5 | what |\n", "", "C");
    ASSERT_FALSE(draft);
    EXPECT_EQ(draft.error().front().words, "`what` is not tab.");
    EXPECT_EQ(draft.error().front().place.line, 4);
    EXPECT_EQ(draft.error().front().place.column, 19);
    const auto open = read_plain_tab("harp in A; 4/4\n+ blow, - draw\n\ntab | [+4 -4 +5 |\n", "", "C");
    ASSERT_TRUE(open);
    EXPECT_EQ(text::read_lick(*open).diagnostics.at(1).slug, "group-not-closed");
}

}  // namespace
}  // namespace lw::exchange
