// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pitch heard by somebody else: aubio's YIN (P. Brossier, aubio 0.4).
#pragma once

#include <aubio/aubio.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <span>
#include <vector>

namespace lw::test {

/// Pitch of every hop of `window` / 8 samples, in Hz; 0 where aubio hears none. (Its default, the spectral YIN, was tried
/// first: it reads 5 to 10 cents high above 2 kHz, for a bare sine too.)
inline std::vector<double> pitches(std::span<const float> samples, double rate, uint_t window = 4096) {
    const uint_t hop = window / 8;
    char method[] = "yinfast";
    char unit[] = "Hz";
    aubio_pitch_t* pitch = new_aubio_pitch(method, window, hop, static_cast<uint_t>(rate));
    aubio_pitch_set_unit(pitch, unit);
    fvec_t* in = new_fvec(hop);
    fvec_t* out = new_fvec(1);
    std::vector<double> all;
    for (std::size_t at = 0; at + hop <= samples.size(); at += hop) {
        for (uint_t i = 0; i < hop; ++i) fvec_set_sample(in, samples[at + i], i);
        aubio_pitch_do(pitch, in, out);
        all.push_back(fvec_get_sample(out, 0));
    }
    del_fvec(in);
    del_fvec(out);
    del_aubio_pitch(pitch);
    return all;
}

/// The smallest window that holds six periods of the note.
inline uint_t window_for(double hz, double rate) {
    uint_t window = 256;
    while (window < 6.0 * rate / hz) window *= 2;
    return window;
}

/// The same sound with three samples more between any two (windowed sinc). A period of 20 samples is too short for
/// the parabola that aubio lays through its dip: it reads up to 10 cents high there whatever the sound.
inline std::vector<float> four_times_finer(std::span<const float> x) {
    constexpr int reach = 24;
    static const std::array<std::array<float, 2 * reach>, 4> weights = [] {
        std::array<std::array<float, 2 * reach>, 4> w{};
        for (int part = 0; part < 4; ++part) {
            for (int k = 0; k < 2 * reach; ++k) {
                const double d = k - reach + 1 - part / 4.0;
                const double sinc = d == 0.0 ? 1.0 : std::sin(std::numbers::pi * d) / (std::numbers::pi * d);
                w[part][k] =
                    static_cast<float>(sinc * (0.5 + 0.5 * std::cos(std::numbers::pi * d / (reach + 1))));
            }
        }
        return w;
    }();
    std::vector<float> out;
    for (std::size_t i = 0; i + 2 * reach <= x.size(); ++i) {
        for (const auto& w : weights) {
            float sum = 0.0F;
            for (int k = 0; k < 2 * reach; ++k) sum += x[i + k] * w[k];
            out.push_back(sum);
        }
    }
    return out;
}

/// Median over the windows that lie wholly inside the samples. `near` is any pitch of the register.
inline double median_pitch(std::span<const float> samples, double rate, double near) {
    if (near > rate / 70.0) {
        const std::vector<float> finer =
            four_times_finer(samples.first(std::min<std::size_t>(samples.size(), 5000)));
        return median_pitch(finer, rate * 4.0, near);
    }
    std::vector<double> all = pitches(samples, rate, window_for(near, rate));
    all.erase(all.begin(), all.begin() + std::min<std::ptrdiff_t>(std::ssize(all), 8));
    std::erase_if(all, [](double f) { return f <= 0.0; });
    if (all.empty()) return 0.0;
    std::nth_element(all.begin(), all.begin() + std::ssize(all) / 2, all.end());
    return all[all.size() / 2];
}

inline double cents(double heard, double meant) {
    return 1200.0 * std::log2(heard / meant);
}

}  // namespace lw::test
