// SPDX-License-Identifier: Apache-2.0
//
// How wide words are and where their ink is, from one table made out of the bundled fonts when the project is
// built. Sheet, video and page measure with the same numbers, so a line breaks at the same place everywhere.
//
// Words are set without kerning and ligatures, each character at the sum of the advances before it: the
// painters (SVG, Cairo, a browser) would each apply another part of the font's tables, and hole numbers and
// counts, most of what is set here, have no kerned pairs. What is measured here is what is painted.
//
// Text is UTF-8; a broken byte counts as one character that the font lacks. Sizes and places are in points, y
// downwards, `at` on the baseline. A character the font lacks is measured and painted as the font's box for
// missing ones; ask `first_missing` before and tell the user.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::draw {

// --- Words
// ----------------------------------------------------------------------------------------------------------

/// Heights of the text font, as parts of the size (the font's own hhea and OS/2 tables; tests read them
/// there).
inline constexpr double ascent = 0.984;      // of the line above the baseline
inline constexpr double descent = 0.316;     // of the line below it
inline constexpr double cap_height = 0.668;  // of a capital letter, and of a digit within 0.01
inline constexpr double x_height = 0.496;    // of a small letter

/// Length of the line of words: the sum of advances. Linear in `size`.
[[nodiscard]] double width(Face face, std::string_view utf8, double size) noexcept;
/// The pen's way over one character.
[[nodiscard]] double advance(Face face, char32_t character, double size) noexcept;
/// Where the pen starts for words anchored at `at.x`.
[[nodiscard]] double start_of(Face face, std::string_view utf8, double x, double size,
                              Anchor anchor) noexcept;
/// The ink of words, without the white around them. Without ink (spaces only) the box is empty, at the pen's
/// start.
[[nodiscard]] Box ink_box(Face face, std::string_view utf8, Point at, double size, Anchor anchor) noexcept;

/// Can the text font print this character?
[[nodiscard]] bool has(Face face, char32_t character) noexcept;
/// The first character of a text that cannot be printed.
struct Missing {
    char32_t character = 0;  // U+FFFD for a broken byte
    std::size_t at = 0;      // byte where it starts
    std::size_t length = 0;  // in bytes
    std::size_t column = 1;  // in characters, counted from 1
};
[[nodiscard]] std::optional<Missing> first_missing(std::string_view utf8) noexcept;

/// The longest start of the words that is not longer than `room`, cut between characters. For line breaking
/// of words that have no space; `words` itself when all of it fits.
[[nodiscard]] std::string_view fitting(Face face, std::string_view words, double size, double room) noexcept;

/// Takes the next character off the front of `rest`, which must not be empty. A byte that starts no
/// well-formed character (Unicode 15, table 3-7) is taken alone as U+FFFD.
[[nodiscard]] char32_t next_character(std::string_view& rest) noexcept;

// --- Music
// ----------------------------------------------------------------------------------------------------------

/// SMuFL code points; `size` is one em, four staff spaces. Names of the common ones are in music_glyphs.hpp.
[[nodiscard]] bool has_music(char32_t glyph) noexcept;
[[nodiscard]] double music_width(char32_t glyph, double size) noexcept;
/// The ink of a music glyph with its origin at `at`; empty for a glyph that is not in the table.
[[nodiscard]] Box music_box(char32_t glyph, Point at, double size) noexcept;

// --- Shapes (outline.cpp; a page that shows words with a web font leaves the text outlines out)
// -----------------------

/// Filled by the non-zero rule; appended to `to`. Curves come as cubics.
void append_words(std::vector<Segment>& to, Face face, std::string_view utf8, Point at, double size,
                  Anchor anchor);
void append_music(std::vector<Segment>& to, char32_t glyph, Point at, double size);

}  // namespace lw::draw
