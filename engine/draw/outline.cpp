// SPDX-License-Identifier: Apache-2.0
//
// Shapes of letters and music glyphs. Alone in this file so that a program which never asks for the shape of
// a word does not carry the text font's outlines.
#include <algorithm>
#include <span>

#include "engine/draw/baked.hpp"
#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

// Reads one glyph's steps; y turns over, and a conic becomes the cubic that is the same curve (degree
// elevation).
void append_glyph(std::vector<Segment>& to, std::span<const std::int16_t> steps, Point at, double k) {
    Point pen = at;
    std::size_t i = 0;
    const auto point = [&] {
        const Point p{at.x + steps[i] * k, at.y - steps[i + 1] * k};
        i += 2;
        return p;
    };
    const auto toward = [](Point from, Point handle) {
        return Point{from.x + (handle.x - from.x) * 2 / 3, from.y + (handle.y - from.y) * 2 / 3};
    };
    while (i < steps.size()) {
        Segment s;
        switch (steps[i++]) {
            case 0:
                s.kind = Segment::Kind::move;
                pen = s.a = point();
                break;
            case 1:
                s.kind = Segment::Kind::line;
                pen = s.a = point();
                break;
            case 2: {
                const Point handle = point();
                const Point end = point();
                s = {Segment::Kind::cubic, toward(pen, handle), toward(end, handle), end};
                pen = end;
                break;
            }
            case 3:
                s.kind = Segment::Kind::cubic;
                s.a = point();
                s.b = point();
                pen = s.c = point();
                break;
            default:
                s.kind = Segment::Kind::close;
                break;
        }
        to.push_back(s);
    }
}

// Place of a character in its table; `missing` when it is not there.
std::size_t index_of(std::span<const baked::Metrics> table, char32_t code, std::size_t missing) {
    const auto found = std::lower_bound(table.begin(), table.end(), code,
                                        [](const baked::Metrics& m, char32_t c) { return m.code < c; });
    return found != table.end() && found->code == code ? static_cast<std::size_t>(found - table.begin())
                                                       : missing;
}

std::span<const std::int16_t> steps_of(const baked::Outlines& outlines, std::size_t index) {
    return outlines.steps.subspan(outlines.starts[index],
                                  outlines.starts[index + 1] - outlines.starts[index]);
}

}  // namespace

std::span<const std::int16_t> baked::steps_of_text(Face face, char32_t character) noexcept {
    const auto table = face == Face::bold ? bold : regular;
    return steps_of(face == Face::bold ? bold_outlines : regular_outlines, index_of(table, character, 0));
}

std::span<const std::int16_t> baked::steps_of_music(char32_t glyph) noexcept {
    const std::size_t i = index_of(music, glyph, music.size());
    if (i == music.size()) return {};
    return steps_of(music_outlines, i);
}

void append_words(std::vector<Segment>& to, Face face, std::string_view utf8, Point at, double size,
                  Anchor anchor) {
    const auto table = face == Face::bold ? baked::bold : baked::regular;
    const auto& outlines = face == Face::bold ? baked::bold_outlines : baked::regular_outlines;
    const double k = size / baked::units_per_em;
    const double start = start_of(face, utf8, at.x, size, anchor);
    int pen = 0;
    while (!utf8.empty()) {
        const std::size_t i = index_of(table, next_character(utf8), 0);
        append_glyph(to, steps_of(outlines, i), {start + pen * k, at.y}, k);
        pen += table[i].advance;
    }
}

void append_music(std::vector<Segment>& to, char32_t glyph, Point at, double size) {
    append_glyph(to, baked::steps_of_music(glyph), at, size / baked::units_per_em);
}

}  // namespace lw::draw
