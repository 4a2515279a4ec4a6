// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/print/paint.hpp"

#include <algorithm>
#include <memory>
#include <string_view>
#include <vector>

#include "engine/draw/font.hpp"
#include "workshop/print/bundled_fonts.hpp"
#include "workshop/print/logo.hpp"

namespace lw::print {
namespace {

using draw::Command;
using draw::Ink;
using draw::Segment;

void set_colour(cairo_t* on, draw::Colour c) {
    cairo_set_source_rgba(on, c.red / 255.0, c.green / 255.0, c.blue / 255.0, c.alpha / 255.0);
}

void trace(cairo_t* on, const std::vector<Segment>& segments) {
    cairo_new_path(on);
    for (const Segment& s : segments) {
        switch (s.kind) {
            case Segment::Kind::move:
                cairo_move_to(on, s.a.x, s.a.y);
                break;
            case Segment::Kind::line:
                cairo_line_to(on, s.a.x, s.a.y);
                break;
            case Segment::Kind::cubic:
                cairo_curve_to(on, s.a.x, s.a.y, s.b.x, s.b.y, s.c.x, s.c.y);
                break;
            case Segment::Kind::close:
                cairo_close_path(on);
                break;
        }
    }
}

void fill_and_stroke(cairo_t* on, const Command& c, const draw::Theme& theme) {
    if (c.fill != Ink::none) {
        set_colour(on, theme[c.fill]);
        cairo_fill_preserve(on);
    }
    if (c.stroke != Ink::none && c.stroke_width > 0.0) {
        set_colour(on, theme[c.stroke]);
        cairo_set_line_width(on, c.stroke_width);
        cairo_set_line_cap(on, c.round_ends ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
        cairo_set_line_join(on, c.round_ends ? CAIRO_LINE_JOIN_ROUND : CAIRO_LINE_JOIN_MITER);
        cairo_set_miter_limit(on, 4.0);  // SVG's own, so that both painters cut a sharp corner alike
        cairo_stroke_preserve(on);
    }
    cairo_new_path(on);
}

// Inside the box without stretching, in its middle.
void paint_logo(cairo_t* on, const draw::Box& box, const Logo& logo) {
    if (logo.width <= 0 || logo.height <= 0) return;
    const std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> image{decode(logo),
                                                                             cairo_surface_destroy};
    if (cairo_surface_status(image.get()) != CAIRO_STATUS_SUCCESS) return;
    const double k = std::min(box.width / logo.width, box.height / logo.height);
    cairo_save(on);
    cairo_translate(on, box.x + (box.width - logo.width * k) / 2, box.y + (box.height - logo.height * k) / 2);
    cairo_scale(on, k, k);
    cairo_set_source_surface(on, image.get(), 0, 0);
    cairo_paint(on);
    cairo_restore(on);
}

}  // namespace

void paint(cairo_t* on, const Command& c, const draw::Theme& theme, const PaintChoices& choices) {
    std::vector<Segment> shape;
    switch (c.kind) {
        case Command::Kind::path:
            trace(on, c.segments);
            fill_and_stroke(on, c, theme);
            break;
        case Command::Kind::words:
            if (choices.fonts != nullptr && c.fill != Ink::none) {
                set_colour(on, theme[c.fill]);
                choices.fonts->show(on, c.face, c.words, c.at, c.size, c.anchor);
                break;
            }
            draw::append_words(shape, c.face, c.words, c.at, c.size, c.anchor);
            trace(on, shape);
            fill_and_stroke(on, c, theme);
            break;
        case Command::Kind::music:
            draw::append_music(shape, c.glyph, c.at, c.size);
            trace(on, shape);
            fill_and_stroke(on, c, theme);
            break;
        case Command::Kind::image:
            if (choices.logo != nullptr) paint_logo(on, c.box, *choices.logo);
            break;
    }
}

void paint(cairo_t* on, const draw::Picture& picture, const draw::Theme& theme, const PaintChoices& choices) {
    cairo_save(on);
    for (const Command& c : picture.commands) paint(on, c, theme, choices);
    cairo_restore(on);
}

}  // namespace lw::print
