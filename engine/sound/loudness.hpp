// SPDX-License-Identifier: Apache-2.0
//
// How loud it is, as broadcasters measure it: ITU-R BS.1770 (K-weighting, gates, true peak) with the windows
// of EBU Tech 3341 (400 ms, 3 s) and the range of EBU Tech 3342.
//
// The weighting is made for any rate from the analogue prototype whose values libebur128's source gives; at
// 48 kHz it is the published filter to 12 digits (tested). Channels count alike: one or two, no surround.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "engine/sound/filters.hpp"
#include "engine/units/quantity.hpp"

namespace lw::sound {

/// Loudness in LUFS (LKFS is the same).
using Lufs = Quantity<struct LufsTag>;
/// A difference of loudness.
using LoudnessUnits = Quantity<struct LoudnessUnitsTag>;

/// What the meter says of silence.
inline constexpr Lufs silence{-200.0};

class LoudnessMeter {
  public:
    /// `channels` 1 or 2.
    LoudnessMeter(int channels, Hz rate);
    /// Whole frames, channels in turn.
    void add(std::span<const float> interleaved);

    /// With both gates, over all that was added; `silence` when nothing is above -70.
    [[nodiscard]] Lufs integrated() const;
    /// The last 400 ms, and the last 3 s; `silence` before that much was added.
    [[nodiscard]] Lufs momentary() const;
    [[nodiscard]] Lufs short_term() const;
    [[nodiscard]] Lufs highest_momentary() const;
    [[nodiscard]] LoudnessUnits range() const;

  private:
    [[nodiscard]] double mean_of_last(std::size_t end, std::size_t hops) const noexcept;
    [[nodiscard]] std::vector<double> means(std::size_t hops) const;

    struct Weighting {
        Biquad<double> shelf;
        Biquad<double> high_pass;
    };
    std::vector<Weighting> channels_;
    std::size_t hop_ = 0;     // frames in 100 ms
    std::size_t in_hop_ = 0;  // frames so far
    double hop_energy_ = 0.0;
    std::vector<double> hops_;  // mean square of each 100 ms, channels added up
};

/// The two stages of the weighting at a rate.
[[nodiscard]] Biquad<double> weighting_shelf(Hz rate) noexcept;
[[nodiscard]] Biquad<double> weighting_high_pass(Hz rate) noexcept;

/// The highest value between the samples too, as a ratio of full scale: four times oversampled below 96 kHz,
/// twice below 192 kHz. Reads at most 0.1 dB low for anything below 0.45 of the rate.
[[nodiscard]] double true_peak(std::span<const float> interleaved, int channels, Hz rate);
/// The same for every frame, of all channels together: the highest value within one sample of it.
[[nodiscard]] std::vector<float> true_peaks(std::span<const float> interleaved, int channels, Hz rate);

[[nodiscard]] Decibels to_decibels(double ratio) noexcept;
[[nodiscard]] double to_ratio(Decibels decibels) noexcept;

}  // namespace lw::sound
