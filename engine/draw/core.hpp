// SPDX-License-Identifier: Apache-2.0
//
// The ink of one note at its start: number, shape, stem, ring and badge of a bend, what stands close around
// it. Tails are tail.hpp's. Private to the room.
#pragma once

#include <string>

#include "engine/draw/pen.hpp"
#include "engine/draw/sizes.hpp"
#include "engine/draw/written.hpp"

namespace lw::draw {

/// Where numbers stand above and below the breath line (y = 0).
struct Levels {
    Sizes sizes;
    double blow_rest =
        0.0;  // of an unbent blown number; negative. High enough for the lick's deepest blow bend
    double draw_rest = 0.0;

    [[nodiscard]] double rest(harp::Breath breath) const noexcept {
        return breath == harp::Breath::blow ? blow_rest : draw_rest;
    }
    [[nodiscard]] double at(harp::Breath breath, int quarter_steps) const noexcept {
        return rest(breath) + sizes.step() * quarter_steps / 2.0;
    }
};
[[nodiscard]] Levels levels_for(const lick::Lick& lick, Sizes sizes);

/// Built around x = 0, the note's start, and y = 0, the breath line.
struct Core {
    InkGroup ink;
    double left = 0.0;   // how far the ink reaches to the left, positive
    double right = 0.0;  // and to the right
    double tail_from = 0.0;
    double level_in = 0.0;    // of the leftmost shape, where a joined pitch arrives
    double level_out = 0.0;   // of the rightmost, where the tail begins
    double shape_left = 0.0;  // left edge of the number's shape, for words under it
};
[[nodiscard]] Core core_of(const Token& token, const Levels& levels);

/// What is said in words beside the note, because no sign of it would be understood: `wah`, `shake 5`.
[[nodiscard]] std::string words_beside(const lick::Event& event);
[[nodiscard]] bool has_gesture(const lick::Event& event, lick::Gesture gesture) noexcept;
/// Depth as the trade writes it, in whole steps: 1/2 for a half step.
[[nodiscard]] std::string depth_words(int quarter_steps);

}  // namespace lw::draw
