// SPDX-License-Identifier: GPL-3.0-or-later
//
// Repeats, endings, pickups and holds played out. What a repeat and an ending mean is common practice, no
// source; the worked cases are our own, and random forms are held against a twin that builds
// the played order while it writes the bars.
#include "engine/lick/unfold.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "tests/lick/typed.hpp"

namespace lw::lick {
namespace {

using namespace typed;

/// The bars in the order they are played: the hole of each bar's first note.
std::string order(const Lick& l) {
    std::string text;
    for (const PlayedBar& b : unfold(l).bars)
        text += std::to_string(l.bars[b.bar].events.front().tab.holes.front());
    return text;
}
std::string passes(const Lick& l) {
    std::string text;
    for (const PlayedBar& b : unfold(l).bars) text += std::to_string(b.pass);
    return text;
}
/// Every note as `hole@start+length`.
std::string notes(const Unfolded& u) {
    std::string text;
    for (const PlayedNote& n : u.notes)
        text += (text.empty() ? "" : " ") + std::to_string(n.tab.holes.front()) + "@" + say(n.start.value) +
                "+" + say(n.length.value);
    return text;
}

constexpr Lines plain{};
constexpr Lines open{true, 0, false};
constexpr Lines close{false, 0, true};
constexpr Lines both{true, 0, true};
constexpr Lines ending(int n, bool closes) {
    return {false, n, closes};
}

TEST(Unfold, PlainBarsRunThrough) {
    const Lick l = lick({bar("1d 2d - ."), bar("3d . 4d -")});
    EXPECT_EQ(notes(unfold(l)), "1@0+1 2@1+2 3@4+1 4@6+2");
    EXPECT_EQ(unfold(l).start, Beats{0});
    EXPECT_EQ(unfold(l).end, Beats{8});
    EXPECT_EQ(notes(unfold(Lick{})), "");
    EXPECT_EQ(unfold(Lick{}).end, Beats{0});
}

TEST(Unfold, RepeatsAndEndings) {
    EXPECT_EQ(order(lick({bar("1d"), bar(both, "2d"), bar("3d")})), "1223");
    EXPECT_EQ(order(lick({bar(open, "1d"), bar(close, "2d"), bar("3d")})), "12123");
    EXPECT_EQ(order(lick({bar("1d"), bar(close, "2d"), bar("3d")})), "12123");  // `:|` alone: from the top
    EXPECT_EQ(order(lick({bar(both, "1d"), bar(both, "2d")})), "1122");
    EXPECT_EQ(order(lick({bar(close, "1d"), bar(close, "2d")})), "1122");  // from the last turn, not the top
    EXPECT_EQ(order(lick({bar(open, "1d"), bar(ending(1, true), "2d"), bar(ending(2, false), "3d")})),
              "1213");
    EXPECT_EQ(order(lick({bar("1d"), bar(ending(1, true), "2d"), bar(ending(2, false), "3d")})), "1213");
    EXPECT_EQ(order(lick({bar("9d"), bar(open, "1d"), bar(ending(1, true), "2d"), bar(ending(2, true), "3d"),
                          bar(ending(3, false), "4d"), bar("5d")})),
              "91213145");
    // Endings of two bars; the last one runs on.
    EXPECT_EQ(order(lick({bar(open, "1d"), bar(ending(1, false), "2d"), bar(close, "3d"),
                          bar(ending(2, false), "4d"), bar("5d"), bar(both, "6d")})),
              "12314566");
    // A first ending alone: the second time skips it.
    EXPECT_EQ(order(lick({bar(open, "1d"), bar(ending(1, true), "2d"), bar("3d")})), "1213");
    // The last ending may close with `:|` as well: nothing follows that it would go back for.
    EXPECT_EQ(
        order(lick({bar(open, "1d"), bar(ending(1, true), "2d"), bar(ending(2, true), "3d"), bar("4d")})),
        "12134");
    // The whole repeated part is an ending.
    EXPECT_EQ(order(lick({bar({true, 1, true}, "1d"), bar(ending(2, false), "2d")})), "12");
}

TEST(Unfold, PassesCountTheTimesThrough) {
    EXPECT_EQ(passes(lick({bar("9d"), bar(open, "1d"), bar(ending(1, true), "2d"), bar(ending(2, true), "3d"),
                           bar(ending(3, false), "4d")})),
              "1112233");
    EXPECT_EQ(passes(lick({bar(both, "1d"), bar("2d"), bar(both, "3d")})), "12112");
}

TEST(Unfold, APickupSoundsOnceBeforeBeatNought) {
    const Lick l = lick({pickup("(. . 3d)"), bar(open, "2d - . ."), bar(close, "1d - - -")});
    const Unfolded u = unfold(l);
    EXPECT_EQ(u.start, Beats{-1});
    EXPECT_EQ(notes(u), "3@-1/3+1/3 2@0+2 1@4+4 2@8+2 1@12+4");
    // `:|` without `|:` goes back to the first full bar, never to the pickup.
    EXPECT_EQ(order(lick({pickup("9d"), bar("1d"), bar(close, "2d"), bar("3d")})), "912123");
    EXPECT_EQ(unfold(lick({pickup("9d 9d"), bar("1d - - -"), bar("2d -")})).end, Beats{6});
}

TEST(Unfold, HoldsCrossGroupsBarsAndPasses) {
    EXPECT_EQ(notes(unfold(lick({bar("1d (- 2d) - -"), bar("- . 3d -")}))), "1@0+3/2 2@3/2+7/2 3@6+2");
    // A hold after a rest is silence and does not wake the note before it.
    EXPECT_EQ(notes(unfold(lick({bar("1d . - -"), bar("- 2d . .")}))), "1@0+1 2@5+1");
    // Into a second ending: what sounded before the first goes on.
    const Lick l =
        lick({bar(open, "1d - - 2d"), bar(ending(1, true), "- 3d . ."), bar(ending(2, false), "- - - -")});
    EXPECT_EQ(notes(unfold(l)), "1@0+3 2@3+2 3@5+1 1@8+3 2@11+5");
    // At the start of a repeated bar a hold continues what the bar's own end left sounding.
    EXPECT_EQ(notes(unfold(lick({bar("1d - - -"), bar(both, "- 2d - -")}))), "1@0+5 2@5+4 2@9+3");
}

TEST(Unfold, StretchesNameTheWrittenTokens) {
    const Unfolded u = unfold(lick({bar("1d (- 2d) - -"), bar("- . 3d -")}));
    ASSERT_EQ(u.notes.size(), 3U);
    std::string where;
    for (const Stretch& s : u.notes[1].stretches)
        where += std::to_string(s.bar) + "." + std::to_string(s.event) + "@" + say(s.start.value) + "+" +
                 say(s.length.value) + " ";
    EXPECT_EQ(where, "0.2@3/2+1/2 0.3@2+1 0.4@3+1 1.0@4+1 ");
}

TEST(Unfold, OrnamentsOfAHoldBeginThere) {
    Lick l = lick({bar("1d - - -")});
    l.bars[0].events[0].ornaments.push_back({Gesture::accent, 0, {}});
    l.bars[0].events[2].ornaments.push_back({Gesture::vibrato, 0, {}});
    const Unfolded u = unfold(l);
    ASSERT_EQ(u.notes.size(), 1U);
    ASSERT_EQ(u.notes[0].ornaments.size(), 2U);
    EXPECT_EQ(u.notes[0].ornaments[0].at, Beats{0});
    EXPECT_EQ(u.notes[0].ornaments[1].at, Beats{2});
    EXPECT_EQ(u.notes[0].ornaments[1].ornament.gesture, Gesture::vibrato);
}

TEST(Unfold, BreathsStandWhereTheyAreTaken) {
    const Unfolded u = unfold(lick({bar(both, "1d , (2d , 3d) - ,")}));
    std::string at;
    for (const Beats& b : u.breaths) at += say(b.value) + " ";
    EXPECT_EQ(at, "1 3/2 3 4 9/2 6 ");
    EXPECT_TRUE(u.notes[1].breath_before);
    EXPECT_FALSE(u.notes[0].breath_before);
}

TEST(Unfold, ChordsOfNeighboursWithOneNameAreOne) {
    Lick l = lick({bar(both, "1d - - -"), bar("2d - - -")});
    l.bars[0].chords = {{Beats{0}, Beats{2}, "G7", {}}, {Beats{2}, Beats{2}, "C7", {}}};
    l.bars[1].chords = {{Beats{0}, Beats{4}, "C7", {}}};
    std::string chords;
    for (const PlayedChord& c : unfold(l).chords)
        chords += c.symbol + "@" + say(c.start.value) + "+" + say(c.length.value) + " ";
    EXPECT_EQ(chords, "G7@0+2 C7@2+2 G7@4+2 C7@6+6 ");
}

/// A random form and, written down beside it while it is made, the order in which it must be played.
struct Form {
    std::vector<Bar> bars;
    std::vector<std::size_t> played;
};

std::size_t add(Form& form, Lines lines, bool is_pickup = false) {
    Bar b = bar(lines, "4d - - -");
    b.pickup = is_pickup;
    form.bars.push_back(b);
    return form.bars.size() - 1;
}

Form random_form() {
    Form form;
    const auto roll = [](int low, int high) { return *rc::gen::inRange(low, high + 1); };
    if (roll(0, 1) == 1) form.played.push_back(add(form, plain, true));
    const int sections = roll(0, 4);
    bool open_end = false;  // the section before ended in an ending that would run on
    for (int s = 0; s < sections; ++s) {
        const int kind = roll(0, 2);
        if (kind == 0) {
            for (int i = roll(1, 3); i > 0; --i) form.played.push_back(add(form, plain));
            // Plain bars after this would belong to a bare `:|` that follows: the next section opens with
            // `|:`.
            open_end = true;
            continue;
        }
        const bool with_sign = open_end || roll(0, 1) == 1;
        std::vector<std::size_t> body;
        for (int i = roll(1, 3); i > 0; --i)
            body.push_back(add(form, {with_sign && body.empty(), 0, kind == 1 && i == 1}));
        if (kind == 1) {
            form.played.insert(form.played.end(), body.begin(), body.end());
            form.played.insert(form.played.end(), body.begin(), body.end());
            open_end = false;
            continue;
        }
        const int endings = roll(2, 4);
        for (int e = 1; e <= endings; ++e) {
            form.played.insert(form.played.end(), body.begin(), body.end());
            const int length = roll(1, 2);
            for (int i = 0; i < length; ++i)
                form.played.push_back(add(form, {false, i == 0 ? e : 0, e < endings && i == length - 1}));
        }
        open_end = true;
    }
    return form;
}

TEST(Unfold, RandomFormsArePlayedAsTheyWereMeant) {
    EXPECT_TRUE(rc::check("random forms", [] {
        const Form form = random_form();
        const Unfolded u = unfold(lick(form.bars));
        std::vector<std::size_t> played;
        Beats now = u.start;
        for (const PlayedBar& b : u.bars) {
            RC_ASSERT(b.start == now);
            now += b.length;
            played.push_back(b.bar);
        }
        RC_ASSERT(u.end == now);
        RC_ASSERT(played == form.played);
    }));
}

}  // namespace
}  // namespace lw::lick
