// SPDX-License-Identifier: GPL-3.0-or-later
//
// What happens to sound between the harp and the ear: a room, a phone. All at `take_rate`, one channel; the same dice
// give the same samples.
#pragma once

#include <span>
#include <vector>

#include "engine/units/quantity.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::listening {

/// Root mean square over the whole of it.
[[nodiscard]] double level_of(std::span<const float> samples);

/// White noise so far below the level of the sound.
void add_noise(std::vector<float>& samples, Decibels below, support::Dice& dice);

/// A room as a direct sound and a tail of decaying noise (statistical reverberation: M. R. Schroeder, Natural sounding
/// artificial reverberation, JAES 10(3), 1962, from memory): `rt60` is the time in which the tail falls by 60 dB,
/// `direct` how far the direct sound stands above the energy of the whole tail. Keeps time: the direct sound is not late.
[[nodiscard]] std::vector<float> in_room(std::span<const float> samples, Seconds rt60, Decibels direct,
                                         support::Dice& dice);

/// Between `low` and `high` only: Butterworth, fourth order on either side (coefficients: R. Bristow-Johnson, Audio EQ
/// cookbook).
[[nodiscard]] std::vector<float> in_band(std::span<const float> samples, Hz low, Hz high);

/// Through LAME at a constant 64 kbit/s and back, by libsndfile; the coder's delay is taken out again.
/// Throws std::runtime_error when libsndfile cannot write MP3.
[[nodiscard]] std::vector<float> through_mp3(std::span<const float> samples);

}  // namespace lw::listening
