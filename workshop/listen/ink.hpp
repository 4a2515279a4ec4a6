// SPDX-License-Identifier: GPL-3.0-or-later
//
// Short ways to make drawing commands. Private to the room.
#pragma once

#include <string>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::listen {

[[nodiscard]] inline draw::Command with_box(draw::Command c) {
    c.box = draw::ink_of(c);
    return c;
}
[[nodiscard]] inline draw::Command stroke(const std::vector<draw::Point>& points, draw::Ink ink, double width,
                                          draw::Part part = draw::Part::mark) {
    draw::Command c;
    c.part = part;
    for (std::size_t i = 0; i < points.size(); ++i)
        c.segments.push_back(
            {i == 0 ? draw::Segment::Kind::move : draw::Segment::Kind::line, points[i], {}, {}});
    c.stroke = ink;
    c.stroke_width = width;
    return with_box(std::move(c));
}
[[nodiscard]] inline draw::Command area(const std::vector<draw::Point>& points, draw::Ink ink) {
    draw::Command c = stroke(points, draw::Ink::none, 0.0);
    c.segments.push_back({draw::Segment::Kind::close, {}, {}, {}});
    c.fill = ink;
    return with_box(std::move(c));
}
/// The corners of a box that is grown by `more` on all sides.
[[nodiscard]] inline std::vector<draw::Point> corners(const draw::Box& b, double more) {
    return {{b.x - more, b.y - more},
            {b.right() + more, b.y - more},
            {b.right() + more, b.bottom() + more},
            {b.x - more, b.bottom() + more}};
}
[[nodiscard]] inline draw::Command says(const std::string& words, draw::Point at, double size, draw::Ink ink,
                                        draw::Anchor anchor = draw::Anchor::start) {
    draw::Command c;
    c.kind = draw::Command::Kind::words;
    c.part = draw::Part::label;
    c.words = words;
    c.at = at;
    c.size = size;
    c.anchor = anchor;
    c.fill = ink;
    return with_box(std::move(c));
}

/// Words in lines of at most `width`, cut at spaces.
[[nodiscard]] inline std::vector<std::string> in_lines(const std::string& words, double width, double size) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < words.size();) {
        const std::size_t end = std::min(words.find(' ', at), words.size());
        const std::string word = words.substr(at, end - at);
        at = end + 1;
        const std::string longer = lines.empty() ? word : lines.back() + " " + word;
        if (!lines.empty() && says(longer, {}, size, draw::Ink::take).box.width <= width)
            lines.back() = longer;
        else
            lines.push_back(word);
    }
    return lines;
}

}  // namespace lw::listen
