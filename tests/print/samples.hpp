// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures for the painters' tests: one with everything a command can be, and the pictures that the product makes.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/font.hpp"
#include "engine/draw/harp_chart.hpp"
#include "engine/draw/music_glyphs.hpp"
#include "engine/draw/picture.hpp"
#include "engine/text/text.hpp"

namespace lw::test {

inline draw::Command words_at(std::string words, draw::Point at, double size,
                              draw::Face face = draw::Face::regular,
                              draw::Anchor anchor = draw::Anchor::start, draw::Ink ink = draw::Ink::ink) {
    draw::Command c;
    c.kind = draw::Command::Kind::words;
    c.part = draw::Part::prose;
    c.words = std::move(words);
    c.at = at;
    c.size = size;
    c.face = face;
    c.anchor = anchor;
    c.fill = ink;
    c.box = draw::ink_box(face, c.words, at, size, anchor);
    return c;
}

inline draw::Command music_at(char32_t glyph, draw::Point at, double size) {
    draw::Command c;
    c.kind = draw::Command::Kind::music;
    c.part = draw::Part::staff_note;
    c.glyph = glyph;
    c.at = at;
    c.size = size;
    c.fill = draw::Ink::ink;
    c.box = draw::music_box(glyph, at, size);
    return c;
}

inline draw::Command line_to(draw::Point from, draw::Point to, double width, bool round) {
    using K = draw::Segment::Kind;
    draw::Command c;
    c.part = draw::Part::tail;
    c.owner = 7;
    c.segments = {{K::move, from, {}, {}},
                  {K::cubic, {from.x + 30, from.y}, {to.x - 30, to.y}, to},
                  {K::line, {to.x, to.y + 20}, {}, {}},
                  {K::line, {to.x + 15, to.y}, {}, {}}};
    c.stroke = draw::Ink::accent;
    c.stroke_width = width;
    c.round_ends = round;
    return c;
}

/// Every kind of command, both ends of lines, holes in shapes, letters of every size and beyond ASCII.
inline draw::Picture every_command() {
    using K = draw::Segment::Kind;
    draw::Picture p;
    p.width = 420;
    p.height = 300;
    p.spoken = "Every kind of command & nothing <else>";
    draw::Command band;
    band.part = draw::Part::band;
    band.segments = {{K::move, {10, 10}, {}, {}},   {K::line, {410, 10}, {}, {}},
                     {K::line, {410, 120}, {}, {}}, {K::line, {10, 120}, {}, {}},
                     {K::close, {}, {}, {}},        {K::move, {200, 30}, {}, {}},
                     {K::line, {200, 100}, {}, {}}, {K::line, {390, 100}, {}, {}},
                     {K::line, {390, 30}, {}, {}},  {K::close, {}, {}, {}}};
    band.fill = draw::Ink::band;
    band.stroke = draw::Ink::rule;
    band.stroke_width = 0.75;
    band.round_ends = false;
    p.commands.push_back(band);
    p.commands.push_back(words_at("Porch Light Walkdown", {20, 40}, 22, draw::Face::bold));
    p.commands.push_back(words_at("Größe & <Maß>, “Łódź” – 4½", {20, 62}, 11.3));
    p.commands.push_back(words_at("middle", {300, 60}, 15, draw::Face::regular, draw::Anchor::middle));
    p.commands.push_back(
        words_at("at the end", {380, 90}, 9, draw::Face::bold, draw::Anchor::end, draw::Ink::soft));
    p.commands.push_back(words_at("7 points are small print", {20, 90}, 7));
    double x = 20;
    for (const char32_t g : {draw::music::g_clef_8_above, draw::music::sharp, draw::music::flat,
                             draw::music::head_black, draw::music::rest_quarter, draw::music::time_digit(4),
                             draw::music::flag_8_up, draw::music::arrow_up, draw::music::breath}) {
        p.commands.push_back(music_at(g, {x, 190}, 40));
        x += 40;
    }
    p.commands.push_back(line_to({30, 230}, {160, 260}, 4, true));
    p.commands.push_back(line_to({220, 230}, {360, 260}, 4, false));
    return p;
}

inline draw::Picture chart(const char* harp, int position) {
    return draw::harp_chart_picture(draw::harp_chart(harp::harp_named(harp).value(), position));
}

/// Our own demonstration phrase, with most signs of the language in it.
inline lick::Lick porch_light() {
    const text::LickReading reading = text::read_lick(R"(title: Porch Light Walkdown
harp: C
position: 2
meter: 4/4
tempo: 92
feel: swing
chords | G7                  | D7 - G7 -              |: G7 :|
tab    | . (2d 3d' 4b) 4d' >4d | (4d 3d') >3d . 2d{vibrato} |: (2d 2d''q) 1+4b 6bo 3d''{shake 4} :|
)");
    for (const text::Diagnostic& d : reading.diagnostics) ADD_FAILURE() << d.words;
    return reading.lick;
}

inline draw::Picture breath_lines(double width, bool staff, text::Spelling spelling = text::Spelling::none) {
    draw::LineChoices choices;
    choices.width = width;
    choices.staff = staff;
    choices.spelling = spelling;
    return draw::breath_line(porch_light(), choices);
}

}  // namespace lw::test
