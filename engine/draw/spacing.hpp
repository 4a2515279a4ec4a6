// SPDX-License-Identifier: Apache-2.0
//
// Where time stands along a line and where a line turns: every beat of a line gets the same width as far as
// the ink leaves room, and the lines of a lick are chosen together. Private to the room.
//
// After Knuth & Plass, "Breaking Paragraphs into Lines", Software: Practice and Experience 11, 1981: the sum
// of what each line is away from its natural width is least over all ways to break. Ours differs in that a
// line does not shrink below its ink, and that the last line may stay short.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/draw/sizes.hpp"

namespace lw::draw {

/// One place in time that has ink or a beat of its own, seen by spacing.
struct Stop {
    double time = 0.0;   // beats until the next stop
    double left = 0.0;   // ink to its left
    double right = 0.0;  // least room to its right
    std::size_t bar = 0;
    bool begins_bar = false;
    bool ends_bar = false;
    bool on_beat = false;
    double opening = 0.0;  // signs after the bar line before it
    double closing = 0.0;  // signs before the bar line after it
};

/// Stops [begin, end) on one line.
struct Line {
    std::size_t begin = 0;
    std::size_t end = 0;
    double beat = 0.0;  // width of a beat where nothing needs more
    bool full = true;   // reaches the right edge
};

struct Room {
    Sizes sizes;
    double width = 0.0;  // from the first bar line to the right edge; 0: one line, as long as it needs
    double beat = 0.0;   // natural width of a beat
};

[[nodiscard]] std::vector<Line> break_lines(const std::vector<Stop>& stops, const Room& room);

/// x of every stop of a line from its left edge, then the right edge.
[[nodiscard]] std::vector<double> place_stops(const std::vector<Stop>& stops, const Line& line,
                                              const Room& room);

}  // namespace lw::draw
