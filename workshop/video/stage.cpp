// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/stage.hpp"

#include <algorithm>
#include <cmath>

#include "engine/draw/breath_line.hpp"

namespace lw::video {
namespace {

using Shape = text::ScreenChoice::Shape;

/// What a shape of frame asks for. Parts are of the frame's height, zooms in pixels of a 1080 frame to a point
/// of the breath line, whose hole numbers are 12 pt.
struct Plan {
    double least_zoom;    // below it a hole number is not read on a phone: we turn lines instead
    double largest_zoom;  // above it a short lick looks like a poster
    double tallest;       // part of the frame's height that the panel may fill
    double anchor;        // where in the free height the panel stands: 0 top, 1 bottom
    std::size_t most_slots;
    bool one_row;
};

// A phone shows a landscape film some 640 points wide, a third of 1920: 3.3 gives numbers of 13 points there, near
// its body text. Upright, 1080 pixels are about 390 points wide: 3.4 gives 15. The lower third leaves the film the
// rest of the frame and has to make do with less.
Plan plan_of(Shape shape) noexcept {
    switch (shape) {
        case Shape::landscape:
            return {3.3, 5.6, 0.90, 0.5, 3, false};
        case Shape::portrait:
            return {3.4, 4.6, 0.56, 0.72, 4, false};
        case Shape::lower_third:
            return {2.6, 3.6, 0.38, 1.0, 1, true};
    }
    return {};
}

int even(double v) noexcept {
    return 2 * static_cast<int>(std::lround(v / 2.0));
}

/// The tallest line decides: every slot fits every line, with their bands at one height.
struct LineHeights {
    double above = 0.0;  // from the band's top, in points
    double below = 0.0;
};

LineHeights heights_of(const draw::Picture& picture) noexcept {
    LineHeights h;
    for (const draw::System& s : picture.systems) {
        h.above = std::max(h.above, s.top - s.box.y);
        h.below = std::max(h.below, s.box.bottom() - s.top);
    }
    return h;
}

std::vector<int> systems_of_commands(const draw::Picture& picture) {
    std::vector<int> system_of;
    for (const draw::Command& c : picture.commands) {
        const double middle = c.box.y + c.box.height / 2.0;
        int nearest = -1;
        double distance = 1e300;
        for (std::size_t s = 0; s < picture.systems.size(); ++s) {
            const draw::Box& b = picture.systems[s].box;
            const double away = std::max({b.y - middle, middle - b.bottom(), 0.0});
            if (away < distance) {
                distance = away;
                nearest = static_cast<int>(s);
            }
        }
        system_of.push_back(nearest);
    }
    return system_of;
}

}  // namespace

Placing Stage::place(std::size_t system, std::size_t slot) const noexcept {
    const draw::System& s = picture.systems[system];
    return {zoom, slots[slot].x, slots[slot].y + band_in_slot - s.top * zoom};
}

Stage set_stage(const lick::Lick& lick, const text::ScreenChoice& choice) {
    const Plan plan = plan_of(choice.shape);
    Stage stage;
    const int shorter = even(choice.lines);
    const int longer = even(choice.lines * 16.0 / 9.0);
    const bool upright = choice.shape == Shape::portrait;
    stage.width = upright ? shorter : longer;
    stage.height = upright ? longer : shorter;
    stage.unit = choice.lines / 1080.0;
    stage.one_row = plan.one_row;
    const double u = stage.unit;

    const double margin_x = 0.05 * stage.width;
    const double margin_y = 0.05 * stage.height;
    const double pad = 30.0 * u;
    const double pad_y = (plan.one_row ? 16.0 : 26.0) * u;
    const double gap = 22.0 * u;  // between two slots
    const double head = (plan.one_row ? 50.0 : 122.0) * u;
    const double inner = stage.width - 2.0 * margin_x - 2.0 * pad;
    const double room = plan.tallest * stage.height - 2.0 * pad_y - head;

    // From large to small: the first zoom at which the whole lick stands still in the frame, else the smallest,
    // and lines turn.
    LineHeights lines;
    std::size_t slots = 1;
    for (double zoom = plan.largest_zoom;; zoom -= 0.1) {
        const bool last = zoom <= plan.least_zoom + 1e-9;
        stage.zoom = zoom * u;
        draw::LineChoices choices;
        choices.width = inner / stage.zoom;
        choices.opening = false;
        stage.picture = draw::breath_line(lick, choices);
        lines = heights_of(stage.picture);
        const double slot = (lines.above + lines.below) * stage.zoom + gap;
        const auto fit = static_cast<std::size_t>(std::max((room + gap) / slot, 0.0));
        slots = std::clamp<std::size_t>(fit, 1, plan.most_slots);
        const bool all = stage.picture.systems.size() <= slots && fit >= 1;
        // One line at a time is read at any zoom where it fits; more zoom means fewer notes before it turns.
        const bool turning = plan.most_slots == 1 && fit >= 1 && last;
        if (all || turning || last) break;
    }
    // A single line that is taller than the room (deep bends, two endings, a staff) is made to fit.
    if (const double tall = (lines.above + lines.below) * stage.zoom; slots == 1 && tall > room)
        stage.zoom *= room / tall;
    slots = std::min(slots, std::max<std::size_t>(stage.picture.systems.size(), 1));

    const double slot_height = (lines.above + lines.below) * stage.zoom;
    const double width = stage.width - 2.0 * margin_x;
    const auto count = static_cast<double>(slots);
    const double height = 2.0 * pad_y + head + count * slot_height + (count - 1.0) * gap;
    const double free = stage.height - 2.0 * margin_y - height;
    stage.panel = {margin_x, margin_y + std::max(free, 0.0) * plan.anchor, width, height};
    stage.head = {margin_x + pad, stage.panel.y + pad_y, inner, head};
    const double left = stage.head.x + (inner - stage.picture.width * stage.zoom) / 2.0;
    for (std::size_t s = 0; s < slots; ++s)
        stage.slots.push_back({left, stage.head.bottom() + static_cast<double>(s) * (slot_height + gap),
                               stage.picture.width * stage.zoom, slot_height});
    stage.band_in_slot = lines.above * stage.zoom;
    stage.system_of = systems_of_commands(stage.picture);
    return stage;
}

}  // namespace lw::video
