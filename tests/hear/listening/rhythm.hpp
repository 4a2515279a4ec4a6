// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where notes stand in the beat, by chance: the patterns a teacher would write, beat after beat, with rests, breaths
// and long notes. Straight, swung (a beat in two parts, long and short) or in threes (12/8).
#pragma once

#include <vector>

#include "engine/lick/lick.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::listening {

/// One note's place; nothing is said about its pitch.
struct Slot {
    Beats at;
    Beats length;
    bool breath_before = false;  // the note before ends early for it
};

struct Groove {
    lick::Meter meter;
    lick::Feel feel;
    BeatsPerMinute tempo{90.0};
};

/// By chance: 60 to 140 beats a minute, straight 4/4, swung 4/4 or 12/8.
[[nodiscard]] Groove chance_groove(support::Dice& dice);

/// `notes` places in order; the last one is long. The first beat may be silent.
[[nodiscard]] std::vector<Slot> chance_rhythm(support::Dice& dice, const Groove& groove, int notes);

/// The place of a straight beat when the groove swings: only the second of two parts moves.
[[nodiscard]] double swung(const Groove& groove, Beats straight);

}  // namespace lw::listening
