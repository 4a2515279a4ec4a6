// SPDX-License-Identifier: GPL-3.0-or-later
//
// A click is no note. Learners play to one, and a microphone hears both: takes of free reeds with a click on every half
// beat, as loud as the harp or softer, of four kinds that metronomes make.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace lw::listening {
namespace {

enum class Click { damped_tone, beep, knock, noise };

/// 60 ms of one click, peak about 1.
std::vector<double> click_of(Click kind, support::Dice& dice) {
    std::vector<double> x(static_cast<std::size_t>(0.06 * take_rate));
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double t = static_cast<double>(i) / take_rate;
        const auto tone = [&](double hz) { return std::sin(2.0 * std::numbers::pi * hz * t); };
        switch (kind) {
            case Click::damped_tone:
                x[i] = tone(1500.0) * std::exp(-t / 0.010);
                break;
            case Click::beep:
                x[i] = t < 0.03 ? tone(1000.0) : 0.0;
                break;
            case Click::knock:
                x[i] = (tone(820.0) * std::exp(-t / 0.012) + tone(1970.0) * std::exp(-t / 0.006)) / 1.5;
                break;
            case Click::noise:
                x[i] = 0.4 * bell(dice) * std::exp(-t / 0.008);
                break;
        }
    }
    return x;
}

float peak_of(const std::vector<float>& samples) {
    float most = 0.0F;
    for (const float x : samples) most = std::max(most, std::abs(x));
    return most;
}

/// On every beat and between every two, from a bar before the first on; `below` the harp's peak.
void add_clicks(Take& take, Click kind, Decibels below, support::Dice& dice) {
    const double peak = static_cast<double>(peak_of(take.samples)) * std::pow(10.0, -below.value / 20.0);
    const std::vector<double> x = click_of(kind, dice);
    for (std::size_t b = 0; b + 1 < take.beats.size(); ++b)
        for (const double part : {0.0, 0.5}) {
            const double at = take.beats[b].value * (1.0 - part) + take.beats[b + 1].value * part;
            const auto first = static_cast<std::size_t>(at * take_rate);
            for (std::size_t i = 0; i < x.size() && first + i < take.samples.size(); ++i)
                take.samples[first + i] += static_cast<float>(peak * x[i]);
        }
}

TEST(Clicks, AreNoNotes) {
    for (const char* name : {"fluid-harmonica", "fluid-accordion"}) {
        auto maker = TakeMaker::open(*instrument_named(name));
        ASSERT_TRUE(maker) << name;
        Score bare{}, clicked{};
        std::uint64_t seed = 401;
        for (const Click kind : {Click::damped_tone, Click::beep, Click::knock, Click::noise})
            for (const double below : {0.0, 6.0}) {
                support::Dice dice{seed};
                Take take = maker->make({.seed = seed++});
                const auto hear = [&] {
                    return score(take.phrase.harp, take.truth,
                                 hear::listen(take.samples, take_rate,
                                              {.harp = take.phrase.harp, .a4 = take.a4, .reeds = {}}),
                                 {static_cast<double>(take.samples.size()) / take_rate});
                };
                bare += hear();
                add_clicks(take, kind, {below}, dice);
                clicked += hear();
            }
        EXPECT_GE(bare.tab.f1(), 0.97) << name;
        EXPECT_GE(clicked.tab.f1(), bare.tab.f1() - 0.02) << name;
    }
}

}  // namespace
}  // namespace lw::listening
