// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/head.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/draw/font.hpp"

namespace lw::video {
namespace {

using draw::Anchor;
using draw::Command;
using draw::Face;
using draw::Ink;

/// Part of a one-row head that the title may fill; count and info have the rest.
constexpr double title_share = 0.52;

Command words(std::string text, draw::Point at, double size, Face face, Ink ink, Anchor anchor) {
    Command c;
    c.kind = Command::Kind::words;
    c.part = draw::Part::head;
    c.box = draw::ink_box(face, text, at, size, anchor);
    c.words = std::move(text);
    c.at = at;
    c.size = size;
    c.face = face;
    c.fill = ink;
    c.anchor = anchor;
    return c;
}

Command disc(draw::Point middle, double radius, Ink ink) {
    constexpr double handle = 0.5522847498;  // of a quarter circle, drawn as a cubic: error below 0.03 %
    const double r = radius;
    const double h = radius * handle;
    const auto [x, y] = middle;
    using K = draw::Segment::Kind;
    Command c;
    c.part = draw::Part::head;
    c.fill = ink;
    c.segments = {{K::move, {x + r, y}, {}, {}},
                  {K::cubic, {x + r, y + h}, {x + h, y + r}, {x, y + r}},
                  {K::cubic, {x - h, y + r}, {x - r, y + h}, {x - r, y}},
                  {K::cubic, {x - r, y - h}, {x - h, y - r}, {x, y - r}},
                  {K::cubic, {x + h, y - r}, {x + r, y - h}, {x + r, y}},
                  {K::close, {}, {}, {}}};
    c.box = {x - r, y - r, 2 * r, 2 * r};
    return c;
}

/// The words themselves, or as many as fit and three dots.
std::string cut_to(Face face, const std::string& text, double size, double room) {
    if (draw::width(face, text, size) <= room) return text;
    const double dots = draw::width(face, "...", size);
    std::string cut{draw::fitting(face, text, size, std::max(room - dots, 0.0))};
    while (!cut.empty() && cut.back() == ' ') cut.pop_back();
    return cut + "...";
}

std::string tempo_words(BeatsPerMinute tempo, const lick::Feel& feel) {
    std::string text = fmt::format("{:.4g} a minute", tempo.value);
    if (feel.ratio == Fraction{2}) return text + ", swing";
    if (!feel.straight()) return text + fmt::format(", swing {}:{}", feel.ratio.top(), feel.ratio.bottom());
    return text;
}

}  // namespace

draw::Box changing_head(const Stage& stage) noexcept {
    const draw::Box& h = stage.head;
    if (stage.one_row) {
        const double left = h.x + h.width * title_share;
        return {left, h.y, h.right() - left, h.height - 4.0 * stage.unit};
    }
    return {h.x, h.y + 56.0 * stage.unit, h.width, 56.0 * stage.unit};
}

std::vector<Command> title_commands(const lick::Lick& lick, const Stage& stage) {
    if (lick.head.title.empty()) return {};
    const double u = stage.unit;
    const draw::Box& h = stage.head;
    const double size = (stage.one_row ? 30.0 : 44.0) * u;
    const double room = stage.one_row ? h.width * title_share - 20.0 * u : h.width;
    const double base = h.y + (stage.one_row ? 30.0 : 42.0) * u;
    return {words(cut_to(Face::bold, lick.head.title, size, room), {h.x, base}, size, Face::bold, Ink::ink,
                  Anchor::start)};
}

std::vector<Command> info_commands(const lick::Lick& lick, BeatsPerMinute tempo, const Stage& stage) {
    const double u = stage.unit;
    const draw::Box row = changing_head(stage);
    const double size = (stage.one_row ? 25.0 : 29.0) * u;
    std::string text = harp::name(lick.head.harp) + " harp";
    if (lick.head.position) text += ", " + harp::ordinal(*lick.head.position) + " position";
    text += "  ·  " + tempo_words(tempo, lick.head.feel);
    const double base = stage.one_row ? stage.head.y + 30.0 * u : row.y + 34.0 * u;
    text = cut_to(Face::regular, text, size, row.width);
    return {words(text, {stage.one_row ? row.right() : row.x, base}, size, Face::regular, Ink::soft,
                  stage.one_row ? Anchor::end : Anchor::start)};
}

std::vector<Command> count_commands(const CountRow& row, int counted, const Stage& stage) {
    const double u = stage.unit;
    const draw::Box box = changing_head(stage);
    // One cell a number, and a third of a cell where a new bar begins.
    double cells = 0.0;
    for (std::size_t i = 0; i < row.clicks.size(); ++i)
        cells += 1.0 + (i > 0 && row.clicks[i].first_of_bar ? 0.35 : 0.0);
    const double cell = std::min((stage.one_row ? 46.0 : 54.0) * u, box.width / std::max(cells, 1.0));
    const double size = cell * 0.62;
    const double middle = box.y + box.height / 2.0;
    double x = (stage.one_row ? box.right() - cells * cell : box.x) + cell / 2.0;
    std::vector<Command> commands;
    for (std::size_t i = 0; i < row.clicks.size(); ++i) {
        if (i > 0 && row.clicks[i].first_of_bar) x += 0.35 * cell;
        const bool now = static_cast<int>(i) == counted;
        if (now) commands.push_back(disc({x, middle}, cell * 0.47, Ink::accent));
        commands.push_back(words(std::to_string(row.clicks[i].number),
                                 {x, middle + size * draw::cap_height / 2.0}, size, Face::bold,
                                 now                             ? Ink::paper
                                 : static_cast<int>(i) < counted ? Ink::ink
                                                                 : Ink::soft,
                                 Anchor::middle));
        x += cell;
    }
    return commands;
}

}  // namespace lw::video
