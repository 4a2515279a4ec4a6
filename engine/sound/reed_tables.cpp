// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/reed_tables.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lw::sound {
namespace {

/// About two steps an octave: a note loses at most its top half octave of harmonics, which is above 10 kHz.
constexpr std::array harmonic_counts = {1, 2, 3, 4, 6, 8, 11, 16, 23, 32, 45, 64, 90};
constexpr int most_bits = 11;
constexpr int most = 1 << most_bits;

/// Strength of one harmonic, before the table is brought to one loudness. `breath` 0..1.
double harmonic(int h, double breath, bool bent) noexcept {
    // Slope of the harmonics: from 14 dB an octave for the softest breath to 5 dB for the hardest.
    double slope = 2.3 - 2.4 * breath + 0.95 * breath * breath;
    // The slot opens twice in a cycle: even harmonics stand out, the fundamental steps back.
    const double twice = 0.25 + 0.55 * breath;
    double weight = h == 1 ? 1.0 - 0.62 * twice : (h % 2 == 0 ? 1.0 + 0.30 * twice : 1.0 - 0.18 * twice);
    if (bent) {
        slope += 0.42;
        weight = h == 1 ? 1.0 : (h == 2 ? 1.02 : (h == 3 ? 1.12 : 0.92));
    }
    // The tip cannot turn infinitely fast: a soft end of the row.
    return weight * std::pow(h, -slope) * std::exp(-h / 42.0);
}

/// Phases spread the pulse a little: all harmonics in step would be a spike of twice the height for the same
/// loudness, and no reed's pulse is one.
double phase(int h) noexcept {
    return 0.55 * std::pow(h - 1, 1.35);
}

int bits_for(int harmonics) noexcept {
    // 64 places a harmonic keep the error of linear interpolation 58 dB under the harmonic it belongs to.
    int bits = 9;
    while ((1 << bits) < 64 * harmonics && bits < most_bits) ++bits;
    return bits;
}

}  // namespace

ReedTables::ReedTables() {
    std::vector<float> sine(most);
    for (int n = 0; n < most; ++n) sine[n] = static_cast<float>(std::sin(2.0 * std::numbers::pi * n / most));
    for (const int harmonics : harmonic_counts) {
        Level level;
        level.harmonics = harmonics;
        level.size_bits = bits_for(harmonics);
        level.at.resize(static_cast<std::size_t>((1 << level.size_bits) + 1) * row);
        levels_.push_back(std::move(level));
    }
    std::vector<float> cycle(most);
    for (int column = 0; column < row; ++column) {
        const bool bent = column % 2 == 1;
        const double breath = (column / 2) / double(strengths - 1);
        double power = 0.0;
        for (int h = 1; h <= harmonic_counts.back(); ++h) power += std::pow(harmonic(h, breath, bent), 2) / 2;
        std::fill(cycle.begin(), cycle.end(), 0.0F);
        int done = 0;
        for (Level& level : levels_) {
            for (int h = done + 1; h <= level.harmonics; ++h) {
                const float a = static_cast<float>(harmonic(h, breath, bent) / std::sqrt(power));
                const int shift = static_cast<int>(phase(h) / (2.0 * std::numbers::pi) * most) & (most - 1);
                for (int n = 0; n < most; ++n) cycle[n] += a * sine[(h * n + shift) & (most - 1)];
            }
            done = level.harmonics;
            const int size = 1 << level.size_bits;
            for (int n = 0; n <= size; ++n) {
                level.at[static_cast<std::size_t>(n) * row + column] =
                    cycle[static_cast<std::size_t>(n) * (most / size) & (most - 1)];
            }
        }
    }
}

const ReedTables::Level& ReedTables::level_for(Hz highest, Hz top) const noexcept {
    const Level* best = &levels_.front();
    for (const Level& level : levels_) {
        if (highest.value * level.harmonics <= top.value) best = &level;
    }
    return *best;
}

}  // namespace lw::sound
