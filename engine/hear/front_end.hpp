// SPDX-License-Identifier: Apache-2.0
//
// What the ear looks at: 16 kHz samples in, every 10 ms two spectra of the same moment out. Private to the room.
//
// A long window (128 ms) tells pitches a quarter tone apart from about A3 up; a short one (32 ms) tells when something
// began. Both are Hann windows around the middle of the frame. Their power is summed into triangular bands, two to a
// semitone (long) and one to two semitones (short), and taken to decibels: 180 numbers in all, the same that the net
// was trained on (tools/ear makes them in Python; tests/hear/vectors holds both to each other).
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <kissfft/kissfft.hh>
#include <span>
#include <vector>

#include "engine/hear/resampler.hpp"

namespace lw::hear {

inline constexpr int hop = 160;  // samples at ear_rate: 10 ms
inline constexpr int long_window = 2048;
inline constexpr int short_window = 512;
inline constexpr int long_bins = long_window / 2 + 1;
inline constexpr int short_bins = short_window / 2 + 1;
inline constexpr int long_bands = 144;
inline constexpr double lowest_band = 45.0;  // MIDI, centre of long band 0; two bands a semitone
inline constexpr int short_bands = 36;
inline constexpr double lowest_short_band = 46.0;  // MIDI; one band to two semitones
inline constexpr int feature_count = long_bands + short_bands;

/// One moment of the sound. Power is that of a window that sums to 1: a sine at full scale has 0.25 in its bin.
struct View {
    std::array<float, long_bins> power;
    std::array<float, feature_count> features;  // (10 lg(band power + 1e-10) + 60) / 30
    float energy = 0.0F;                        // mean square under the short window
};

class FrontEnd {
  public:
    FrontEnd();
    /// Takes up to `most_in` samples; as many as fit are taken, and their number comes back. Call `next` until it says
    /// no before giving more.
    [[nodiscard]] std::size_t take(std::span<const float> samples) noexcept;
    /// The next frame, when all of its samples are there. Frame t is centred at sample 160 t.
    [[nodiscard]] bool next(View& view) noexcept;
    /// How many frames have been looked at.
    [[nodiscard]] std::int64_t frames() const noexcept { return frames_; }
    /// The last `count` samples taken (at most long_window), oldest first.
    [[nodiscard]] std::span<const float> latest(std::size_t count) const noexcept {
        return {&samples_[held_ - count], count};
    }

    static constexpr std::size_t capacity = 4 * long_window;

  private:
    struct Band {
        int first = 0;
        int count = 0;
        int weight = 0;  // index into weights_
    };
    [[nodiscard]] Band band(double centre, double step, double bin_width, int bins);

    kissfft<double> long_fft_{long_window / 2, false};
    kissfft<double> short_fft_{short_window / 2, false};
    std::vector<double> long_hann_, short_hann_;  // each sums to 1
    std::vector<float> weights_;
    std::array<Band, long_bands> long_band_;
    std::array<Band, short_bands> short_band_;
    std::vector<double> windowed_;
    std::vector<std::complex<double>> spectrum_;
    std::vector<float> short_power_;
    std::vector<float> samples_;
    std::size_t held_;
    std::int64_t base_;  // number of the first sample held
    std::int64_t frames_ = 0;
};

}  // namespace lw::hear
