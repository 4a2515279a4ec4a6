// SPDX-License-Identifier: GPL-3.0-or-later
//
// A reed that starts flat by itself is told from a player who scoops.
#include "engine/hear/attacks.hpp"

#include <gtest/gtest.h>

#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace lw::hear {
namespace {

using listening::Kind;

constexpr int draw(int hole) {
    return 2 * hole - 1;
}
constexpr int blow(int hole) {
    return 2 * hole - 2;
}

TEST(Attacks, NothingIsUsualBeforeAnythingWasHeard) {
    EXPECT_EQ(Attacks{harp::Harp{}}.usual(draw(4), 0.6F), 0.0F);
    Attacks without{std::nullopt};
    without.heard(draw(4), 0.3F);
    EXPECT_EQ(without.usual(draw(4), 0.3F), 0.0F);
}

// C harp: 4 draw is D5, 4 blow C5, 2 semitones below; 8 draw is D6.
TEST(Attacks, AReedIsLearnedFromItselfAndThoseNearIt) {
    Attacks attacks{harp::Harp{}};
    for (int i = 0; i < 3; ++i) attacks.heard(blow(4), 0.30F);
    EXPECT_NEAR(attacks.usual(draw(4), 0.30F), 0.30F, 0.011F);
    EXPECT_EQ(attacks.usual(draw(8), 0.30F), 0.0F);
    for (int i = 0; i < 5; ++i) attacks.heard(draw(8), -0.20F);
    EXPECT_NEAR(attacks.usual(draw(8), 0.0F), -0.20F, 0.011F);
    EXPECT_NEAR(attacks.usual(draw(4), 0.30F), 0.30F, 0.011F);
}

TEST(Attacks, NoAttackSpeaksForItself) {
    Attacks attacks{harp::Harp{}};
    attacks.heard(draw(4), 0.30F);
    EXPECT_NEAR(attacks.usual(draw(4), 0.30F), 0.30F, 0.011F);  // while it sounds, what was heard came before
    attacks.know_all();
    EXPECT_EQ(attacks.usual(draw(4), 0.31F), 0.0F);
    attacks.heard(draw(4), 0.30F);
    EXPECT_EQ(attacks.usual(draw(4), 0.30F), 0.0F);
}

TEST(Attacks, ScoopsOfADrawReedGiveWayToTheBlowReedsBesideIt) {
    Attacks attacks{harp::Harp{}};
    for (int i = 0; i < 20; ++i) attacks.heard(draw(4), 0.60F);
    EXPECT_LE(attacks.usual(draw(4), 0.60F), 0.35F);
    for (int i = 0; i < 20; ++i) attacks.heard(blow(4), 0.02F);
    EXPECT_NEAR(attacks.usual(draw(4), 0.60F), 0.02F, 0.011F);
}

// Every note that can be scooped is: what is usual must not become what is played. The reeds are Debian's FluidR3.
TEST(Attacks, ATakeFullOfScoopsKeepsThem) {
    auto maker = listening::TakeMaker::open(*listening::instrument_named("fluid-harmonica"));
    ASSERT_TRUE(maker) << "tools/setup --tests brings the soundfonts";
    listening::Hits scoops{};
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        listening::Phrase phrase = listening::chance_phrase(seed);
        for (std::size_t i = 0; i < phrase.notes.size(); ++i) {
            listening::PhraseNote& note = phrase.notes[i];
            note.ornaments.clear();
            const harp::Reed reed{note.tab.holes.front(), note.tab.breath};
            const bool leads_on =
                i + 1 < phrase.notes.size() && phrase.notes[i + 1].start != lick::Start::attack;
            const double seconds = note.length.value.value() * 60.0 / phrase.groove.tempo.value;
            if (harp::deepest_bend(phrase.harp, reed) - note.tab.bend() >= Semitones{0.5} && !leads_on &&
                note.start == lick::Start::attack && seconds > 0.3)
                note.ornaments.push_back({.gesture = lick::Gesture::scoop, .other_hole = 0, .from = {}});
        }
        const listening::Take take = maker->make({.seed = seed}, phrase);
        const Heard heard =
            listen(take.samples, listening::take_rate, {.harp = phrase.harp, .a4 = {}, .reeds = {}});
        const Seconds length{static_cast<double>(take.samples.size()) / listening::take_rate};
        scoops += listening::score(phrase.harp, take.truth, heard, length)
                      .kinds[static_cast<std::size_t>(Kind::scoop)];
    }
    EXPECT_GE(scoops.planted, 20U);
    EXPECT_GE(scoops.f1(), 0.80) << scoops.matched << " of " << scoops.planted << ", " << scoops.answered
                                 << " told";
}

}  // namespace
}  // namespace lw::hear
