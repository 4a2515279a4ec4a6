// SPDX-License-Identifier: Apache-2.0
//
// How a player plays what is written: the times and depths of joins, gestures and breaths.
//
// All of these are common practice, no source, unless the line says otherwise; each says what is heard when
// it moves. They are the same for every consumer of a performance (sound, MIDI, screen).
#pragma once

#include "engine/units/quantity.hpp"

namespace lw::sound::habits {

// --- Joins --------------------------------------------------------------------------------------------
/// `>`: the new pitch is there after this. The lick language promises "within about 60 ms"; longer is heard
/// as a glide, shorter as a fresh note.
inline constexpr Seconds join_time{0.050};
/// A fresh note on the same hole needs the reed to stop: shorter and two notes melt into one.
inline constexpr Seconds tongue_gap{0.030};
/// A fresh note on another hole or the other breath: the mouth moves, the air hardly stops.
inline constexpr Seconds move_gap{0.012};
/// Before a rest a player lets go a little early; later and the rest does not feel like one.
inline constexpr Seconds lift{0.020};
/// `,` steals from the note before it: the time of a quick catch breath ...
inline constexpr Seconds catch_breath{0.150};
/// ... but never more than this part of a note, so that a breath after a short note leaves it a note.
inline constexpr double most_stolen_by_breath = 0.4;
/// Gaps never take more than this part of a note, however fast the passage.
inline constexpr double most_stolen_by_gap = 0.25;
/// `{short}`: half its length, as staccato is commonly taught.
inline constexpr double short_part = 0.5;

// --- Gestures on the pitch ----------------------------------------------------------------------------
/// `{from ...}`: a quick approach. Longer and it is counted as a note of its own.
inline constexpr Seconds approach_time{0.080};
/// `{dip}`: on the note, down and back up.
inline constexpr Seconds dip_time{0.200};
inline constexpr Semitones dip_depth{0.9};
/// `{scoop}`: the note begins below and rises into place.
inline constexpr Seconds scoop_time{0.160};
inline constexpr Semitones scoop_depth{0.9};
/// `{fall}`: the end of the note sinks away, in pitch as far as the reed goes and in loudness.
inline constexpr Seconds fall_time{0.280};
inline constexpr Semitones fall_depth{2.0};
/// No gesture on the pitch fills more than this part of its note: the rest is the note itself.
inline constexpr double most_of_note = 0.6;
/// `{vibrato}`: 4 to 7 Hz, mostly loudness on unbent reeds (facts: common practice, no source); about 6 Hz is
/// judged most apt for voices (Acoustic parameters critical for an appropriate vibrato, J. Voice 26(6), 2012,
/// abstract).
inline constexpr Hz vibrato_rate{5.6};
inline constexpr Semitones vibrato_depth_bent{0.22};
inline constexpr Semitones vibrato_depth_plain{0.06};
/// The note speaks straight first, and the vibrato grows into it.
inline constexpr Seconds vibrato_delay{0.120};
inline constexpr Seconds vibrato_growth{0.250};

// --- Breath -------------------------------------------------------------------------------------------
/// How hard the breath is, 0..1.
inline constexpr double plain_strength = 0.72;
inline constexpr double accent_strength = 0.95;
inline constexpr double ghost_strength = 0.30;
/// The first beat of a bar leans a little; more and every bar limps.
inline constexpr double downbeat_lean = 0.04;

/// After the last note: the reed dies within 0.1 s, the rest is silence that players like to cut off.
inline constexpr Seconds last_tail{0.500};
/// Curves of the pitch are given as points this close; at 10 ms a straight line between two of them is within
/// 2 cents of the curve for everything above.
inline constexpr Seconds curve_step{0.010};

}  // namespace lw::sound::habits
