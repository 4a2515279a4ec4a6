// SPDX-License-Identifier: Apache-2.0
//
// The one bend path of a note. Private to the room: perform() makes paths, everybody else reads their points.
//
// A path is a line (from one depth to another, at most two turns: arriving from the note before, leaving for
// the note after) with gestures laid over it. Each is a small curve with a begin and an end; the path is
// their sum, kept within what the reed can do, sampled where something moves.
#pragma once

#include <vector>

#include "engine/sound/performance.hpp"

namespace lw::sound {

/// A smooth way from one depth to another; before `begin` it is `from`, after `end` it is `to`.
struct Travel {
    Seconds begin;
    Seconds end;
    Semitones from;
    Semitones to;
};

/// Something laid over the line.
struct Overlay {
    enum class Shape { there_and_back, from_below, sink, wave };
    Shape shape = Shape::there_and_back;
    Seconds begin;
    Seconds end;
    Semitones depth;
};

struct PathPlan {
    Seconds onset;
    Seconds offset;
    Semitones rest;  // the depth that is written
    std::vector<Travel> travels;
    std::vector<Overlay> overlays;
    Semitones highest;  // the range of the reed: highest <= lowest, both as depths
    Semitones lowest;
};

[[nodiscard]] std::vector<BendPoint> bend_path(const PathPlan& plan);

}  // namespace lw::sound
