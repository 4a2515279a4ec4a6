// SPDX-License-Identifier: Apache-2.0
//
// How the reeds speak: times, levels and colours of the voice. Private to the room.
//
// Attack and release are from memory (about 10 to 20 ms on high reeds, 30 to 80 ms on low ones; "slower for
// longer, lower reeds": Cottingham & Wolff, Vienna Talk 2015, abstract); the rest is our own choice by
// measuring, common practice, no source. Each line says what is heard when it moves.
#pragma once

#include <algorithm>
#include <cmath>

#include "engine/units/quantity.hpp"

namespace lw::sound::voicing {

// --- Speaking and dying -------------------------------------------------------------------------------
/// 10 to 90 % of the level. Shorter low reeds sound like a reed organ, longer high ones like a bowed string.
inline Seconds attack_of(Hz f) noexcept {
    return Seconds{std::clamp(0.055 * std::pow(130.8 / f.value, 0.62), 0.010, 0.070)};
}
/// After the breath has gone.
inline Seconds release_of(Hz f) noexcept {
    return Seconds{std::clamp(0.060 * std::pow(130.8 / f.value, 0.35), 0.022, 0.070)};
}
/// From the first air to half the level, as a part of the 10 to 90 % time (follows from the curve).
inline constexpr double half_way_up = 0.91;
/// A note is felt on the beat when half its level is there this soon after.
inline constexpr Seconds heard_late{0.008};
inline constexpr Seconds most_early{0.030};
/// An attack never fills more than this part of its note.
inline constexpr double most_attack = 0.30;
/// A hard breath makes the reed speak sooner.
inline constexpr double accent_quickens = 0.7;

// --- Level --------------------------------------------------------------------------------------------
/// n holes share the air: each gets n to the minus this. 0.5 would make chords as loud as single notes.
inline constexpr double chord_share = 0.36;
/// Level of a plain note at a breath of 1, before the body: leaves a hard four-hole chord under full scale.
inline constexpr double level = 0.115;
/// Level follows breath less than evenly: a free reed's swing soon stays flat (Cottingham, Lilly & Reed).
inline constexpr double level_power = 0.85;
/// dB for every octave above (first) and below (second) 600 Hz: evens out how loud the registers are heard. Measured:
/// all reeds of a low C, a C and a high G lie within 5 LU (tests/sound/reed_voice_test.cpp).
inline constexpr double high_slope = -1.2;
inline constexpr double low_slope = 1.2;

// --- Breath -------------------------------------------------------------------------------------------
/// The push at the start, as a part of the breath, and how fast it settles.
inline constexpr double push = 0.12;
inline constexpr Seconds push_time{0.085};
/// A held note swells by this part and sinks again.
inline constexpr double swell = 0.07;
/// Slow unevenness of the breath (about 0.25 dB); none at all is heard as a machine.
inline constexpr double uneven = 0.030;
inline constexpr Hz uneven_rate{6.5};
/// Vibrato of the throat: how much of the breath it takes away at its deepest.
inline constexpr double vibrato_breath = 0.40;
inline constexpr Hz flutter_rate{24.0};
inline constexpr double flutter_breath = 0.65;
/// Times a second that a shake goes there and back.
inline constexpr Hz shake_rate{5.8};
/// How far the level sinks in a fall.
inline constexpr double fall_fade = 0.75;

// --- Colour -------------------------------------------------------------------------------------------
/// Brightness (0..1, the rows of the tables) = base + breath, less by register and bend.
inline constexpr double bright_base = 0.10;
inline constexpr double bright_breath = 0.85;
/// Per octave above 400 Hz: high reeds are nearer to a plain tone.
inline constexpr double bright_register = 0.10;
/// Drawn reeds sound from inside the mouth's side of the plate: a little brighter.
inline constexpr double bright_draw = 0.05;
/// No two reeds of a plate are alike: spread of brightness, and of level as a ratio.
inline constexpr double reed_bright_spread = 0.05;
inline constexpr double reed_level_spread = 0.05;
/// An overbend is thin: this much of the bent colour.
inline constexpr double overbend_colour = 0.7;

// --- Noise --------------------------------------------------------------------------------------------
/// Steady breath noise against the tone: about 45 dB below; more is a leaking harp.
inline constexpr double breath_noise = 0.010;
/// The start of a note: a puff, gone within this time.
inline constexpr double puff_noise = 0.050;
inline constexpr Seconds puff_time{0.018};
inline constexpr Hz noise_centre{2600.0};
inline constexpr double noise_width = 0.55;  // centre over width

// --- Body and hand ------------------------------------------------------------------------------------
inline constexpr Hz body_low{1050.0};
inline constexpr double body_low_q = 0.9;
inline constexpr Decibels body_low_gain{4.0};
inline constexpr Hz body_high{2650.0};
inline constexpr double body_high_q = 1.1;
inline constexpr Decibels body_high_gain{3.5};
/// Covers radiate little below this.
inline constexpr Hz low_corner{170.0};
inline constexpr double low_q = 0.60;
inline constexpr Hz hand_open{7200.0};
inline constexpr double hand_open_q = 0.60;
inline constexpr Hz hand_closed{620.0};
inline constexpr double hand_closed_q = 1.9;
inline constexpr Seconds wah_time{0.340};
/// A hand does not jump.
inline constexpr Seconds hand_smoothing{0.007};

// --- Slap ---------------------------------------------------------------------------------------------
inline constexpr int slap_holes = 2;
inline constexpr Seconds slap_time{0.045};
inline constexpr double slap_share = 0.75;
inline constexpr double slap_bite = 2.5;

}  // namespace lw::sound::voicing
