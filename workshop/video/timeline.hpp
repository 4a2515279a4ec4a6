// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is seen when: for every frame the lit note, the place of the mark, the lines in the slots, the count.
// Private to the room; knows time and the picture's places, and nothing of pixels.
#pragma once

#include <optional>
#include <vector>

#include "engine/draw/picture.hpp"
#include "engine/lick/unfold.hpp"
#include "engine/sound/performance.hpp"

namespace lw::video {

/// One row of numbers in the head: the count before one pass of the phrase.
struct CountRow {
    std::vector<sound::Click> clicks;
    Seconds from;   // shown from here
    Seconds until;  // the first note of the pass
};

/// What stands in one slot.
struct SlotLine {
    int line = -1;       // into Picture::systems; -1 for none
    bool ahead = false;  // stands above the line that is played, though it comes after it: shown fainter
    friend bool operator==(const SlotLine&, const SlotLine&) = default;
};

struct Moment {
    std::optional<std::size_t> note;  // sounding; index into Performance::notes
    draw::Spot mark;
    std::size_t turn = 0;  // index into Timeline::turns
    int row = -1;          // index into Timeline::rows
    int counted = -1;      // index into the row's clicks: the newest
};

class Timeline {
  public:
    Timeline(const lick::Lick& lick, const sound::Performance& performance, const draw::Picture& picture,
             std::size_t slots, int frames_per_second);

    std::vector<Moment> moments;               // by frame
    std::vector<std::vector<SlotLine>> turns;  // by turn, then by slot
    std::vector<CountRow> rows;
    std::vector<std::vector<std::size_t>>
        tokens;  // by note of Performance: what is lit, into Picture::tokens
};

}  // namespace lw::video
