// SPDX-License-Identifier: Apache-2.0
//
// A chord symbol with real flats and sharps from the music font. Private to the room.
#pragma once

#include <string_view>

#include "engine/draw/pen.hpp"

namespace lw::draw {

/// Set from x = 0 on the baseline y = 0. `F#m7b5`: a `#` or `b` after the root, after the root of a bass note
/// and before a number is an accidental.
[[nodiscard]] InkGroup chord_symbol(std::string_view symbol, double size, Part part = Part::chord);

/// The name of a key (`Bb`, `F#`) inside words: text with its accidental as a glyph, where `at` is the
/// baseline. Returns where the pen ends.
double set_with_accidentals(InkGroup& to, Part part, std::string_view text, Point at, double size, Face face,
                            Ink ink);
/// How wide that is.
[[nodiscard]] double width_with_accidentals(std::string_view text, double size, Face face);

}  // namespace lw::draw
