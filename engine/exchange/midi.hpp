// SPDX-License-Identifier: Apache-2.0
//
// A lick as a Standard MIDI File, format 1, 960 ticks to a quarter: triplets, sixteenths, quintuplets and the
// swing ratios 2:1 and 3:2 fall on whole ticks; anything else is rounded to the nearest one (at 60 beats a
// minute half a tick is 0.5 ms, far below the 6 ms that listeners notice: Friberg & Sundberg, JASA 98(5),
// 1995).
//
// Two ways. *Played*: what is heard, swing and bends included. A key is the reed's own pitch and the bend
// goes down from it, as on the harp. The bend range is set first (RPN 0, 12 semitones; receivers start at 2,
// which cannot hold a three-half-step bend), so one bend step is 12/8192 of a semitone and a value is never
// more than 0.08 cents off. The hole that carries the melody has channel 1 to itself; further holes of a
// chord have channels 2, 3 ... so that a bend moves one hole only. Temperament and the pitch of A4 are played
// as part of the bend.
// *Plain*: what is written. Notated pitches on the straight grid, no bends; quarter steps are rounded to the
// semitone above, which is where the bend comes from, and a text event says so.
//
// The first track holds title, tempo, meter, chords (markers) and what the harp is; lyrics under the notes
// are the tab as typed. Words are UTF-8. The file begins on a bar line: before a pickup lie the missing
// beats.
#pragma once

#include <string>

#include "engine/exchange/midi_score.hpp"
#include "engine/lick/lick.hpp"
#include "engine/sound/performance.hpp"

namespace lw::exchange {

/// Harmonica in the General MIDI sound set, counted from 0.
inline constexpr int harmonica_program = 22;
inline constexpr int ticks_per_quarter = 960;
/// Semitones up and down of the bend wheel.
inline constexpr int bend_range = 12;

struct MidiChoices {
    int program = harmonica_program;  // 0..127
};

/// What is heard. `performance` must come from `lick`; its count-in and clicks are left out.
[[nodiscard]] MidiScore played_midi(const lick::Lick& lick, const sound::Performance& performance,
                                    const MidiChoices& choices = {});
/// What is written, at the lick's own tempo.
[[nodiscard]] MidiScore plain_midi(const lick::Lick& lick, const MidiChoices& choices = {});

/// The wheel's value for so many semitones above the key: 8192 is none; held inside 0..16383.
[[nodiscard]] int bend_value(Semitones above) noexcept;

}  // namespace lw::exchange
