// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/screen.hpp"

#include <algorithm>
#include <cmath>

#include "workshop/print/paint.hpp"
#include "workshop/video/canvas.hpp"
#include "workshop/video/encoder.hpp"
#include "workshop/video/head.hpp"
#include "workshop/video/stage.hpp"
#include "workshop/video/timeline.hpp"

namespace lw::video {
namespace {

using draw::Box;
using draw::Command;
using draw::Ink;
using draw::Part;
using Kind = text::ScreenChoice::Kind;

/// How far the ring of a lit note stands from its shape, and how thick it is, in points of the breath line. The
/// ring is what tells a lit note without colour; thinner and a phone drops it.
constexpr double ring_gap = 1.6;
constexpr double ring_width = 2.2;
constexpr double ring_reach = ring_gap + ring_width + 0.6;

/// A line that stands above the played one but comes after it: faint enough not to be taken for the one before,
/// clear enough to be read ahead (over the veil about 5:1).
constexpr double ahead_alpha = 0.5;

/// The mark: a line through the band and a pointer on top of it, in pixels of a 1080 frame.
constexpr double mark_width = 4.0;
constexpr double mark_pointer = 11.0;

/// Under the mark; everything else is over it.
bool is_ground(Part part) noexcept {
    return part == Part::ground || part == Part::band || part == Part::grid;
}

/// What a lit note colours: its number, shape, tail, bend and ornaments. Words under it keep their ink.
bool is_note_ink(Part part) noexcept {
    return part == Part::number || part == Part::number_shape || part == Part::tail || part == Part::stem ||
           part == Part::bend_mark || part == Part::ornament || part == Part::joint;
}

void set_colour(cairo_t* on, draw::Colour c) {
    cairo_set_source_rgba(on, c.red / 255.0, c.green / 255.0, c.blue / 255.0, c.alpha / 255.0);
}

void round_box(cairo_t* on, const Box& b, double radius) {
    constexpr double quarter = 1.5707963267948966;
    const double r = std::min({radius, b.width / 2.0, b.height / 2.0});
    cairo_new_path(on);
    cairo_arc(on, b.right() - r, b.y + r, r, -quarter, 0.0);
    cairo_arc(on, b.right() - r, b.bottom() - r, r, 0.0, quarter);
    cairo_arc(on, b.x + r, b.bottom() - r, r, quarter, 2.0 * quarter);
    cairo_arc(on, b.x + r, b.y + r, r, 2.0 * quarter, 3.0 * quarter);
    cairo_close_path(on);
}

Box grown(const Box& b, double by) noexcept {
    return {b.x - by, b.y - by, b.width + 2.0 * by, b.height + 2.0 * by};
}

}  // namespace

struct OnScreen::Inside {
    lick::Lick lick;
    sound::Performance performance;
    Wishes wishes;
    Stage stage;
    Timeline timeline;
    bool opaque;
    draw::Theme theme;
    draw::Theme lit_theme;
    Canvas canvas;
    std::vector<std::vector<std::size_t>> ink_of_token;  // indices of commands, by Picture::tokens
    int shown = -1;                                      // the frame on the canvas, -1 for none

    Inside(const lick::Lick& l, const sound::Performance& p, const Wishes& w)
        : lick(l),
          performance(p),
          wishes(w),
          stage(set_stage(l, w.choice)),
          timeline(lick, performance, stage.picture, stage.slots.size(), w.choice.frames_per_second),
          opaque(w.choice.kind == Kind::mp4),
          theme(draw::theme(w.look.value_or(opaque ? draw::Look::light : draw::Look::overlay), w.colour)),
          lit_theme(theme),
          canvas(stage.width, stage.height, opaque) {
        lit_theme.of[static_cast<std::size_t>(Ink::ink)] = theme[Ink::accent];
        lit_theme.of[static_cast<std::size_t>(Ink::soft)] = theme[Ink::accent];
        ink_of_token.resize(stage.picture.tokens.size());
        for (std::size_t i = 0; i < stage.picture.commands.size(); ++i) {
            const Command& c = stage.picture.commands[i];
            if (is_note_ink(c.part) && c.owner >= 0 &&
                static_cast<std::size_t>(c.owner) < ink_of_token.size())
                ink_of_token[static_cast<std::size_t>(c.owner)].push_back(i);
        }
    }

    // --- what stays

    void paint_panel() {
        cairo_t* const g = canvas.ground();
        if (opaque) {
            set_colour(g, theme[Ink::paper]);
            cairo_paint(g);
        } else {
            set_colour(g, theme[Ink::ground]);
            round_box(g, stage.panel, 26.0 * stage.unit);
            cairo_fill(g);
        }
        for (const Command& c : title_commands(lick, stage)) print::paint(canvas.ink(), c, theme);
    }

    /// The whole width of the panel, and half the gap to the next slot.
    [[nodiscard]] Pixels slot_pixels(std::size_t slot) const noexcept {
        const Box& s = stage.slots[slot];
        return pixels_of(
            {stage.panel.x, s.y - 10.0 * stage.unit, stage.panel.width, s.height + 20.0 * stage.unit});
    }

    void paint_slot(std::size_t slot, SlotLine standing) {
        const int system = standing.line;
        const Pixels where = slot_pixels(slot);
        canvas.clear(where);
        cairo_t* const g = canvas.ground();
        cairo_t* const i = canvas.ink();
        cairo_save(g);
        cairo_rectangle(g, where.x, where.y, where.width, where.height);
        cairo_clip(g);
        set_colour(g, opaque ? theme[Ink::paper] : theme[Ink::ground]);
        if (opaque) {
            cairo_paint(g);
        } else {
            round_box(g, stage.panel, 26.0 * stage.unit);
            cairo_fill(g);
        }
        if (system >= 0) {
            const Placing place = stage.place(static_cast<std::size_t>(system), slot);
            for (cairo_t* layer : {g, i}) {
                cairo_save(layer);
                if (standing.ahead) cairo_push_group(layer);
                cairo_translate(layer, place.x, place.y);
                cairo_scale(layer, place.zoom, place.zoom);
            }
            for (std::size_t c = 0; c < stage.picture.commands.size(); ++c)
                if (stage.system_of[c] == system) {
                    const Command& command = stage.picture.commands[c];
                    print::paint(is_ground(command.part) ? g : i, command, theme);
                }
            for (cairo_t* layer : {g, i}) {
                if (standing.ahead) {
                    cairo_pop_group_to_source(layer);
                    cairo_paint_with_alpha(layer, ahead_alpha);
                }
                cairo_restore(layer);
            }
        }
        cairo_restore(g);
    }

    void paint_changing_head(const Moment& m) {
        const Pixels where = pixels_of(changing_head(stage));
        cairo_t* const i = canvas.ink();
        cairo_save(i);
        cairo_rectangle(i, where.x, where.y, where.width, where.height);
        cairo_clip(i);
        cairo_set_operator(i, CAIRO_OPERATOR_CLEAR);
        cairo_paint(i);
        cairo_set_operator(i, CAIRO_OPERATOR_OVER);
        const auto commands =
            m.row >= 0 ? count_commands(timeline.rows[static_cast<std::size_t>(m.row)], m.counted, stage)
                       : info_commands(lick, performance.tempo, stage);
        for (const Command& c : commands) print::paint(i, c, theme);
        cairo_restore(i);
    }

    // --- what moves

    [[nodiscard]] std::optional<std::size_t> slot_of(const Moment& m, std::size_t system) const noexcept {
        const std::vector<SlotLine>& in_slot = timeline.turns[m.turn];
        for (std::size_t s = 0; s < in_slot.size(); ++s)
            if (in_slot[s].line == static_cast<int>(system)) return s;
        return std::nullopt;
    }

    /// A played line is in its own slot, not in another that happens to show the same line ahead.
    [[nodiscard]] std::optional<std::size_t> slot_of_mark(const Moment& m) const noexcept {
        if (stage.picture.systems.empty()) return std::nullopt;
        if (stage.picture.systems.size() <= stage.slots.size()) return m.mark.system;
        return m.turn % stage.slots.size();
    }

    struct MarkPlace {
        double x = 0.0;
        double top = 0.0;
        double bottom = 0.0;
    };
    [[nodiscard]] std::optional<MarkPlace> mark_of(const Moment& m) const noexcept {
        const auto slot = slot_of_mark(m);
        if (!slot) return std::nullopt;
        const Placing place = stage.place(m.mark.system, *slot);
        const draw::System& s = stage.picture.systems[m.mark.system];
        // An eighth of a pixel: finer is not seen, and a mark that waits is not painted again.
        const double x = std::round(place.of(draw::Point{m.mark.x, 0.0}).x * 8.0) / 8.0;
        return MarkPlace{x, place.of(draw::Point{0.0, s.top}).y, place.of(draw::Point{0.0, s.bottom}).y};
    }
    [[nodiscard]] Pixels mark_pixels(const Moment& m) const noexcept {
        const auto at = mark_of(m);
        if (!at) return {};
        const double reach = (mark_pointer + 2.0) * stage.unit;
        return pixels_of({at->x - reach, at->top - reach, 2.0 * reach, at->bottom - at->top + 2.0 * reach});
    }

    [[nodiscard]] bool mark_pixels_differ(const Moment& a, const Moment& b) const noexcept {
        const auto before = mark_of(a);
        const auto now = mark_of(b);
        return before.has_value() != now.has_value() || (now && now->x != before->x);
    }

    void paint_mark(cairo_t* on, const Moment& m) const {
        const auto at = mark_of(m);
        if (!at) return;
        const double u = stage.unit;
        set_colour(on, theme[Ink::accent]);
        cairo_rectangle(on, at->x - mark_width * u / 2.0, at->top, mark_width * u, at->bottom - at->top);
        cairo_fill(on);
        const double r = mark_pointer * u;
        cairo_new_path(on);
        cairo_move_to(on, at->x - r, at->top - r * 0.5);
        cairo_line_to(on, at->x + r, at->top - r * 0.5);
        cairo_line_to(on, at->x, at->top + r * 0.9);
        cairo_close_path(on);
        cairo_fill(on);
    }

    struct LitToken {
        std::size_t token;
        std::size_t slot;
    };
    [[nodiscard]] std::vector<LitToken> lit_of(const Moment& m) const {
        std::vector<LitToken> lit;
        if (!m.note) return lit;
        for (const std::size_t t : timeline.tokens[*m.note])
            if (const std::size_t system = stage.picture.tokens[t].system; system == m.mark.system) {
                if (const auto slot = slot_of_mark(m)) lit.push_back({t, *slot});
            } else if (const auto other = slot_of(m, system)) {
                lit.push_back({t, *other});
            }
        return lit;
    }
    [[nodiscard]] Pixels lit_pixels(const Moment& m) const {
        Pixels all;
        for (const LitToken& lit : lit_of(m)) {
            const std::size_t system = stage.picture.tokens[lit.token].system;
            const Placing place = stage.place(system, lit.slot);
            for (const std::size_t c : ink_of_token[lit.token])
                all = around(
                    all, pixels_of(grown(place.of(stage.picture.commands[c].box), ring_reach * place.zoom)));
        }
        return all;
    }

    /// Around every shape of a number; left open where the depth of a bend is written beside it.
    void paint_rings(cairo_t* on, std::size_t token) const {
        cairo_save(on);
        cairo_new_path(on);
        cairo_rectangle(on, 0, 0, stage.picture.width, stage.picture.height);
        for (const std::size_t c : ink_of_token[token])
            if (const Command& command = stage.picture.commands[c];
                command.part == Part::bend_mark && command.kind == Command::Kind::words) {
                const Box b = grown(command.box, 1.2);
                cairo_rectangle(on, b.x, b.y, b.width, b.height);
            }
        cairo_set_fill_rule(on, CAIRO_FILL_RULE_EVEN_ODD);
        cairo_clip(on);
        cairo_set_fill_rule(on, CAIRO_FILL_RULE_WINDING);
        set_colour(on, theme[Ink::accent]);
        cairo_set_line_width(on, ring_width);
        for (const std::size_t c : ink_of_token[token])
            if (const Command& command = stage.picture.commands[c]; command.part == Part::number_shape) {
                const Box ring = grown(command.box, ring_gap + ring_width / 2.0);
                round_box(on, ring, is_drawn(token) ? ring.height / 2.0 : 4.2);
                cairo_stroke(on);
            }
        cairo_restore(on);
    }

    void paint_lit(cairo_t* on, const Moment& m) const {
        for (const LitToken& lit : lit_of(m)) {
            const std::size_t system = stage.picture.tokens[lit.token].system;
            const Placing place = stage.place(system, lit.slot);
            cairo_save(on);
            cairo_translate(on, place.x, place.y);
            cairo_scale(on, place.zoom, place.zoom);
            paint_rings(on, lit.token);
            for (const std::size_t c : ink_of_token[lit.token])
                print::paint(on, stage.picture.commands[c], lit_theme);
            cairo_restore(on);
        }
    }
    [[nodiscard]] bool is_drawn(std::size_t token) const noexcept {
        const draw::TokenPlace& t = stage.picture.tokens[token];
        return lick.bars[t.bar].events[t.event].tab.breath == lick::Breath::draw;
    }

    // --- frames

    [[nodiscard]] const Moment& moment(int number) const noexcept {
        const auto last = timeline.moments.size() - 1;
        return timeline.moments[std::min(static_cast<std::size_t>(std::max(number, 0)), last)];
    }

    void compose(const Pixels& where, const Moment& m) {
        if (where.empty()) return;
        canvas.compose(
            where, [&](cairo_t* on) { paint_mark(on, m); }, [&](cairo_t* on) { paint_lit(on, m); });
    }

    void show(int number) {
        const Moment& now = moment(number);
        canvas.count_from_zero();
        if (shown < 0) {
            paint_panel();
            for (std::size_t s = 0; s < stage.slots.size(); ++s) paint_slot(s, timeline.turns[now.turn][s]);
            paint_changing_head(now);
            compose({0, 0, stage.width, stage.height}, now);
            shown = number;
            return;
        }
        const Moment& before = moment(shown);
        shown = number;
        std::vector<Pixels> dirty;
        if (now.turn != before.turn)
            for (std::size_t s = 0; s < stage.slots.size(); ++s)
                if (timeline.turns[now.turn][s] != timeline.turns[before.turn][s]) {
                    paint_slot(s, timeline.turns[now.turn][s]);
                    dirty.push_back(slot_pixels(s));
                }
        if (now.row != before.row || now.counted != before.counted) {
            paint_changing_head(now);
            dirty.push_back(pixels_of(changing_head(stage)));
        }
        const Pixels mark_before = mark_pixels(before);
        const Pixels mark_now = mark_pixels(now);
        const bool moved = now.turn != before.turn || now.mark.system != before.mark.system ||
                           mark_pixels_differ(before, now);
        if (moved) {
            // Two places of the mark beside each other are one rectangle; a jump is two.
            if (now.turn == before.turn && std::abs(mark_now.x - mark_before.x) < 2 * mark_now.width &&
                mark_now.y == mark_before.y) {
                dirty.push_back(around(mark_before, mark_now));
            } else {
                dirty.push_back(mark_before);
                dirty.push_back(mark_now);
            }
        }
        if (now.note != before.note || now.turn != before.turn) {
            dirty.push_back(lit_pixels(before));
            dirty.push_back(lit_pixels(now));
        }
        for (const Pixels& where : dirty) compose(where, now);
    }
};

OnScreen::OnScreen(const lick::Lick& lick, const sound::Performance& performance, const Wishes& wishes)
    : inside_(std::make_unique<Inside>(lick, performance, wishes)) {}
OnScreen::OnScreen(OnScreen&&) noexcept = default;
OnScreen::~OnScreen() = default;

int OnScreen::width() const noexcept {
    return inside_->stage.width;
}
int OnScreen::height() const noexcept {
    return inside_->stage.height;
}
int OnScreen::frames() const noexcept {
    return static_cast<int>(inside_->timeline.moments.size());
}
draw::Box OnScreen::panel() const noexcept {
    return inside_->stage.panel;
}
std::size_t OnScreen::painted() const noexcept {
    return inside_->canvas.painted();
}

std::span<const std::uint8_t> OnScreen::frame(int number) {
    inside_->show(number);
    return inside_->canvas.bgra();
}

OnScreen::Sight OnScreen::sight(int number) const {
    const Moment& m = inside_->moment(number);
    Sight sight;
    sight.note = m.note;
    for (const Inside::LitToken& lit : inside_->lit_of(m)) {
        const Placing place = inside_->stage.place(inside_->stage.picture.tokens[lit.token].system, lit.slot);
        for (const std::size_t c : inside_->ink_of_token[lit.token])
            if (const Command& command = inside_->stage.picture.commands[c];
                command.part == Part::number_shape)
                sight.lit.push_back(place.of(command.box));
    }
    if (const auto mark = inside_->mark_of(m)) sight.mark = {mark->x, (mark->top + mark->bottom) / 2.0};
    if (m.row >= 0 && m.counted >= 0)
        sight.count = inside_->timeline.rows[static_cast<std::size_t>(m.row)]
                          .clicks[static_cast<std::size_t>(m.counted)]
                          .number;
    return sight;
}

files::Result<void> make_film(files::Disk& disk, const lick::Lick& lick,
                              const sound::Performance& performance, const Wishes& wishes,
                              const files::Path& target, const Progress& progress,
                              const std::atomic<bool>& stop, const std::string& ffmpeg) {
    OnScreen screen{lick, performance, wishes};
    const Film film{wishes.choice.kind, screen.width(), screen.height(), wishes.choice.frames_per_second};
    auto encoder = Encoder::start(disk, film, target, ffmpeg);
    if (!encoder) return tl::make_unexpected(encoder.error());
    const int all = screen.frames();
    for (int n = 0; n < all; ++n) {
        if (stop.load(std::memory_order_relaxed))
            return tl::make_unexpected(
                files::Trouble{target.string() + " was not made: stopped", "Run it again to make it."});
        if (auto sent = encoder->write(screen.frame(n)); !sent) return sent;
        if (progress) progress(n + 1, all);
    }
    return encoder->finish();
}

std::vector<std::uint8_t> rgba_frame(OnScreen& screen, int number) {
    const std::span<const std::uint8_t> bgra = screen.frame(number);
    std::vector<std::uint8_t> rgba{bgra.begin(), bgra.end()};
    for (std::size_t i = 0; i + 3 < rgba.size(); i += 4) std::swap(rgba[i], rgba[i + 2]);
    return rgba;
}

}  // namespace lw::video
