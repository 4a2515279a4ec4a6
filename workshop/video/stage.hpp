// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where things stand in the frame: safe margins, the panel, its head, and the slots that hold one line of the
// breath line each. Private to the room. All in pixels, y down.
//
// Safe area: everything stays 5 % of the frame away from every edge, the safe title area of SMPTE ST 2046-1:2009
// (90 % of width and height; remembered, not looked up). Phones and players still cover the edges.
#pragma once

#include <vector>

#include "engine/draw/picture.hpp"
#include "engine/lick/lick.hpp"
#include "engine/text/lesson.hpp"

namespace lw::video {

/// From the picture's points to pixels: `zoom` and a shift.
struct Placing {
    double zoom = 1.0;
    double x = 0.0;
    double y = 0.0;
    [[nodiscard]] draw::Point of(draw::Point p) const noexcept { return {p.x * zoom + x, p.y * zoom + y}; }
    [[nodiscard]] draw::Box of(const draw::Box& b) const noexcept {
        return {b.x * zoom + x, b.y * zoom + y, b.width * zoom, b.height * zoom};
    }
};

struct Stage {
    int width = 0;
    int height = 0;
    double unit = 1.0;  // one pixel of a frame whose shorter side has 1080
    draw::Box panel;
    draw::Box head;        // inside the panel
    bool one_row = false;  // title and count share one row
    double zoom = 1.0;
    draw::Picture picture;
    std::vector<int> system_of;  // beside picture.commands
    std::vector<draw::Box> slots;
    double band_in_slot = 0.0;  // from a slot's top to the top of its line's band

    [[nodiscard]] Placing place(std::size_t system, std::size_t slot) const noexcept;
};

[[nodiscard]] Stage set_stage(const lick::Lick& lick, const text::ScreenChoice& choice);

}  // namespace lw::video
