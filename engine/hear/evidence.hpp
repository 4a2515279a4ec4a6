// SPDX-License-Identifier: Apache-2.0
//
// What one frame says about reeds: which pitches sound and which of them began just now, as evidence to be weighed, not
// as a decision. Private to the room.
//
// Evidence is kept as the logarithm of the odds (nats), in sixteenths, cut at +-7.9: what the decoder adds up. So small
// a form (180 bytes a frame) lets a whole recording be decoded twice without looking at the sound again, and makes
// the streaming ear and the whole-file ear see exactly the same.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "engine/hear/front_end.hpp"

namespace lw::hear {

inline constexpr int sounding_bins = 118;
inline constexpr double lowest_sounding = 45.5;  // MIDI; two bins a semitone, up to 104
inline constexpr int onset_bins = 59;
inline constexpr double lowest_onset = 46.0;  // MIDI; one bin a semitone

struct Evidence {
    std::array<std::int8_t, sounding_bins> sounding{};
    std::array<std::int8_t, onset_bins> onset{};
    std::int8_t voice = 0;   // that any reed sounds
    std::int8_t attack = 0;  // that any note begins
};

[[nodiscard]] inline std::int8_t packed(float odds) noexcept {
    return static_cast<std::int8_t>(std::lround(std::clamp(odds, -7.9F, 7.9F) * 16.0F));
}
[[nodiscard]] constexpr float odds(std::int8_t packed_odds) noexcept {
    return static_cast<float>(packed_odds) * (1.0F / 16.0F);
}
[[nodiscard]] inline double chance(float log_odds) noexcept {
    return 1.0 / (1.0 + std::exp(-static_cast<double>(log_odds)));
}

/// The odds that this pitch sounds: between the two nearest bins by nearness. Far outside the range: surely not.
[[nodiscard]] inline float sounding_at(const Evidence& e, double midi) noexcept {
    const double place = (midi - lowest_sounding) * 2.0;
    if (!(place >= 0.0) || place > sounding_bins - 1) return -7.9F;
    const auto low = static_cast<std::size_t>(place);
    const auto part = static_cast<float>(place - static_cast<double>(low));
    const float a = odds(e.sounding[low]);
    return low + 1 < sounding_bins ? a + part * (odds(e.sounding[low + 1]) - a) : a;
}
/// The odds that a note at this pitch begins: the better of the two nearest semitones, since an attack may start flat.
[[nodiscard]] inline float onset_at(const Evidence& e, double midi) noexcept {
    const double place = midi - lowest_onset;
    if (!(place >= 0.0) || place > onset_bins - 1) return -7.9F;
    const auto low = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(low);
    // A neighbour counts only when the pitch lies between the two, not when it is on one of them.
    const float a = part < 0.75 ? odds(e.onset[low]) : -7.9F;
    const float b = part > 0.25 && low + 1 < onset_bins ? odds(e.onset[low + 1]) : -7.9F;
    return std::max(a, b);
}

/// Weighs frames. What comes out of a step speaks about the frame `lookahead` steps before: attacks are told better
/// by what follows.
class Salience {
  public:
    static constexpr int lookahead = 8;  // frames

    Salience() = default;
    Salience(const Salience&) = delete;
    Salience& operator=(const Salience&) = delete;
    virtual ~Salience() = default;
    /// Never allocates.
    virtual void step(const View& view, Evidence& about_earlier) noexcept = 0;
};

/// A reed that may sound in a frame, its pitch found as finely as the long spectrum allows.
struct Peak {
    float midi = 0.0F;  // A4 = 440 Hz
    float odds = -8.0F;
};
inline constexpr int most_peaks = 4;

/// All that is kept of a frame.
struct Look {
    Evidence evidence;
    std::array<Peak, most_peaks> peaks{};  // by rising pitch; those without a midi are not there
    float level = -120.0F;                 // dB of full scale
};

}  // namespace lw::hear
