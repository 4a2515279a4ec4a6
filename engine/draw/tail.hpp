// SPDX-License-Identifier: Apache-2.0
//
// The tail of a note: how long it sounds, what its pitch does meanwhile, what the mouth does to it. Private to
// the room.
#pragma once

#include <optional>
#include <vector>

#include "engine/draw/core.hpp"

namespace lw::draw {

/// One token's stretch of tail, on the page.
struct TailWay {
    const lick::Event* event = nullptr;  // whose gestures it shows
    const lick::Event* style = nullptr;  // whose vibrato, shake ... goes on here
    double from = 0.0;                   // where the ink begins
    double clear = 0.0;                  // until here it runs level, beside the ink of the number
    double to = 0.0;
    double level = 0.0;
    std::optional<double> joins;  // the level a joined note waits at, when it is the next thing on this line
    bool glides = false;          // the whole note travels: from `level` to `glide_level`
    double glide_level = 0.0;
    double part_from = 0.0, part_to = 1.0;  // this token's part of the travelling note
    bool ends = true;                       // nothing goes on from here
};
[[nodiscard]] std::vector<Command> tail_ink(const TailWay& way, const Sizes& sizes);

/// Room that tail signs need after the number's own ink.
[[nodiscard]] double tail_room(const lick::Event& event, bool travels, bool glides, const Sizes& sizes);

}  // namespace lw::draw
