// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/hear/resampler.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "tests/hear/sounds.hpp"

namespace lw::hear {
namespace {

constexpr double rates[] = {8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 192000};

std::vector<float> resampled(const std::vector<float>& in, double rate, std::size_t piece) {
    Resampler r(rate);
    std::vector<float> out;
    for (std::size_t i = 0; i < in.size(); i += piece) {
        const auto part = r.step(std::span(in).subspan(i, std::min(piece, in.size() - i)));
        out.insert(out.end(), part.begin(), part.end());
    }
    const auto rest = r.finish();
    out.insert(out.end(), rest.begin(), rest.end());
    return out;
}

std::vector<float> sine(double hz, double rate, double seconds) {
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = static_cast<float>(std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate));
    return x;
}

// The truth is the sine itself, taken at the new places: no delay, no change of level.
TEST(Resampler, SineIsTheSameSineAtEveryRate) {
    for (const double rate : rates)
        for (const double hz : {130.8, 440.0, 2093.0, 3300.0, 6900.0}) {
            if (hz > 0.42 * rate) continue;
            const std::vector<float> out = resampled(sine(hz, rate, 0.25), rate, 1000);
            ASSERT_EQ(out.size(), 4000U) << rate;
            double worst = 0.0;
            for (std::size_t n = 400; n < 3600; ++n)
                worst = std::max(worst, std::abs(static_cast<double>(out[n]) -
                                                 std::sin(2.0 * std::numbers::pi * hz *
                                                          static_cast<double>(n) / 16000.0)));
            EXPECT_LT(worst, 1e-3) << hz << " Hz at " << rate;
        }
}

TEST(Resampler, WhatWouldFoldBackBelow7kHzIs70DecibelsDown) {
    for (const double rate : {44100.0, 48000.0, 96000.0, 192000.0})
        for (const double hz : {9100.0, 10000.0, 12345.0, 15870.0, 20000.0}) {
            const std::vector<float> out = resampled(sine(hz, rate, 0.25), rate, 777);
            float worst = 0.0F;
            for (std::size_t n = 400; n < 3600; ++n) worst = std::max(worst, std::abs(out[n]));
            EXPECT_LT(worst, 3.2e-4F) << hz << " Hz at " << rate;
        }
}

TEST(Resampler, PiecesDoNotMatter) {
    const std::vector<float> in = test::white_noise(0.2, 44100.0, 0.5F);
    const std::vector<float> whole = resampled(in, 44100.0, Resampler::most_in);
    for (const std::size_t piece : {1U, 7U, 160U, 441U})
        EXPECT_EQ(resampled(in, 44100.0, piece), whole) << piece;
}

TEST(Resampler, WhatIsNoNumberIsSilence) {
    std::vector<float> in(4800, 0.0F);
    in[1000] = std::numeric_limits<float>::quiet_NaN();
    in[2000] = std::numeric_limits<float>::infinity();
    in[3000] = -std::numeric_limits<float>::infinity();
    for (const float x : resampled(in, 48000.0, 480)) EXPECT_EQ(x, 0.0F);
    in[1000] = 1e30F;
    for (const float x : resampled(in, 48000.0, 480)) EXPECT_LT(std::abs(x), 10.0F);
}

TEST(Resampler, NothingAndOneSample) {
    EXPECT_TRUE(resampled({}, 48000.0, 1).empty());
    EXPECT_EQ(resampled({0.5F}, 48000.0, 1).size(), 1U);
    EXPECT_EQ(resampled({0.5F}, 8000.0, 1).size(), 2U);
}

}  // namespace
}  // namespace lw::hear
