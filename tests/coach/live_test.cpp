// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/coach/live.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "engine/text/text.hpp"

namespace lw::coach {
namespace {

lick::Unfolded played(const char* text) {
    const text::LickReading reading = text::read_lick(text);
    EXPECT_TRUE(reading.ok());
    return lick::unfold(reading.lick);
}

harp::Harp c_harp() {
    return *harp::harp_named("C");
}

TEST(Live, EveryNoteOfEveryHarpIsFoundAtItsOwnPitch) {
    for (const char* name : {"low C", "G", "C", "F#", "high G"}) {
        const harp::Harp h = *harp::harp_named(name);
        for (const harp::HoleNote& n : harp::every_note(h)) {
            const Hz hz = *harp::frequency(h, n);
            const auto live = live_note(h, hz, {});
            ASSERT_TRUE(live) << name << ' ' << harp::to_text(n);
            // Another way with the same pitch is as good; its pitch must agree.
            const Hz found =
                live->overbend
                    ? *harp::frequency(h, *harp::overbend(h, live->reed.hole))
                    : Hz{harp::frequency(h, live->reed).value * std::exp2(-live->depth.value / 12.0)};
            EXPECT_NEAR(1200.0 * std::log2(found / hz), 0.0, live->overbend ? 61.0 : 1.0)
                << name << ' ' << harp::to_text(n);
            EXPECT_FALSE(live->note);
        }
    }
}

TEST(Live, TheLickDecidesBetweenEqualPitches) {
    // 2 draw and 3 blow are the same note on every harp in the usual tuning (facts of the tuning: G4 on a C harp).
    const Hz g4{392.0};
    const auto draw = live_note(c_harp(), g4, played("harp: C\ntab | 1d 2d 4d 5d |\n"));
    ASSERT_TRUE(draw && draw->note);
    EXPECT_EQ(draw->reed, (harp::Reed{2, harp::Breath::draw}));
    EXPECT_EQ(*draw->note, 1U);
    const auto blow = live_note(c_harp(), g4, played("harp: C\ntab | 2b 3b 4b 5b |\n"));
    ASSERT_TRUE(blow && blow->note);
    EXPECT_EQ(blow->reed, (harp::Reed{3, harp::Breath::blow}));
}

TEST(Live, SaysHowDeepABendIsOnItsWay) {
    const lick::Unfolded lick = played("harp: C\ntab | 3d'' 3d 4d 4b |\n");
    const double plain = harp::frequency(c_harp(), harp::Reed{3, harp::Breath::draw}).value;
    for (const double cents : {0.0, 40.0, 130.0, 200.0, 260.0}) {
        const auto live = live_note(c_harp(), Hz{plain * std::exp2(-cents / 1200.0)}, lick);
        ASSERT_TRUE(live && live->note) << cents;
        EXPECT_EQ(live->reed.hole, 3);
        EXPECT_NEAR(100.0 * live->depth.value, cents, 0.1);
        EXPECT_EQ(*live->note, cents < 100.0 ? 1U : 0U) << "the nearest in depth";
    }
}

TEST(Live, MeasuresAgainstThePlayersOwnReed) {
    std::array<std::optional<Cents>, 2 * harp::hole_count> reeds;
    reeds[2 * (3 - 1) + 1] = Cents{12.0};  // 3 draw is 12 cents high
    const double own =
        harp::frequency(c_harp(), harp::Reed{3, harp::Breath::draw}).value * std::exp2(12.0 / 1200.0);
    const auto live =
        live_note(c_harp(), Hz{own * std::exp2(-1.0 / 12.0)}, played("harp: C\ntab | 3d' - - - |\n"), reeds);
    ASSERT_TRUE(live);
    EXPECT_NEAR(live->depth.value, 1.0, 0.001);
}

TEST(Live, WhatNoHarpPlaysIsNothing) {
    EXPECT_FALSE(live_note(c_harp(), Hz{0.0}, {}));
    EXPECT_FALSE(live_note(c_harp(), Hz{100.0}, {}));
    EXPECT_FALSE(live_note(c_harp(), Hz{6000.0}, {}));
    EXPECT_FALSE(live_note(c_harp(), Hz{std::nan("")}, {}));
}

}  // namespace
}  // namespace lw::coach
