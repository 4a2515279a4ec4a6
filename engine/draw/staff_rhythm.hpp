// SPDX-License-Identifier: Apache-2.0
//
// The written line as note values: holds run together with what they lengthen, lengths that one note cannot
// show are tied, cuts that halving does not give get a bracket with a number. Private to the room.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/draw/written.hpp"

namespace lw::draw {

/// `parts` notes in the time of `in_time_of`.
struct Tuplet {
    std::size_t bar = 0;
    Beats at, length;
    int parts = 3;
    int in_time_of = 2;
    int outer = -1;  // the tuplet it stands in
    int depth = 0;
};

/// One note, chord or rest as it is drawn.
struct StaffNote {
    std::size_t bar = 0;
    Beats at, length;  // as it is counted
    int token = -1;    // what sounds; -1 for a rest
    int value = 2;     // 0 a whole note, 1 a half, 2 a quarter, 3 an eighth ...
    int dots = 0;      // 0 or 1
    int tuplet = -1;   // the innermost around it
    bool tied_in = false;
    bool tied_out = false;
    bool whole_bar = false;  // the rest of an empty bar, whatever its length
};

struct StaffRhythm {
    std::vector<StaffNote> notes;  // in order of bars and time
    std::vector<Tuplet> tuplets;   // an outer one before those in it
};

/// Values are exact: the lengths drawn in a bar add up to the bar.
[[nodiscard]] StaffRhythm staff_rhythm(const lick::Lick& lick, const std::vector<Token>& tokens);

}  // namespace lw::draw
