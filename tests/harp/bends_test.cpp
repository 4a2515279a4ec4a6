// SPDX-License-Identifier: GPL-3.0-or-later
//
// Bends and overbends. The depth rule (the higher reed sinks to about a semitone above the lower; 1 draw 1, 2
// draw 2, 3 draw 3): Bending & Overblows, player mailing list archive (Sept 1994). Bends lie inside the
// interval of the hole, overbends outside: Bahnson, Antaki & Beery, JASA 103(4), 2134-2144 (1998), abstract.
// That an overbend sounds a semitone above the higher reed: common practice, no source. Pitches computed from
// the layout.
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr Breath blow = Breath::blow;
constexpr Breath draw = Breath::draw;

struct Hole {
    int gap;
    std::vector<std::string> bends;
    std::string overbend;
};
const std::array<Hole, 10> c_harp = {{{2, {"Db4"}, "Eb4"},
                                      {3, {"F#4", "F4"}, "Ab4"},
                                      {4, {"Bb4", "A4", "Ab4"}, "C5"},
                                      {2, {"Db5"}, "Eb5"},
                                      {1, {}, "F#5"},
                                      {2, {"Ab5"}, "Bb5"},
                                      {1, {}, "Db6"},
                                      {2, {"Eb6"}, "F6"},
                                      {2, {"F#6"}, "Ab6"},
                                      {3, {"B6", "Bb6"}, "Db7"}}};

TEST(Bends, EveryHoleOfTheCHarpBendsAsTheTableSays) {
    const Harp c;
    for (int hole = 1; hole <= hole_count; ++hole) {
        SCOPED_TRACE(hole);
        const Hole& row = c_harp[static_cast<std::size_t>(hole - 1)];
        const Breath bends = hole <= 6 ? draw : blow;
        EXPECT_EQ(gap(c, hole).value, row.gap);
        EXPECT_EQ(bending_breath(c, hole), bends);
        EXPECT_EQ(deepest_bend(c, {hole, bends}).value, row.gap - 1);
        EXPECT_EQ(deepest_bend(c, {hole, other(bends)}).value, 0);
        std::vector<std::string> heard;
        for (int depth = 1; depth <= 4; ++depth) {
            const auto p = pitch(c, {hole, bends, 2 * depth, false});
            if (p) heard.push_back(note_name(*p));
            EXPECT_EQ(p.has_value(), depth < row.gap);
        }
        EXPECT_EQ(heard, row.bends);
        const std::optional<HoleNote> over = overbend(c, hole);
        ASSERT_TRUE(over);
        EXPECT_EQ(*over, (HoleNote{hole, other(bends), 0, true}));
        EXPECT_EQ(note_name(*pitch(c, *over)), row.overbend);
    }
}

TEST(Bends, CountsOfTheModel) {
    // Computed from the layout: 12 bend steps on 12 pitches that no reed has; 6 pitches of the 37 are then
    // missing; overblows 1 4 5 6 and overdraws 7 9 complete three octaves.
    const Harp c;
    std::set<double> reeds;
    std::set<double> bent;
    std::multiset<double> bend_steps;
    std::set<double> overbent;
    for (const HoleNote& n : every_note(c)) {
        const double midi = pitch(c, n)->midi;
        if (n.overbend) {
            overbent.insert(midi);
        } else if (n.bend_quarter_steps > 0) {
            bent.insert(midi);
            bend_steps.insert(midi);
        } else {
            reeds.insert(midi);
        }
    }
    EXPECT_EQ(bend_steps.size(), 12U);
    EXPECT_EQ(bent.size(), 12U);
    std::vector<std::string> missing;
    int without_reed = 0;
    for (int midi = 60; midi <= 96; ++midi) {
        if (!reeds.contains(midi)) ++without_reed;
        EXPECT_FALSE(reeds.contains(midi) && bent.contains(midi)) << midi;
        if (!reeds.contains(midi) && !bent.contains(midi)) missing.push_back(note_name(Pitch{double(midi)}));
    }
    EXPECT_EQ(without_reed, 18);
    EXPECT_EQ(missing, (std::vector<std::string>{"Eb4", "Eb5", "F#5", "Bb5", "Db6", "Ab6"}));
    std::vector<std::string> fillers;
    for (const HoleNote& n : every_note(c)) {
        const double midi = pitch(c, n)->midi;
        if (n.overbend && midi <= 96 && !reeds.contains(midi) && !bent.contains(midi))
            fillers.push_back(to_text(n));
    }
    EXPECT_EQ(fillers, (std::vector<std::string>{"1bo", "4bo", "5bo", "6bo", "7do", "9do"}));
}

TEST(Bends, EveryNoteInPlayersOrder) {
    std::string all;
    for (const HoleNote& n : every_note(Harp{})) all += to_text(n) + " ";
    EXPECT_EQ(all,
              "1b 1bo 1d 1d' 2b 2bo 2d 2d' 2d'' 3b 3bo 3d 3d' 3d'' 3d''' 4b 4bo 4d 4d' 5b 5bo 5d 6b 6bo 6d "
              "6d' 7b 7d 7do 8b 8b' 8d 8do 9b 9b' 9d 9do 10b 10b' 10b'' 10d 10do ");
}

TEST(Bends, QuarterStepsPassTheLastHalfStepByFiftyCentsAtMost) {
    // The soft floor: common practice, no source.
    const Harp c;
    for (const HoleNote& n :
         {HoleNote{5, draw, 1, false}, HoleNote{7, blow, 1, false}, HoleNote{2, draw, 5, false},
          HoleNote{3, draw, 7, false}, HoleNote{3, draw, 3, false}}) {
        ASSERT_TRUE(pitch(c, n)) << to_text(n);
        EXPECT_EQ(pitch(c, n)->midi, made_for(c, n.reed()).midi - n.bend_quarter_steps * 0.5);
    }
    EXPECT_EQ(to_text({5, draw, 1, false}), "5dq");
    EXPECT_EQ(to_text({2, draw, 5, false}), "2d''q");
    EXPECT_EQ(pitch(c, {4, blow, 1, false}), tl::unexpected(Refusal::reed_does_not_bend));
    EXPECT_EQ(pitch(c, {5, draw, 2, false}), tl::unexpected(Refusal::bend_too_deep));
    EXPECT_EQ(pitch(c, {3, draw, 8, false}), tl::unexpected(Refusal::bend_too_deep));
}

TEST(Bends, RefusalsOfTheWholeSmallWorld) {
    // Ten holes (and two that are not there), two breaths, depths -1 to 9 quarter steps, overbent or not:
    // either the pitch follows the rule or the reason is the right one. The rule is written a second time
    // here.
    const Harp c;
    int played = 0;
    for (int hole = 0; hole <= 11; ++hole) {
        for (const Breath breath : {blow, draw}) {
            for (int depth = -1; depth <= 9; ++depth) {
                for (const bool over : {false, true}) {
                    const HoleNote n{hole, breath, depth, over};
                    const auto got = pitch(c, n);
                    const auto hz = frequency(c, n);
                    ASSERT_EQ(got.has_value(), hz.has_value());
                    if (hz) {
                        ++played;
                        EXPECT_NEAR(hz->value, frequency(c, *got).value, 1e-9);
                        continue;
                    }
                    EXPECT_EQ(got.error(), hz.error());
                    const bool bending_side = breath == (hole <= 6 ? draw : blow);
                    const Refusal expected = hole < 1 || hole > 10 ? Refusal::no_such_hole
                                             : over && depth != 0  ? Refusal::overbend_bends_not
                                             : over                ? Refusal::no_overbend_there
                                             : !bending_side       ? Refusal::reed_does_not_bend
                                                                   : Refusal::bend_too_deep;
                    EXPECT_EQ(got.error(), expected) << to_text(n) << " hole " << hole;
                }
            }
        }
    }
    // 20 plain, 12 half steps, a quarter step before each half step and one past the last in every hole, 10
    // overbends.
    EXPECT_EQ(played, 20 + 12 + 12 + 10 + 10);
}

TEST(Bends, BentFrequenciesInCents) {
    // 100 cents to a written half step, by definition.
    const Harp c;
    EXPECT_NEAR(frequency(c, HoleNote{3, draw, 6, false})->value, 415.305, 5e-4);    // Ab4
    EXPECT_NEAR(frequency(c, HoleNote{2, draw, 4, false})->value, 349.228, 5e-4);    // F4
    EXPECT_NEAR(frequency(c, HoleNote{10, blow, 4, false})->value, 1864.655, 5e-4);  // Bb6
    const double quarter = frequency(c, Reed{5, draw}) / *frequency(c, HoleNote{5, draw, 1, false});
    EXPECT_NEAR(quarter, 1.029302, 5e-7);  // 50 cents
}

TEST(Bends, GlidesAreContinuousAndHaveASoftFloor) {
    const Harp c;
    for (int hole = 1; hole <= hole_count; ++hole) {
        for (const Breath breath : {blow, draw}) {
            const Reed reed{hole, breath};
            const Semitones floor = bend_floor(c, reed);
            const bool bends = bending_breath(c, hole) == breath;
            EXPECT_EQ(floor.value, bends ? deepest_bend(c, reed).value + 0.5 : 0.2);
            double last = 1e9;
            for (int cents = -100; cents <= 400; ++cents) {
                const double depth = cents / 100.0;
                const double hz = bent_frequency(c, reed, {depth}).value;
                EXPECT_LE(hz, last);
                last = hz;
                const double heard = -12 * std::log2(hz / frequency(c, reed).value);
                EXPECT_NEAR(heard, std::min(std::max(depth, -0.5), floor.value + 0.1), 1e-9);
            }
        }
    }
}

TEST(Bends, OverbendsOfRaisedReedsFollowTheReeds) {
    // A tuning of one's own where both reeds of hole 4 are equal, and one where they change sides.
    Harp equal;
    equal.tuning = *tuning_from_changes("same", "4d-2");
    EXPECT_EQ(gap(equal, 4).value, 0);
    EXPECT_FALSE(bending_breath(equal, 4));
    EXPECT_FALSE(overbend(equal, 4));
    EXPECT_EQ(pitch(equal, {4, draw, 1, false}), tl::unexpected(Refusal::reed_does_not_bend));
    EXPECT_EQ(pitch(equal, {4, blow, 0, true}), tl::unexpected(Refusal::no_overbend_there));
    Harp crossed;
    crossed.tuning = *tuning_from_changes("crossed", "4d-4");
    EXPECT_EQ(bending_breath(crossed, 4), blow);
    EXPECT_EQ(note_name(*pitch(crossed, {4, blow, 2, false})), "B4");
    EXPECT_EQ(overbend(crossed, 4), (HoleNote{4, draw, 0, true}));
    EXPECT_EQ(note_name(*pitch(crossed, {4, draw, 0, true})), "Db5");
    EXPECT_FALSE(overbend(crossed, 0));
    EXPECT_FALSE(overbend(crossed, 11));
}

}  // namespace
}  // namespace lw::harp
