// SPDX-License-Identifier: Apache-2.0
//
// Short ways to make drawing commands; private to the room. Every command leaves with its ink box.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::draw {

/// A path under the pen.
class Path {
  public:
    Path& move(double x, double y) { return add({Segment::Kind::move, {x, y}, {}, {}}); }
    Path& line(double x, double y) { return add({Segment::Kind::line, {x, y}, {}, {}}); }
    Path& cubic(Point a, Point b, Point c) { return add({Segment::Kind::cubic, a, b, c}); }
    /// Level at both ends, the middle half way: how a pitch travels.
    Path& ease(Point from, Point to) {
        const double third = (to.x - from.x) * 0.45;
        return cubic({from.x + third, from.y}, {to.x - third, to.y}, to);
    }
    Path& close() { return add({Segment::Kind::close, {}, {}, {}}); }
    Path& circle(double x, double y, double radius);
    /// A box with round corners.
    Path& box(double x, double y, double width, double height, double radius);
    [[nodiscard]] std::vector<Segment> take() { return std::move(segments_); }
    [[nodiscard]] bool empty() const noexcept { return segments_.empty(); }

  private:
    Path& add(Segment s) {
        segments_.push_back(s);
        return *this;
    }
    std::vector<Segment> segments_;
};

[[nodiscard]] Command filled(Part part, Path path, Ink ink);
[[nodiscard]] Command stroked(Part part, Path path, Ink ink, double width, bool round_ends = true);
[[nodiscard]] Command outlined(Part part, Path path, Ink fill, Ink stroke, double width);
[[nodiscard]] Command words(Part part, std::string_view text, Point at, double size,
                            Face face = Face::regular, Anchor anchor = Anchor::start, Ink ink = Ink::ink);
[[nodiscard]] Command glyph(Part part, char32_t code, Point at, double size, Ink ink = Ink::ink);

/// A group of commands that is placed as one.
struct InkGroup {
    std::vector<Command> commands;
    Box box;
    void add(Command c);
    /// Moves everything by (dx, dy), marks it with the owner and hands it over.
    void place(std::vector<Command>& to, double dx, double dy, int owner) const;
};

}  // namespace lw::draw
