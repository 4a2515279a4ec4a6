// SPDX-License-Identifier: Apache-2.0
//
// The pitch of a reed that is known to sound, to a few cents. Private to the room.
//
// Each harmonic is found as a peak of the long spectrum near its place. Under a Hann window a steady sine shows in its
// peak bin and the larger neighbour with a known ratio, from which its frequency follows exactly (M. Abe & J. O. Smith
// and others treat this class of estimators; the Hann ratio itself is from memory, derived in tests/hear). The
// harmonics vote: each says f/h, weighed by its strength and by h, because an error in bins shrinks with h; those
// far from the rest (another reed's) are left out.
#pragma once

#include <array>
#include <optional>

#include "engine/hear/evidence.hpp"

namespace lw::hear {

/// The pitch (MIDI, A4 = 440) near `rough_midi`, within 0.6 semitones of it; nothing when no harmonic stands out there.
/// Steady sounds from C3 up: within 2 cents (test: hear.FinePitch).
[[nodiscard]] std::optional<double> fine_pitch(const std::array<float, long_bins>& power,
                                               double rough_midi) noexcept;

/// The reeds that may sound in a frame: peaks of the evidence, each made fine.
void find_peaks(const View& view, const Evidence& evidence, std::array<Peak, most_peaks>& peaks) noexcept;

}  // namespace lw::hear
