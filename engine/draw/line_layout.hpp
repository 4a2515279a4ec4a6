// SPDX-License-Identifier: Apache-2.0
//
// A lick set as lines: what breath_line puts under each other and the sheet spreads over pages. Private to
// the room.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/core.hpp"
#include "engine/draw/spacing.hpp"

namespace lw::draw {

/// Heights of the rows of a line, the breath line at y = 0; one set for all lines of a lick.
struct Rows {
    double band_top = 0.0, band_bottom = 0.0;
    double chord = 0.0;
    double ending_top = 0.0, ending_bottom = 0.0;
    double count = 0.0;
    double spelling = 0.0;
    double top = 0.0, bottom = 0.0;    // of everything
    double top_without_endings = 0.0;  // of a line that has no ending's bracket
};

/// A place in time of one bar and what stands there.
struct Column {
    std::size_t bar = 0;
    Beats at;
    int token = -1;
    int word = -1;   // index into the bar's count
    int chord = -1;  // index into the bar's chords
};

/// One line. Ink lies between x = 0 and the width asked for; y = 0 is its top.
struct SetLine {
    std::vector<Command> commands;
    std::vector<BeatPlace> beats;
    std::vector<TokenPlace> tokens;
    int first_token = 0;  // the lick's number of the first of `tokens`; owners count from the lick's first
    std::size_t first_bar = 0, bar_count = 0;
    Beats start, end;  // unfolded
    double height = 0.0;
    double width = 0.0;
    double band_top = 0.0, band_bottom = 0.0;
    double blow = 0.0, draw = 0.0;  // middles of unbent numbers
};

[[nodiscard]] std::vector<SetLine> set_lines(const lick::Lick& lick, const LineChoices& choices);

}  // namespace lw::draw
