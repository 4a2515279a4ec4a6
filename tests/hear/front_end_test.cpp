// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/hear/front_end.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>

#include "engine/hear/fine_pitch.hpp"
#include "tests/hear/sounds.hpp"

namespace lw::hear {
namespace {

std::vector<View> views(const std::vector<float>& samples, std::size_t piece = 333) {
    FrontEnd front;
    std::vector<View> all;
    View v;
    for (std::size_t i = 0; i < samples.size();) {
        i += front.take(std::span(samples).subspan(i, std::min(piece, samples.size() - i)));
        while (front.next(v)) all.push_back(v);
    }
    return all;
}

std::vector<float> tone(double midi, double seconds, const std::vector<double>& harmonics,
                        double level = 0.3) {
    std::vector<float> x(static_cast<std::size_t>(seconds * ear_rate));
    const double hz = 440.0 * std::exp2((midi - 69.0) / 12.0);
    for (std::size_t i = 0; i < x.size(); ++i) {
        double sum = 0.0;
        for (std::size_t h = 0; h < harmonics.size(); ++h)
            if (hz * static_cast<double>(h + 1) < 7500.0)
                sum += harmonics[h] *
                       std::sin(2.0 * std::numbers::pi * hz * static_cast<double>((h + 1) * i) / ear_rate +
                                static_cast<double>(h * h));
        x[i] = static_cast<float>(level * sum);
    }
    return x;
}

// The sum that the fast transform stands for, written out.
TEST(FrontEnd, PowerIsTheSquareOfTheWindowedSum) {
    const std::vector<float> noise = test::white_noise(0.3, ear_rate, 0.5F, 3);
    const std::vector<View> all = views(noise);
    constexpr std::size_t frame = 10;
    for (const int bin : {0, 1, 33, 500, 1023, 1024}) {
        std::complex<double> sum{};
        for (int i = 0; i < long_window; ++i) {
            const double hann = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * i / long_window);
            const double x =
                static_cast<double>(noise[frame * hop + static_cast<std::size_t>(i) - long_window / 2]);
            sum += hann * x * std::polar(1.0, -2.0 * std::numbers::pi * bin * i / long_window);
        }
        const double want = std::norm(sum) / (long_window / 2.0) / (long_window / 2.0);
        EXPECT_NEAR(static_cast<double>(all[frame].power[static_cast<std::size_t>(bin)]), want,
                    1e-3 * want + 1e-10)
            << bin;
    }
}

// A full-scale sine in the middle of a bin: a quarter in its bin, a sixteenth in both neighbours (the transform of
// the Hann window is 1/4, 1/2, 1/4). Long band 48 is A4.
TEST(FrontEnd, SineAndSilenceInDecibels) {
    const double hz = 56 * ear_rate / long_window;  // 437.5 Hz
    const std::vector<float> sine = tone(69.0 + 12.0 * std::log2(hz / 440.0), 0.3, {1.0}, 1.0);
    const View v = views(sine)[10];
    EXPECT_NEAR(v.power[56], 0.25, 1e-4);
    EXPECT_NEAR(v.power[55], 0.0625, 1e-4);
    EXPECT_NEAR(v.power[57], 0.0625, 1e-4);
    EXPECT_NEAR(v.energy, 0.5, 1e-3);
    const View quiet = views(std::vector<float>(4000, 0.0F))[5];
    for (const float x : quiet.features) EXPECT_NEAR(x, -4.0F / 3.0F, 1e-5F);
}

TEST(FrontEnd, PiecesDoNotMatter) {
    const std::vector<float> noise = test::white_noise(2.0, ear_rate, 0.5F, 4);
    const std::vector<View> whole = views(noise, noise.size());
    for (const std::size_t piece : {1U, 159U, 2048U}) {
        const std::vector<View> cut = views(noise, piece);
        ASSERT_EQ(cut.size(), whole.size());
        for (std::size_t i = 0; i < cut.size(); ++i) ASSERT_EQ(cut[i].features, whole[i].features) << i;
    }
}

// The truth is the frequency the tone was made with.
TEST(FinePitch, SteadyTonesFromC3UpWithinTwoCents) {
    test::Chance chance(5);
    for (double midi = 48.0; midi <= 101.0; midi += 0.37) {
        std::vector<double> harmonics(8);
        for (std::size_t h = 0; h < harmonics.size(); ++h)
            harmonics[h] =
                (0.2 + 0.8 * std::abs(static_cast<double>(chance.sample()))) / static_cast<double>(h + 1);
        const View v = views(tone(midi, 0.25, harmonics))[12];
        const double rough = midi + 0.25 * static_cast<double>(chance.sample());
        const std::optional<double> fine = fine_pitch(v.power, rough);
        ASSERT_TRUE(fine.has_value()) << midi;
        EXPECT_NEAR(*fine, midi, 0.02) << midi;
    }
    EXPECT_FALSE(fine_pitch(views(std::vector<float>(4000, 0.0F))[8].power, 69.0).has_value());
}

}  // namespace
}  // namespace lw::hear
