// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/plain_salience.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {
namespace {

// Places of harmonics 1..8 above a pitch, in half semitones: 24 lg2(h), rounded.
constexpr std::array<int, 8> harmonic{0, 24, 38, 48, 56, 62, 67, 72};
// Half-way places below each of them: h - 1/2.
constexpr std::array<int, 8> between{-24, 14, 32, 43, 52, 59, 65, 70};
// A harmonic counts less the higher it is; free reeds keep strong harmonics up to about the sixth.
constexpr std::array<float, 8> weight{1.0F, 0.95F, 0.8F, 0.7F, 0.55F, 0.45F, 0.35F, 0.3F};

/// Loudness over the floor of the frame, evened out: 1 is 20 dB.
using Bands = std::array<float, long_bands>;

float at(const Bands& b, int i) noexcept {
    return i >= 0 && i < long_bands ? b[static_cast<std::size_t>(i)] : 0.0F;
}

float score(const Bands& b, int bin) noexcept {
    const int base = bin + 1;  // sounding bin 0 is band 1
    float sum = 0.0F;
    for (std::size_t h = 0; h < harmonic.size(); ++h) {
        const float on = at(b, base + harmonic[h]);
        const float off = h == 0 ? 0.5F * at(b, base + between[h]) : at(b, base + between[h]);
        sum += weight[h] * (on - 0.8F * std::min(off, on + 0.2F));
    }
    return sum;
}

}  // namespace

PlainSalience::PlainSalience() {
    for (auto& frame : past_) frame.fill((10.0F * -10.0F + 60.0F) / 30.0F);
}

void PlainSalience::step(const View& view, Evidence& out) noexcept {
    past_[static_cast<std::size_t>(count_ % kept)] = view.features;
    const auto frame = [&](int ago) -> const std::array<float, feature_count>& {
        return past_[static_cast<std::size_t>(((count_ - ago) % kept + kept) % kept)];
    };
    const auto& now = frame(lookahead);

    // The floor: well below the loudest band, never below -85 dB of full scale.
    Bands bands;
    std::copy_n(now.begin(), long_bands, bands.begin());
    const float loudest = *std::max_element(bands.begin(), bands.end());
    const float floor = std::max(loudest - 1.4F, -0.8F);  // 42 dB; -84 dB
    for (float& b : bands) b = std::max(0.0F, (b - floor) * 1.5F);
    // Only what stands out of its surroundings (four semitones to either side) is a harmonic; hiss does not.
    const Bands level = bands;
    for (int i = 0; i < long_bands; ++i) {
        float around = 0.0F;
        const int from = std::max(0, i - 8);
        const int to = std::min(long_bands - 1, i + 8);
        for (int k = from; k <= to; ++k) around += level[static_cast<std::size_t>(k)];
        float& b = bands[static_cast<std::size_t>(i)];
        b = std::max(0.0F, b - around / static_cast<float>(to - from + 1));
    }

    out.sounding.fill(packed(-5.0F));
    std::array<float, sounding_bins> s;
    for (int i = 0; i < sounding_bins; ++i) s[static_cast<std::size_t>(i)] = score(bands, i);
    float first = 0.0F;
    for (int voice = 0; voice < 2; ++voice) {
        const auto best = std::max_element(s.begin(), s.end());
        const float height = *best;
        if (voice == 0) first = height;
        // A second reed must stand out nearly as much as the first once the first is gone.
        if (height < 1.8F || height < 0.45F * first) break;
        const int peak = static_cast<int>(best - s.begin());
        for (int i = std::max(0, peak - 2); i <= std::min(sounding_bins - 1, peak + 2); ++i) {
            const float near = s[static_cast<std::size_t>(i)] / height;
            const float odds_here = voice == 0 ? 3.5F - 12.0F * (1.0F - near) : 1.2F - 8.0F * (1.0F - near);
            auto& o = out.sounding[static_cast<std::size_t>(i)];
            o = std::max(o, packed(std::max(odds_here, -5.0F)));
        }
        for (const int h : harmonic)
            for (int i = peak + 1 + h - 1; i <= peak + 1 + h + 1; ++i)
                if (i >= 0 && i < long_bands) bands[static_cast<std::size_t>(i)] *= 0.15F;
        for (int i = 0; i < sounding_bins; ++i) s[static_cast<std::size_t>(i)] = score(bands, i);
    }
    out.voice = packed(std::clamp((first - 2.2F) * 3.0F, -5.0F, 5.0F));

    // Rise of the short bands within 30 ms, most where a pitch has its harmonics.
    const auto& before = frame(lookahead);
    const auto& after = frame(lookahead - 3);
    std::array<float, short_bands> rise;
    float all = 0.0F;
    for (std::size_t i = 0; i < short_bands; ++i) {
        const std::size_t k = long_bands + i;
        rise[i] = std::max(0.0F, std::max(after[k], floor) - std::max(before[k], floor));
        all += rise[i];
    }
    for (int i = 0; i < onset_bins; ++i) {
        float mean = 0.0F;
        int n = 0;
        for (std::size_t h = 0; h < 4; ++h) {
            const int k =
                (2 * i + harmonic[h] + 2) / 4;  // half semitones from MIDI 46 to bands of two semitones
            if (k < short_bands) {
                mean += rise[static_cast<std::size_t>(k)];
                ++n;
            }
        }
        mean = n > 0 ? mean / static_cast<float>(n) : 0.0F;
        out.onset[static_cast<std::size_t>(i)] = packed(std::clamp(-3.0F + 18.0F * mean, -4.0F, 4.0F));
    }
    out.attack = packed(std::clamp(-3.0F + 18.0F * all / short_bands, -4.0F, 4.0F));
    ++count_;
}

}  // namespace lw::hear
