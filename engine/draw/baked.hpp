// SPDX-License-Identifier: Apache-2.0
//
// The fonts as tables. tools/bake writes the data while the project is built; font.cpp and outline.cpp read
// it, nobody else should. All values are font units, 1000 to the em, y upwards.
#pragma once

#include <cstdint>
#include <span>

#include "engine/draw/picture.hpp"

namespace lw::draw::baked {

inline constexpr double units_per_em = 1000.0;  // tools/bake refuses a font with another value

/// One character: how far the pen moves and where its ink is. A table is sorted by `code`; in the text tables
/// code 0 is the box for a character that the font lacks.
struct Metrics {
    char32_t code;
    std::int16_t advance, left, bottom, right, top;
};

/// The shapes of a table's characters in the same order: character i has steps[starts[i] .. starts[i + 1]).
/// Steps: 0 move x y, 1 line x y, 2 conic cx cy x y, 3 cubic ax ay bx by x y, 4 close.
struct Outlines {
    std::span<const std::int16_t> steps;
    std::span<const std::uint32_t> starts;
};

extern const std::span<const Metrics> regular;
extern const std::span<const Metrics> bold;
extern const std::span<const Metrics> music;
extern const Outlines regular_outlines;
extern const Outlines bold_outlines;
extern const Outlines music_outlines;

/// The steps of one character, of the missing one's box for a character the font lacks; empty without ink.
[[nodiscard]] std::span<const std::int16_t> steps_of_text(Face face, char32_t character) noexcept;
/// The same for a music glyph; empty for one that is not in the table.
[[nodiscard]] std::span<const std::int16_t> steps_of_music(char32_t glyph) noexcept;

}  // namespace lw::draw::baked
