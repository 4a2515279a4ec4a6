// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cases of EBU Tech 3341 (V4, 2023) and Tech 3342, as restated in several public test suites, and of ITU-R
// BS.1770. All are synthesised here; libebur128 and ffmpeg judge rendered clips in tests/audio.
#include "engine/sound/loudness.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace lw::sound {
namespace {

constexpr Hz rate48{48000.0};

struct Tone {
    double dbfs;
    double seconds;
};

std::vector<float> tones(const std::vector<Tone>& parts, double hz = 1000.0, int channels = 2,
                         Hz rate = rate48) {
    std::vector<float> out;
    std::size_t n = 0;
    for (const Tone& part : parts) {
        const double a = std::pow(10.0, part.dbfs / 20.0);
        const auto frames = static_cast<std::size_t>(std::lround(part.seconds * rate.value));
        for (std::size_t i = 0; i < frames; ++i, ++n) {
            const double x = a * std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(n) / rate.value);
            for (int c = 0; c < channels; ++c) out.push_back(static_cast<float>(x));
        }
    }
    return out;
}

LoudnessMeter metered(const std::vector<float>& samples, int channels = 2, Hz rate = rate48) {
    LoudnessMeter meter{channels, rate};
    meter.add(samples);
    return meter;
}

TEST(Loudness, Case1And2SteadyTones) {
    for (const double level : {-23.0, -33.0}) {
        const LoudnessMeter m = metered(tones({{level, 20.0}}));
        EXPECT_NEAR(m.integrated().value, level, 0.1);
        EXPECT_NEAR(m.momentary().value, level, 0.1);
        EXPECT_NEAR(m.short_term().value, level, 0.1);
    }
}

TEST(Loudness, Case3To5Gates) {
    EXPECT_NEAR(metered(tones({{-36, 10}, {-23, 60}, {-36, 10}})).integrated().value, -23.0, 0.1);
    EXPECT_NEAR(metered(tones({{-72, 10}, {-36, 10}, {-23, 60}, {-36, 10}, {-72, 10}})).integrated().value,
                -23.0, 0.1);
    EXPECT_NEAR(metered(tones({{-26, 20}, {-20, 20.1}, {-26, 20}})).integrated().value, -23.0, 0.1);
}

/// Feeds 100 ms at a time and gives every reading after `settle` seconds.
template <class Read>
void expect_constant(const std::vector<float>& samples, double settle, Read read) {
    LoudnessMeter meter{2, rate48};
    const std::size_t step = 4800 * 2;
    int looked = 0;
    for (std::size_t at = 0; at + step <= samples.size(); at += step) {
        meter.add(std::span{samples}.subspan(at, step));
        if (static_cast<double>(at + step) / 96000.0 < settle) continue;
        EXPECT_NEAR(read(meter), -23.0, 0.1) << "at " << static_cast<double>(at + step) / 96000.0;
        ++looked;
    }
    EXPECT_GT(looked, 50);
}

TEST(Loudness, Case9ShortTermIsSteady) {
    std::vector<Tone> parts;
    for (int i = 0; i < 5; ++i) parts.insert(parts.end(), {{-20, 1.34}, {-30, 1.66}});
    expect_constant(tones(parts), 3.0, [](const LoudnessMeter& m) { return m.short_term().value; });
}

TEST(Loudness, Case12MomentaryIsSteady) {
    std::vector<Tone> parts;
    for (int i = 0; i < 25; ++i) parts.insert(parts.end(), {{-20, 0.18}, {-30, 0.22}});
    expect_constant(tones(parts), 1.0, [](const LoudnessMeter& m) { return m.momentary().value; });
}

TEST(Loudness, FullScaleToneInOneChannel) {
    // BS.1770: a 997 Hz sine at 0 dBFS in one channel reads -3.01 LKFS (remembered; our computation agrees).
    EXPECT_NEAR(metered(tones({{0.0, 5.0}}, 997.0, 1), 1).integrated().value, -3.01, 0.01);
}

TEST(Loudness, WeightingFollowsFrequency) {
    // Mono sine at -20 dBFS; computed from the published filter.
    const std::pair<double, double> rows[] = {{100, -24.84},  {250, -23.85},  {440, -23.69},
                                              {1000, -23.00}, {2000, -20.63}, {4000, -19.73}};
    for (const auto& [hz, lufs] : rows) {
        EXPECT_NEAR(metered(tones({{-20, 5}}, hz, 1), 1).integrated().value, lufs, 0.02) << hz;
        for (const Hz rate : {Hz{44100.0}, Hz{96000.0}}) {
            EXPECT_NEAR(metered(tones({{-20, 5}}, hz, 1, rate), 1, rate).integrated().value, lufs, 0.04)
                << hz << " at " << rate.value;
        }
    }
}

TEST(Loudness, FilterAt48IsThePublishedOne) {
    const Biquad<double> shelf = weighting_shelf(rate48);  // ITU-R BS.1770-4, table 1
    EXPECT_NEAR(shelf.b0, 1.53512485958697, 1e-9);
    EXPECT_NEAR(shelf.b1, -2.69169618940638, 1e-9);
    EXPECT_NEAR(shelf.b2, 1.19839281085285, 1e-9);
    EXPECT_NEAR(shelf.a1, -1.69065929318241, 1e-9);
    EXPECT_NEAR(shelf.a2, 0.73248077421585, 1e-9);
    const Biquad<double> high = weighting_high_pass(rate48);  // table 2
    EXPECT_EQ(high.b1, -2.0);
    EXPECT_NEAR(high.a1, -1.99004745483398, 1e-9);
    EXPECT_NEAR(high.a2, 0.99007225036621, 1e-9);
}

TEST(Loudness, RangeOfTwoLevels) {
    // EBU Tech 3342, case 1: 20 s at -20, then 20 s at -30 dBFS: 10 +-1 LU.
    EXPECT_NEAR(metered(tones({{-20, 20}, {-30, 20}})).range().value, 10.0, 1.0);
}

TEST(Loudness, SilenceHasNone) {
    EXPECT_EQ(metered(std::vector<float>(96000 * 2)).integrated(), silence);
    EXPECT_EQ(metered({}).integrated(), silence);
    EXPECT_EQ(metered({}).momentary(), silence);
}

TEST(TruePeak, Cases15To19) {
    struct Row {
        double divisor, level, degrees, dbtp, sample_peak;
    };
    const Row rows[] = {{4, 0.50, 0, -6.0, -6.02},
                        {4, 0.50, 45, -6.0, -9.03},
                        {6, 0.50, 60, -6.0, -7.27},
                        {8, 0.50, 67.5, -6.0, -6.71},
                        {4, 1.41, 45, 3.0, -0.03}};
    for (const Row& row : rows) {
        std::vector<float> x;
        double sample_peak = 0.0;
        for (int i = 0; i < 48000; ++i) {
            const double phase = 2.0 * std::numbers::pi * (i / row.divisor + row.degrees / 360.0);
            // Faded in and out over 10 ms: a tone that is cut off is no longer one tone.
            const double fade = std::min({1.0, i / 480.0, (47999 - i) / 480.0});
            const auto value = static_cast<float>(row.level * std::sin(phase) * fade);
            x.insert(x.end(), {value, value});
            sample_peak = std::max(sample_peak, std::abs(double{value}));
        }
        const double measured = to_decibels(true_peak(x, 2, rate48)).value;
        EXPECT_LE(measured, row.dbtp + 0.2) << row.divisor << " " << row.degrees;
        EXPECT_GE(measured, row.dbtp - 0.4) << row.divisor << " " << row.degrees;
        EXPECT_NEAR(to_decibels(sample_peak).value, row.sample_peak, 0.01);
        const std::vector<float> each = true_peaks(x, 2, rate48);
        EXPECT_NEAR(*std::max_element(each.begin(), each.end()), true_peak(x, 2, rate48), 1e-6);
    }
}

}  // namespace
}  // namespace lw::sound
