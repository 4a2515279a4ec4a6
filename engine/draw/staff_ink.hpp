// SPDX-License-Identifier: Apache-2.0
//
// One line's staff as ink. Private to the room.
#pragma once

#include <vector>

#include "engine/draw/pen.hpp"
#include "engine/draw/staff_score.hpp"

namespace lw::draw {

/// Where a note or rest of the score stands on a line.
struct StaffPlace {
    std::size_t note = 0;
    double x = 0.0;
};

struct StaffLine {
    double left = 0.0, right = 0.0;
    bool meter = false;  // the time signature stands on it
    std::vector<StaffPlace> places;
};

/// Lines, clef, notes around y = 0, the middle line. Bar lines are the line's.
[[nodiscard]] InkGroup staff_ink(const StaffScore& score, const StaffLine& line, const lick::Meter& meter,
                                 const Sizes& sizes);
/// What clef and time signature need left of the first bar line.
[[nodiscard]] double staff_opening(const lick::Meter& meter, int octave, const Sizes& sizes);

}  // namespace lw::draw
