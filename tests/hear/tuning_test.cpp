// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the tuning of a recording and of each reed is learned. What is expected follows from what was planted.
#include "engine/hear/tuning.hpp"

#include <gtest/gtest.h>

namespace lw::hear {
namespace {

constexpr std::size_t reed_of(int hole, harp::Breath breath) {
    return static_cast<std::size_t>(2 * (hole - 1) + (breath == harp::Breath::draw ? 1 : 0));
}

Given c_harp() {
    Given given;
    given.harp = harp::Harp{};
    given.a4 = Hz{440.0};
    return given;
}

void plant(TuningLearner& learner, int hole, harp::Breath breath, double semitones) {
    for (int frame = 0; frame < 100; ++frame)
        learner.heard(static_cast<int>(reed_of(hole, breath)), semitones);
}

// 4 draw (D5) and 5 blow (E5) are a whole step apart, 4 blow (C5) one below; 9 draw (F6) is far from all of them.
TEST(Tuning, AReedHeardOnlyBentStandsAsThoseNearIt) {
    TuningLearner learner(c_harp());
    plant(learner, 4, harp::Breath::blow, -0.20);
    plant(learner, 5, harp::Breath::blow, -0.20);
    learner.settle();
    EXPECT_NEAR(learner.reeds()[reed_of(4, harp::Breath::blow)], -0.20F, 0.015F);
    const float near = learner.reeds()[reed_of(4, harp::Breath::draw)];
    EXPECT_LT(near, -0.08F);
    EXPECT_GT(near, -0.20F);  // never as far as what was heard itself
    EXPECT_NEAR(learner.reeds()[reed_of(9, harp::Breath::draw)], 0.0F, 0.005F);
    EXPECT_FALSE(learner.reed_cents()[reed_of(4, harp::Breath::draw)].has_value());
}

TEST(Tuning, WhatIsGivenIsNotLearned) {
    Given given = c_harp();
    given.reeds.emplace();
    (*given.reeds)[reed_of(4, harp::Breath::draw)] = Cents{-12.0};
    TuningLearner learner(given);
    plant(learner, 4, harp::Breath::draw, 0.30);
    learner.settle();
    EXPECT_NEAR(learner.reeds()[reed_of(4, harp::Breath::draw)], -0.12F, 1e-6F);
    EXPECT_NEAR(learner.a4().value, 440.0, 1e-9);
}

TEST(Tuning, TheWholeHarpSharpIsA4) {
    Given given;
    given.harp = harp::Harp{};
    TuningLearner learner(given);
    for (int hole = 2; hole <= 7; ++hole) plant(learner, hole, harp::Breath::draw, 0.10);
    learner.settle();
    // 440 Hz times 2^(10/1200), a little less for the doubt.
    EXPECT_NEAR(learner.a4().value, 442.5, 0.15);
}

}  // namespace
}  // namespace lw::hear
