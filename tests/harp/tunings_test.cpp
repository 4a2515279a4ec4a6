// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tunings other than the standard one. What each changes: "Richter-tuned harmonica", Wikipedia, specially
// tuned instruments; raised 3 blow also in the folk encyclopedia page "Tuning" (banjolin.co.uk). What the
// bend rule makes of the changed holes is computed.
#include <gtest/gtest.h>

#include <map>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr Breath blow = Breath::blow;
constexpr Breath draw = Breath::draw;

/// Reeds of the C harp that differ from the standard layout, as `3b A4`.
std::string changes(const Tuning& tuning) {
    Harp h;
    h.tuning = tuning;
    std::string text;
    for (int hole = 1; hole <= hole_count; ++hole) {
        for (const Breath b : {blow, draw}) {
            if (made_for(h, {hole, b}) == made_for(Harp{}, {hole, b})) continue;
            text += to_text(HoleNote{hole, b, 0, false}) + " " + note_name(made_for(h, {hole, b})) + " ";
        }
    }
    return text;
}

TEST(Tunings, EachChangesExactlyItsReeds) {
    const std::map<std::string, std::pair<std::string, int>> expected = {
        {"standard", {"", 1}},
        {"raised 3 blow", {"3b A4 ", 1}},
        {"raised 5 draw", {"5d F#5 ", 1}},
        {"raised 5 and 9 draw", {"5d F#5 9d F#6 ", 1}},
        {"second-position major", {"3b A4 5d F#5 9d F#6 ", 2}},
        {"natural minor", {"2b Eb4 3d Bb4 5b Eb5 7d Bb5 8b Eb6 ", 2}},
        {"harmonic minor", {"2b Eb4 5b Eb5 6d Ab5 8b Eb6 10d Ab6 ", 1}},
    };
    ASSERT_EQ(known_tunings().size(), expected.size());
    for (const Tuning& t : known_tunings()) {
        ASSERT_TRUE(expected.contains(t.name)) << t.name;
        EXPECT_EQ(changes(t), expected.at(t.name).first) << t.name;
        EXPECT_EQ(t.label_position, expected.at(t.name).second) << t.name;
        EXPECT_EQ(tuning_named(t.name), t);
    }
    EXPECT_EQ(known_tunings().front(), standard_tuning());
}

TEST(Tunings, TradeWordsAreUnderstood) {
    EXPECT_EQ(tuning_named("paddy")->name, "raised 3 blow");
    EXPECT_EQ(tuning_named("Country")->name, "raised 5 draw");
    EXPECT_EQ(tuning_named("Richter")->name, "standard");
    EXPECT_EQ(tuning_named(" Raised  3-Blow ")->name, "raised 3 blow");
    EXPECT_EQ(tuning_named("second position major")->name, "second-position major");
    EXPECT_FALSE(tuning_named(""));
    EXPECT_FALSE(tuning_named("minor"));
}

TEST(Tunings, TheBendRuleFollowsTheReeds) {
    Harp h;
    h.tuning = *tuning_named("raised 5 draw");
    EXPECT_EQ(gap(h, 5).value, 2);
    EXPECT_EQ(note_name(*pitch(h, {5, draw, 2, false})), "F5");
    h.tuning = *tuning_named("raised 3 blow");
    EXPECT_EQ(gap(h, 3).value, 2);
    EXPECT_EQ(note_name(*pitch(h, {3, draw, 2, false})), "Bb4");
    EXPECT_EQ(pitch(h, {3, draw, 4, false}), tl::unexpected(Refusal::bend_too_deep));
}

TEST(Tunings, TheRuleHoldsInEveryTuningKeyAndHole) {
    for (const Tuning& t : known_tunings()) {
        for (int k = 0; k < 12; ++k) {
            Harp h;
            h.key = Key{k};
            h.tuning = t;
            for (int hole = 1; hole <= hole_count; ++hole) {
                const Pitch b = made_for(h, {hole, blow});
                const Pitch d = made_for(h, {hole, draw});
                const Breath higher = d > b ? draw : blow;
                const Pitch top = std::max(b, d);
                const Pitch bottom = std::min(b, d);
                ASSERT_GT(top, bottom);
                ASSERT_EQ(bending_breath(h, hole), higher);
                // Every whole bend lies strictly between the reeds, and the next one would not.
                int depth = 0;
                while (const auto p = pitch(h, {hole, higher, 2 * (depth + 1), false})) {
                    ++depth;
                    EXPECT_EQ(p->midi, top.midi - depth);
                    EXPECT_GT(*p, bottom);
                }
                EXPECT_EQ(top.midi - depth, bottom.midi + 1);
                EXPECT_EQ(*pitch(h, {hole, other(higher), 0, true}), top + Semitones{1});
            }
        }
    }
}

TEST(Tunings, OnesOwnAreReadFromChanges) {
    const auto t = tuning_from_changes("mine", "3b+2 5d+1, 10d-12");
    ASSERT_TRUE(t) << t.error();
    EXPECT_EQ(t->name, "mine");
    EXPECT_EQ(changes(*t), "3b A4 5d F#5 10d A5 ");
    EXPECT_EQ(*tuning_from_changes("raised 3 blow", "3b+2"), *tuning_named("raised 3 blow"));
}

TEST(Tunings, AChangeThatCannotBeReadIsNamed) {
    const std::string how =
        " is not a change of a reed. Write the hole, b or d, and the semitones up or down, such as 3b+2.";
    for (const char* word : {"3", "b+2", "3b", "3b+", "3b2", "3x+2", "3b+2x", "3b+-2", "+", "3b+1234",
                             "1000b+1", "3b*2", "99999999999999999999b+1"})
        EXPECT_EQ(tuning_from_changes("x", word).error(), "`" + std::string{word} + "`" + how);
    EXPECT_EQ(tuning_from_changes("x", "3b+2 11d+1").error(),
              "`11d+1` names hole 11; holes run from 1 to 10.");
    EXPECT_EQ(tuning_from_changes("x", "0b+1").error(), "`0b+1` names hole 0; holes run from 1 to 10.");
    EXPECT_EQ(tuning_from_changes("x", "3b+13").error(),
              "`3b+13` moves a reed by 13 semitones; 1 to 12 can be written.");
    EXPECT_EQ(tuning_from_changes("x", "3b-0").error(),
              "`3b-0` moves a reed by 0 semitones; 1 to 12 can be written.");
    EXPECT_EQ(tuning_from_changes("x", "3b+2 3b+1").error(),
              "`3b+1` changes a reed that was changed before it.");
    EXPECT_EQ(tuning_from_changes("x", " , ").error(), "A tuning needs at least one change, such as 3b+2.");
}

}  // namespace
}  // namespace lw::harp
