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
    std::int8_t reed = 0;    // that what plays is a free reed
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

/// Log-odds of a chance, cut where single frames stop being believed.
[[nodiscard]] inline float odds_of(float chance_of_it) noexcept {
    const float p = std::clamp(chance_of_it, 0.002F, 0.985F);
    return std::log(p / (1.0F - p));
}

/// The chances behind a frame's evidence.
struct Chances {
    std::array<float, sounding_bins> sounding;
    std::array<float, onset_bins> onset;
};
class ChanceTable {
  public:
    ChanceTable() noexcept {
        for (int i = 0; i < 256; ++i)
            chance_[static_cast<std::size_t>(i)] =
                1.0F / (1.0F + std::exp(-odds(static_cast<std::int8_t>(i - 128))));
    }
    void unpack(const Evidence& e, Chances& c) const noexcept {
        for (std::size_t i = 0; i < sounding_bins; ++i) c.sounding[i] = of(e.sounding[i]);
        for (std::size_t i = 0; i < onset_bins; ++i) c.onset[i] = of(e.onset[i]);
    }

  private:
    [[nodiscard]] float of(std::int8_t packed_odds) const noexcept {
        return chance_[static_cast<std::size_t>(packed_odds + 128)];
    }
    std::array<float, 256> chance_;
};

/// The odds that this pitch sounds. A reed's chance lies spread over the two bins beside its pitch, so the three
/// nearest bins are added up; how far their middle is from the pitch counts against it. Far outside the range: no.
[[nodiscard]] inline float sounding_at(const Chances& c, double midi) noexcept {
    const double place = (midi - lowest_sounding) * 2.0;
    if (!(place >= 0.0) || place > sounding_bins - 1) return -6.0F;
    const int middle = static_cast<int>(place + 0.5);
    float sum = 1e-6F;
    float moment = 0.0F;
    for (int i = middle - 1; i <= middle + 1; ++i) {
        if (i < 0 || i >= sounding_bins) continue;
        const float p = c.sounding[static_cast<std::size_t>(i)];
        sum += p;
        moment += p * static_cast<float>(i - place);
    }
    // In half semitones; an eighth of a semitone is within what reeds and bins differ.
    const float off = std::max(0.0F, std::abs(moment / sum) - 0.25F);
    return std::max(-6.0F, odds_of(sum) - 10.0F * off * off);
}
/// Where the chances within a semitone of a pitch have their middle: coarser than fine_pitch, but sure of the moment.
/// The pitch itself where there are none.
[[nodiscard]] inline double middle_near(const Chances& c, double midi) noexcept {
    const int nearest = static_cast<int>(std::lround((midi - lowest_sounding) * 2.0));
    double sum = 0.05;  // a little of the pitch itself, so that next to nothing moves next to nothing
    double moment = 0.05 * midi;
    for (int i = std::max(0, nearest - 2); i <= std::min(sounding_bins - 1, nearest + 2); ++i) {
        const double p = static_cast<double>(c.sounding[static_cast<std::size_t>(i)]);
        sum += p;
        moment += p * (lowest_sounding + i / 2.0);
    }
    return moment / sum;
}
/// The chance that a note at this pitch begins in a frame: the better of the two nearest semitones, since an attack may
/// start flat.
[[nodiscard]] inline float onset_at(const Chances& c, double midi) noexcept {
    const double place = midi - lowest_onset;
    if (!(place >= 0.0) || place > onset_bins - 1) return 0.0F;
    const auto low = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(low);
    // A neighbour counts only when the pitch lies between the two, not when it is on one of them.
    const float a = part < 0.75 ? c.onset[low] : 0.0F;
    const float b = part > 0.25 && low + 1 < onset_bins ? c.onset[low + 1] : 0.0F;
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
