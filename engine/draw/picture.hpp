// SPDX-License-Identifier: Apache-2.0
//
// A picture as a list of drawing commands, in points (1/72 inch), x to the right and y down, painted in
// order. Layout makes them; SVG (svg.hpp), Cairo (workshop/print), the video layer and the pages paint them.
// A command says what it is part of, so that a page can light a note and a test can tell which ink may touch
// which.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::draw {

struct Point {
    double x = 0.0;
    double y = 0.0;
};

/// Left, top, width, height. Empty when it has no width.
struct Box {
    double x = 0.0;
    double y = 0.0;
    double width = 0.0;
    double height = 0.0;
    [[nodiscard]] constexpr double right() const noexcept { return x + width; }
    [[nodiscard]] constexpr double bottom() const noexcept { return y + height; }
};

/// Colours by their task; a theme (theme.hpp) gives each its value, in light, dark and black-on-white.
enum class Ink : std::uint8_t { none, paper, ground, ink, soft, rule, band, accent, take };

/// The two weights of the text font.
enum class Face : std::uint8_t { regular, bold };
enum class Anchor : std::uint8_t { start, middle, end };

/// What a command belongs to; with `owner` it names the thing (note 3 of system 1, the chord of bar 2).
enum class Part : std::uint8_t {
    ground,
    band,
    grid,
    bar_line,
    breath_line,
    stem,
    tail,
    number,
    number_shape,
    bend_mark,
    ornament,
    joint,
    count,
    chord,
    ending,
    repeat,
    plain_spelling,
    staff,
    staff_note,
    title,
    head,
    credit,
    logo,
    prose,
    page_number,
    label,
    mark,
};

struct Segment {
    enum class Kind : std::uint8_t { move, line, cubic, close };
    Kind kind = Kind::move;
    Point a, b, c;  // move and line use a; cubic uses a and b as handles and c as end
};

struct Command {
    enum class Kind : std::uint8_t {
        path,   // `segments`, filled with `fill` and stroked with `stroke` of `stroke_width`
        words,  // `words` in the text font, baseline at `at`
        music,  // one glyph of the music font, origin at `at`; `size` is one em, four staff spaces
        image,  // the house's logo, inside `box`
    };
    Kind kind = Kind::path;
    Part part = Part::ground;
    /// Number, shape, stem, tail, bend mark, ornament, joint, plain spelling, staff note and the count under a
    /// note: index into Picture::tokens. Bar line, repeat and ending: the bar. Chord: the chord, in order.
    /// -1 when nothing owns it.
    int owner = -1;
    std::vector<Segment> segments;
    Ink fill = Ink::none;
    Ink stroke = Ink::none;
    double stroke_width = 0.0;
    bool round_ends = true;
    std::string words;
    Point at;
    double size = 0.0;
    Face face = Face::regular;
    Anchor anchor = Anchor::start;
    char32_t glyph = 0;
    Box box;  // of the ink, stroke included
};

/// One line of the breath line on the page, for what moves over it.
struct System {
    Beats start;  // on the unfolded line, the first time it comes by
    Beats end;
    Box box;           // all its ink
    double top = 0.0;  // of the band that the mark crosses
    double bottom = 0.0;
    double blow = 0.0;          // where the middle of an unbent blown number stands
    double draw = 0.0;          // and of a drawn one
    std::size_t first_bar = 0;  // of Lick::bars; a bar too long for a line begins in one and ends in the next
    std::size_t bar_count = 0;
    std::size_t lick = 0;  // which of the sheet's licks; 0 on a breath line
};

/// Where a written beat stands: the map from time to place. Sorted by lick, bar, then by beat. The end of a bar
/// has a place too: where the next one begins, or the right end of the line. A bar that turns to the next line
/// has that beat twice, the second time on the new line.
struct BeatPlace {
    std::size_t bar = 0;  // of Lick::bars
    Beats at;             // in the bar, straight
    std::size_t system = 0;
    double x = 0.0;
    std::size_t lick = 0;
};

/// Where the ink of one written token stands (a note or a hold).
struct TokenPlace {
    std::size_t bar = 0;
    std::size_t event = 0;
    std::size_t system = 0;
    Box box;         // empty where a hold has no ink of its own
    double x = 0.0;  // of the start
    std::size_t lick = 0;
};

struct Picture {
    double width = 0.0;
    double height = 0.0;
    std::vector<Command> commands;
    std::vector<System> systems;
    std::vector<BeatPlace> beats;
    std::vector<TokenPlace> tokens;
    std::string spoken;  // what a screen reader says instead
};

/// A place on one of the picture's lines.
struct Spot {
    std::size_t system = 0;
    double x = 0.0;
};
/// The place of a straight beat of one bar, between two BeatPlaces by even steps; clamped to the bar.
[[nodiscard]] Spot spot_at(const Picture& picture, std::size_t bar, Beats at, std::size_t lick = 0) noexcept;
[[nodiscard]] double x_at(const Picture& picture, std::size_t bar, Beats at) noexcept;

// --- Ink

/// The ink of a command, stroke included: curves by their true extremes, words and glyphs by the font's boxes.
/// Layout keeps it in Command::box.
[[nodiscard]] Box ink_of(const Command& command) noexcept;
/// The smallest box around both; an empty box adds nothing.
[[nodiscard]] Box united(const Box& a, const Box& b) noexcept;
[[nodiscard]] constexpr bool empty(const Box& b) noexcept {
    return b.width <= 0.0 || b.height <= 0.0;
}
/// Moves a command and its box.
void shift(Command& command, double dx, double dy) noexcept;

}  // namespace lw::draw
