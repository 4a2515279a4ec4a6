// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/core.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

using harp::Breath;
using lick::Gesture;

/// The outline of a number: a box with square shoulders when blown, a round one when drawn. An overbend has a
/// gable on top: its pitch has jumped above the reed that gives it.
Path shape(Breath breath, bool gable, double left, double right, double y, double r, const Sizes& z) {
    Path path;
    if (breath == Breath::blow) {
        const double corner = std::min(z.of(2.6), r);
        if (!gable) return path.box(left, y - r, right - left, 2.0 * r, corner);
        const double middle = (left + right) / 2.0;
        const double shoulder = y - r * 0.55;
        return path.move(middle, y - r * 1.5)
            .line(right, shoulder)
            .line(right, y + r)
            .line(left, y + r)
            .line(left, shoulder)
            .close();
    }
    if (!gable) return path.box(left, y - r, right - left, 2.0 * r, r);
    // A drop: the round shape with a tip above it, joined where the slopes touch the round.
    const double middle = (left + right) / 2.0;
    const double wide = (right - left) / 2.0;
    const double k = 0.5523;
    return path.move(middle, y - r * 1.6)
        .cubic({middle + wide * 0.35, y - r * 1.05}, {right, y - r * 0.65}, {right, y})
        .cubic({right, y + k * r}, {middle + k * wide, y + r}, {middle, y + r})
        .cubic({middle - k * wide, y + r}, {left, y + k * r}, {left, y})
        .cubic({left, y - r * 0.65}, {middle - wide * 0.35, y - r * 1.05}, {middle, y - r * 1.6})
        .close();
}

/// One hole of the tab and where its number stands.
struct Cell {
    int hole = 0;
    bool bent = false;
    int blocked_before = 0;  // holes under the tongue between the one before and this one
    double left = 0.0, right = 0.0;
    std::string number;
};

class Builder {
  public:
    Builder(const Token& token, const Levels& levels)
        : event_(*token.written),
          tab_(event_.tab),
          levels_(levels),
          z_(levels.sizes),
          small_(event_.start != lick::Start::attack),
          k_(small_ ? z_.joined() : 1.0),
          r_(z_.radius() * k_),
          font_(std::max(smallest_print, z_.number() * k_)) {}

    Core build() {
        lay_cells();
        stems();
        shapes();
        around();
        joint();
        breath_mark();
        core_.left = std::max(reach_left_, -core_.ink.box.x);
        core_.right = core_.ink.box.right();
        return std::move(core_);
    }

  private:
    [[nodiscard]] double level(const Cell& c) const {
        return levels_.at(tab_.breath, c.bent ? tab_.bend_quarter_steps : 0);
    }
    [[nodiscard]] bool blow() const { return tab_.breath == Breath::blow; }
    [[nodiscard]] double number_size(const std::string& digits) const {
        // Two digits in a round of the same size: a little smaller, or they would touch its edge.
        return std::max(smallest_print, digits.size() > 1 ? font_ * 0.84 : font_);
    }

    void lay_cells() {
        double x = 0.0;
        for (std::size_t i = 0; i < tab_.holes.size(); ++i) {
            Cell c;
            c.hole = tab_.holes[i];
            c.bent = c.hole == tab_.bent_hole && tab_.bend_quarter_steps > 0;
            c.number = std::to_string(c.hole);
            const double text = width(Face::bold, c.number, number_size(c.number));
            const bool own_shape = !tab_.chord() || tab_.bent_hole != 0;
            const double cell = own_shape ? std::max(2.0 * r_, text + z_.of(6.0)) : text + z_.of(4.2);
            if (i > 0) {
                c.blocked_before = c.hole - tab_.holes[i - 1] - 1;
                x += c.blocked_before * dot_room();
                if (own_shape) x += z_.of(2.4);
            }
            c.left = x;
            c.right = x += cell;
            // The badge of a bent hole stands beside the next number.
            if (c.bent && i + 1 < tab_.holes.size()) {
                const double beside =
                    z_.of(4.2) + width(Face::bold, depth_words(tab_.bend_quarter_steps), z_.badge());
                x += std::max(0.0, beside - cell / 2.0 - z_.of(1.2));
            }
            cells_.push_back(c);
        }
        const bool one_shape = tab_.chord() && tab_.bent_hole == 0;
        const double edge = one_shape ? z_.of(2.6) : 0.0;
        const double half = x / 2.0;
        for (Cell& c : cells_) {
            c.left -= half;
            c.right -= half;
        }
        left_ = -half - edge;
        right_ = half + edge;
        core_.level_in = level(cells_.front());
        core_.level_out = level(cells_.back());
        core_.shape_left = left_;
    }

    [[nodiscard]] double dot_room() const { return z_.of(3.6); }

    void stem(double x, double from, double to) {
        if (std::abs(to - from) < z_.of(0.5)) return;
        core_.ink.add(stroked(Part::stem, std::move(Path{}.move(x, from).line(x, to)), Ink::soft,
                              z_.hairline(), false));
    }

    /// A thread from the line to the number says that the breath leaves the line here; a joined note has none.
    void stems() {
        const bool apart = tab_.chord() && tab_.bent_hole != 0;
        for (const Cell& c : cells_) {
            const double x = (c.left + c.right) / 2.0;
            const double y = level(c);
            const double edge_below = y + r_ + (blow() ? z_.outline() / 2.0 : 0.0);
            const double edge_above = y - r_ * (tab_.overbend ? 1.5 : 1.0);
            const bool ring = c.bent && tab_.bend_quarter_steps >= 2;
            const double rest = levels_.rest(tab_.breath);
            if (ring) {
                core_.ink.add(outlined(Part::bend_mark, std::move(Path{}.circle(x, rest, z_.ring())),
                                       Ink::paper, Ink::soft, z_.hairline()));
                stem(x, rest + z_.ring() + z_.hairline() / 2.0,
                     edge_above - (blow() ? z_.outline() / 2.0 : 0.0));
            }
            if (c.bent) badge(x, edge_above);
            const double draw_end = ring ? rest - z_.ring() - z_.hairline() / 2.0 : edge_above;
            if (apart) {
                stem(x, blow() ? edge_below : yoke(), blow() ? yoke() : draw_end);
            } else if (!small_ && &c == &cells_.front()) {
                stem(0.0, blow() ? edge_below : 0.0, blow() ? 0.0 : draw_end);
            }
        }
        if (!apart) return;
        // Numbers at different depths cannot share a shape; the yoke says that they are one breath, not two notes.
        core_.ink.add(stroked(Part::stem,
                              std::move(Path{}
                                            .move((cells_.front().left + cells_.front().right) / 2.0, yoke())
                                            .line((cells_.back().left + cells_.back().right) / 2.0, yoke())),
                              Ink::ink, z_.outline()));
        if (!small_) stem(0.0, 0.0, yoke() + (blow() ? z_.outline() : -z_.outline()) / 2.0);
    }

    /// Half-way between the breath line and the nearest number of a chord whose numbers stand apart.
    [[nodiscard]] double yoke() const {
        double nearest = levels_.rest(tab_.breath);
        for (const Cell& c : cells_)
            nearest = blow() ? std::max(nearest, level(c)) : std::min(nearest, level(c));
        return (nearest + (blow() ? r_ : -r_)) / 2.0;
    }

    /// How deep, right of the thread and above the number.
    void badge(double x, double top) {
        const double lift = blow() ? z_.outline() : z_.of(1.0);
        Command c = words(Part::bend_mark, depth_words(tab_.bend_quarter_steps), {x + z_.of(3.4), top},
                          z_.badge(), Face::bold);
        shift(c, x + z_.of(3.2) - c.box.x, top - lift - c.box.bottom());
        core_.ink.add(std::move(c));
    }

    void one_shape(double left, double right, double y) {
        const Part part = Part::number_shape;
        Path path = shape(tab_.breath, tab_.overbend, left, right, y, r_, z_);
        if (blow()) {
            core_.ink.add(outlined(part, std::move(path), Ink::paper, Ink::ink, z_.outline()));
        } else {
            core_.ink.add(filled(part, std::move(path), Ink::ink));
        }
    }

    void number(const Cell& c) {
        const double size = number_size(c.number);
        const double y = level(c) + cap_height * size / 2.0;
        core_.ink.add(words(Part::number, c.number, {(c.left + c.right) / 2.0, y}, size, Face::bold,
                            Anchor::middle, blow() ? Ink::ink : Ink::paper));
    }

    /// Holes under the tongue, as dots between the two that sound.
    void blocked(const Cell& c, double y, Ink ink) {
        for (int i = 0; i < c.blocked_before; ++i) {
            const double x = c.left - (i + 0.5) * dot_room() - (tab_.bent_hole != 0 ? z_.of(1.2) : 0.0);
            core_.ink.add(filled(Part::ornament, std::move(Path{}.circle(x, y, z_.of(0.95))), ink));
        }
    }

    void shapes() {
        const bool apart = tab_.chord() && tab_.bent_hole != 0;
        if (!apart) {
            one_shape(left_, right_, level(cells_.front()));
            for (const Cell& c : cells_) {
                blocked(c, level(c), blow() ? Ink::ink : Ink::paper);
                number(c);
            }
            return;
        }
        for (const Cell& c : cells_) {
            one_shape(c.left, c.right, level(c));
            blocked(c, levels_.rest(tab_.breath), Ink::ink);
            number(c);
        }
    }

    // --- Close around the number
    void around() {
        reach_left_ = -left_ + (blow() ? z_.outline() / 2.0 : 0.0);
        core_.tail_from = right_ + (blow() ? z_.outline() / 2.0 : 0.0);
        if (has_gesture(event_, Gesture::ghost)) parentheses();
        if (has_gesture(event_, Gesture::accent)) wedge();
        if (has_gesture(event_, Gesture::scoop)) scoop();
        for (const lick::Ornament& o : event_.ornaments)
            if (o.gesture == Gesture::approach && !o.from.holes.empty()) approach(o.from);
    }

    void parentheses() {
        const auto arc = [&](double x, double y, double bow) {
            const double h = r_ * 1.05;
            core_.ink.add(stroked(Part::ornament,
                                  std::move(Path{}.move(x, y - h).cubic({x + bow, y - h * 0.5},
                                                                        {x + bow, y + h * 0.5}, {x, y + h})),
                                  Ink::ink, z_.of(1.1)));
        };
        arc(-reach_left_ - z_.of(1.6), core_.level_in, -z_.of(3.4));
        arc(core_.tail_from + z_.of(1.6), core_.level_out, z_.of(3.4));
        reach_left_ += z_.of(5.0);
        core_.tail_from += z_.of(6.6);
    }

    /// On the side away from the line.
    void wedge() {
        const double w = z_.of(4.4);
        const double h = z_.of(2.1);
        const double y = blow() ? core_.ink.box.y - z_.of(2.0) - h : core_.ink.box.bottom() + z_.of(2.0) + h;
        core_.ink.add(stroked(Part::ornament, std::move(Path{}.move(-w, y - h).line(w, y).line(-w, y + h)),
                              Ink::ink, z_.of(1.2)));
    }

    void scoop() {
        const double to = -reach_left_ - z_.of(0.6);
        const double from = to - z_.of(8.0);
        const double y = core_.level_in;
        core_.ink.add(
            stroked(Part::ornament,
                    std::move(Path{}
                                  .move(from, y + z_.of(8.0))
                                  .cubic({from + z_.of(2.4), y + z_.of(3.0)}, {to - z_.of(3.0), y}, {to, y})),
                    Ink::ink, z_.tail() * 0.8));
        reach_left_ += z_.of(9.8);
    }

    /// The place a quick approach comes from: a small number and the way to the large one.
    void approach(const lick::Tab& from) {
        const double size = std::max(smallest_print, 7.4 * z_.scale);
        const std::string digits = std::to_string(from.lead_hole());
        const double r = std::max(z_.of(5.6), size * 0.72);
        const double half = std::max(r, width(Face::bold, digits, size) / 2.0 + z_.of(2.2));
        const double y = levels_.at(from.breath, from.bend_quarter_steps);
        const bool level = std::abs(y - core_.level_in) < 0.1;
        const double way = level ? z_.of(3.6) : z_.of(6.4);
        const double edge = -reach_left_ - z_.of(0.4);
        const double x = edge - way - half;
        const double stroke = z_.of(1.1);
        const bool out = from.breath == Breath::blow;
        core_.ink.add(stroked(Part::ornament,
                              std::move(Path{}
                                            .move(x + half + z_.of(0.6), y)
                                            .ease({x + half + z_.of(0.6), y}, {edge, core_.level_in})),
                              Ink::ink, z_.tail() * 0.6));
        Path path = shape(from.breath, from.overbend, x - half, x + half, y, r, z_);
        core_.ink.add(out ? outlined(Part::ornament, std::move(path), Ink::paper, Ink::ink, stroke)
                          : filled(Part::ornament, std::move(path), Ink::ink));
        core_.ink.add(words(Part::ornament, digits, {x, y + cap_height * size / 2.0}, size, Face::bold,
                            Anchor::middle, out ? Ink::ink : Ink::paper));
        if (from.bend_quarter_steps > 0) {
            Command c = words(Part::ornament, depth_words(from.bend_quarter_steps), {x, y}, z_.badge(),
                              Face::bold, Anchor::middle);
            shift(c, 0.0, y - r - (out ? stroke : z_.of(1.0)) - c.box.bottom());
            core_.ink.add(std::move(c));
        }
        reach_left_ = -core_.ink.box.x;
    }

    /// The last bit of the way to a joined note.
    void joint() {
        if (!small_) return;
        const double from = -reach_left_ - z_.of(4.0);
        core_.ink.add(stroked(
            Part::joint,
            std::move(Path{}.move(from, core_.level_in).line(-reach_left_ + z_.of(0.2), core_.level_in)),
            Ink::ink, z_.tail(), false));
        reach_left_ += z_.of(4.0);
    }

    void breath_mark() {
        if (!event_.breath_before) return;
        const double size = z_.of(24.0);
        Command c = glyph(Part::mark, 0xE4CE, {}, size, Ink::ink);
        shift(c, -reach_left_ - z_.of(2.4) - c.box.right(), -z_.of(3.0) - c.box.bottom());
        core_.ink.add(std::move(c));
        reach_left_ = -core_.ink.box.x;
    }

    const lick::Event& event_;
    const lick::Tab& tab_;
    const Levels& levels_;
    Sizes z_;
    bool small_;
    double k_, r_, font_;
    std::vector<Cell> cells_;
    double left_ = 0.0, right_ = 0.0;
    double reach_left_ = 0.0;  // positive: what is taken on the left so far
    Core core_;
};

}  // namespace

Levels levels_for(const lick::Lick& lick, Sizes sizes) {
    int deepest_blow = 0;
    const auto look = [&](const lick::Tab& tab) {
        if (tab.breath == Breath::blow) deepest_blow = std::max(deepest_blow, tab.bend_quarter_steps);
    };
    for (const lick::Bar& bar : lick.bars) {
        for (const lick::Event& event : bar.events) {
            if (event.kind == lick::Event::Kind::note) look(event.tab);
            for (const lick::Ornament& o : event.ornaments)
                if (o.gesture == Gesture::approach) look(o.from);
        }
    }
    return {sizes, -sizes.rest() - sizes.step() * deepest_blow / 2.0, sizes.rest()};
}

Core core_of(const Token& token, const Levels& levels) {
    return Builder{token, levels}.build();
}

bool has_gesture(const lick::Event& event, Gesture gesture) noexcept {
    return std::any_of(event.ornaments.begin(), event.ornaments.end(),
                       [&](const lick::Ornament& o) { return o.gesture == gesture; });
}

std::string words_beside(const lick::Event& event) {
    std::string text;
    for (const lick::Ornament& o : event.ornaments) {
        const bool said = o.gesture == Gesture::wah || o.gesture == Gesture::flutter ||
                          o.gesture == Gesture::slap || o.gesture == Gesture::shake;
        if (!said) continue;
        if (!text.empty()) text += ", ";
        text += word(o.gesture);
        if (o.gesture == Gesture::shake) text += " " + std::to_string(o.other_hole);
    }
    return text;
}

std::string depth_words(int quarter_steps) {
    static constexpr std::array<std::string_view, 4> parts = {"", "¼", "½", "¾"};
    const int whole = quarter_steps / 4;
    return (whole > 0 ? std::to_string(whole) : std::string{}) +
           std::string{parts[static_cast<std::size_t>(quarter_steps % 4)]};
}

}  // namespace lw::draw
