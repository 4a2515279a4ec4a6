// SPDX-License-Identifier: Apache-2.0
//
// One written note against what was heard of it: its bend against the written path. Private to the room.
//
// The written path is the one that the practice audio plays (engine/sound), with the time of its joins and gestures. A
// player's hands have their own time, so each heard depth is held against all that the written path passes through
// nearby, counted from the note's start as well as from its end. On a level stretch that is one depth.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/sound/performance.hpp"

namespace lw::coach {

/// What was heard of one written note.
struct HeardPart {
    Seconds onset;
    Seconds offset;
    std::vector<hear::BendSample> path;  // inside onset .. offset
};

struct BendMeasure {
    Cents middle;  // more than 0 is deeper than written
    Cents worst;
};
/// Nothing when less than 50 ms of the note are level, as written.
[[nodiscard]] std::optional<BendMeasure> measure_bend(const sound::SoundedNote& written,
                                                      const HeardPart& heard);

/// The largest distance of the heard depth from its own middle: a dip, a scoop, a fall.
[[nodiscard]] Semitones moved(const HeardPart& heard);

}  // namespace lw::coach
