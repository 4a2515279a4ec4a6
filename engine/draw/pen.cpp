// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/pen.hpp"

#include <algorithm>

namespace lw::draw {
namespace {

// A quarter circle as a cubic: handles at 0.5523 of the radius leave an error of 0.03 % of it.
constexpr double quarter = 0.5523;

Command boxed(Command c) {
    c.box = ink_of(c);
    return c;
}

Command path_command(Part part, Path path) {
    Command c;
    c.kind = Command::Kind::path;
    c.part = part;
    c.segments = path.take();
    return c;
}

}  // namespace

Path& Path::circle(double x, double y, double r) {
    const double k = quarter * r;
    return move(x + r, y)
        .cubic({x + r, y + k}, {x + k, y + r}, {x, y + r})
        .cubic({x - k, y + r}, {x - r, y + k}, {x - r, y})
        .cubic({x - r, y - k}, {x - k, y - r}, {x, y - r})
        .cubic({x + k, y - r}, {x + r, y - k}, {x + r, y})
        .close();
}

Path& Path::box(double x, double y, double w, double h, double radius) {
    const double r = std::min({radius, w / 2.0, h / 2.0});
    if (r <= 0.0) return move(x, y).line(x + w, y).line(x + w, y + h).line(x, y + h).close();
    const double k = r * (1.0 - quarter);
    return move(x + r, y)
        .line(x + w - r, y)
        .cubic({x + w - k, y}, {x + w, y + k}, {x + w, y + r})
        .line(x + w, y + h - r)
        .cubic({x + w, y + h - k}, {x + w - k, y + h}, {x + w - r, y + h})
        .line(x + r, y + h)
        .cubic({x + k, y + h}, {x, y + h - k}, {x, y + h - r})
        .line(x, y + r)
        .cubic({x, y + k}, {x + k, y}, {x + r, y})
        .close();
}

Command filled(Part part, Path path, Ink ink) {
    Command c = path_command(part, std::move(path));
    c.fill = ink;
    return boxed(std::move(c));
}

Command stroked(Part part, Path path, Ink ink, double width, bool round_ends) {
    Command c = path_command(part, std::move(path));
    c.stroke = ink;
    c.stroke_width = width;
    c.round_ends = round_ends;
    return boxed(std::move(c));
}

Command outlined(Part part, Path path, Ink fill, Ink stroke, double width) {
    Command c = path_command(part, std::move(path));
    c.fill = fill;
    c.stroke = stroke;
    c.stroke_width = width;
    return boxed(std::move(c));
}

Command words(Part part, std::string_view text, Point at, double size, Face face, Anchor anchor, Ink ink) {
    Command c;
    c.kind = Command::Kind::words;
    c.part = part;
    c.words = text;
    c.at = at;
    c.size = size;
    c.face = face;
    c.anchor = anchor;
    c.fill = ink;
    return boxed(std::move(c));
}

Command glyph(Part part, char32_t code, Point at, double size, Ink ink) {
    Command c;
    c.kind = Command::Kind::music;
    c.part = part;
    c.glyph = code;
    c.at = at;
    c.size = size;
    c.fill = ink;
    return boxed(std::move(c));
}

void InkGroup::add(Command c) {
    box = united(box, c.box);
    commands.push_back(std::move(c));
}

void InkGroup::place(std::vector<Command>& to, double dx, double dy, int owner) const {
    for (const Command& c : commands) {
        to.push_back(c);
        shift(to.back(), dx, dy);
        to.back().owner = owner;
    }
}

}  // namespace lw::draw
