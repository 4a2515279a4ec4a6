// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/tail.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lw::draw {
namespace {

using lick::Gesture;

constexpr double dip_width = 14.0;
constexpr double fall_width = 10.0;
constexpr double style_width = 15.0;  // two waves: fewer would look like a dip
constexpr double glide_width = 14.0;

constexpr std::array<Gesture, 4> styles = {Gesture::vibrato, Gesture::shake, Gesture::wah, Gesture::flutter};

std::vector<Gesture> styles_of(const lick::Event& event) {
    std::vector<Gesture> found;
    for (const Gesture g : styles)
        if (has_gesture(event, g)) found.push_back(g);
    return found;
}

class Tail {
  public:
    Tail(const TailWay& way, const Sizes& sizes) : way_(way), z_(sizes) {}

    std::vector<Command> draw() {
        const lick::Event& event = *way_.event;
        double x = way_.from;
        double end = way_.to;
        const bool fall = has_gesture(event, Gesture::fall) && way_.ends;
        const bool dip = has_gesture(event, Gesture::dip) && !way_.glides;
        const std::vector<Gesture> found = styles_of(*way_.style);
        if (has_gesture(event, Gesture::brief) && way_.ends && found.empty() && !dip && !fall) {
            dot(way_.from + z_.of(4.2));
            return std::move(ink_);
        }
        const bool travels = way_.joins && std::abs(*way_.joins - way_.level) > 0.1 && !way_.glides;
        if (fall) end -= z_.of(fall_width);
        if (travels) end -= z_.travel();
        if (dip) {
            level_to(x, way_.clear);
            draw_dip(way_.clear);
            x = way_.clear + z_.of(dip_width);
        } else if (!found.empty() || way_.glides) {
            level_to(x, way_.clear);
            x = way_.clear;
        }
        if (found.empty()) {
            run(x, end);
        } else {
            const double each = (end - x) / static_cast<double>(found.size());
            for (const Gesture g : found) {
                styled(g, x, x + each);
                x += each;
            }
        }
        if (fall) draw_fall(end);
        if (travels) {
            line(std::move(Path{}.move(end, way_.level).ease({end, way_.level}, {way_.to, *way_.joins})));
        }
        return std::move(ink_);
    }

  private:
    [[nodiscard]] double level_at(double x) const {
        if (!way_.glides) return way_.level;
        const double here = std::clamp((x - way_.clear) / std::max(way_.to - way_.clear, 1e-9), 0.0, 1.0);
        const double f = way_.part_from + here * (way_.part_to - way_.part_from);
        return way_.level + (way_.glide_level - way_.level) * f * f * (3.0 - 2.0 * f);
    }

    void line(Path path, double weight = 1.0) {
        ink_.push_back(stroked(Part::tail, std::move(path), Ink::ink, z_.tail() * weight));
    }
    void level_to(double from, double to) {
        if (to - from > z_.of(0.1)) {
            const double y = level_at(way_.clear);
            line(std::move(Path{}.move(from, y).line(to, y)));
        }
    }

    /// A plain stretch. A travelling one is a piece of the cubic f*f*(3 - 2f), which a Bezier curve draws
    /// exactly.
    void run(double from, double to) {
        if (to <= from) return;
        Path path;
        path.move(from, level_at(from));
        if (way_.glides) {
            const double span = std::max(way_.to - way_.clear, 1e-9);
            const auto slope = [&](double x) {
                const double f = way_.part_from + (x - way_.clear) / span * (way_.part_to - way_.part_from);
                return (way_.glide_level - way_.level) * 6.0 * f * (1.0 - f) *
                       (way_.part_to - way_.part_from) / span;
            };
            const double third = (to - from) / 3.0;
            path.cubic({from + third, level_at(from) + slope(from) * third},
                       {to - third, level_at(to) - slope(to) * third}, {to, level_at(to)});
        } else {
            path.line(to, way_.level);
        }
        line(std::move(path));
    }

    void dot(double x) {
        ink_.push_back(filled(Part::tail, std::move(Path{}.circle(x, way_.level, z_.of(1.6))), Ink::ink));
    }

    void draw_dip(double x) {
        const double y = way_.level;
        const double half = z_.of(dip_width / 2.0);
        const double down = y + z_.of(7.0);
        line(std::move(
            Path{}.move(x, y).ease({x, y}, {x + half, down}).ease({x + half, down}, {x + 2.0 * half, y})));
    }

    void draw_fall(double x) {
        const double y = level_at(way_.to);
        const double w = z_.of(fall_width - 1.5);
        line(std::move(Path{}.move(x, y).cubic({x + w * 0.5, y}, {x + w * 0.85, y + z_.of(3.5)},
                                               {x + w, y + z_.of(9.0)})),
             0.85);
    }

    void styled(Gesture g, double from, double to) {
        if (to - from < z_.of(2.0)) return run(from, to);
        switch (g) {
            case Gesture::vibrato:
                wave(from, to);
                break;
            case Gesture::shake:
                zigzag(from, to);
                break;
            case Gesture::wah:
                swells(from, to);
                break;
            default:
                ticks(from, to);
                break;
        }
    }

    /// An even number of equal parts, near to the wished length.
    [[nodiscard]] int even_parts(double from, double to, double wished) const {
        return std::max(2, 2 * static_cast<int>(std::lround((to - from) / (2.0 * wished))));
    }

    void wave(double from, double to) {
        const int halves = even_parts(from, to, z_.of(3.9));
        const double w = (to - from) / halves;
        const double high = z_.of(2.5) / 0.75;  // handles, of a bump of 2.5
        Path path;
        path.move(from, level_at(from));
        for (int i = 0; i < halves; ++i) {
            const double x = from + i * w;
            const double bump = i % 2 == 0 ? -high : high;
            path.cubic({x + w * 0.38, level_at(x + w * 0.38) + bump},
                       {x + w * 0.62, level_at(x + w * 0.62) + bump}, {x + w, level_at(x + w)});
        }
        line(std::move(path), 0.8);
    }

    void zigzag(double from, double to) {
        const int parts = even_parts(from, to, z_.of(3.0));
        const double w = (to - from) / parts;
        Path path;
        path.move(from, level_at(from));
        for (int i = 0; i < parts; ++i) {
            const double x = from + (i + 0.5) * w;
            path.line(x, level_at(x) + (i % 2 == 0 ? -z_.of(3.2) : z_.of(3.2)));
        }
        path.line(to, level_at(to));
        line(std::move(path), 0.6);
    }

    /// The hand opens and closes: the tail swells and thins.
    void swells(double from, double to) {
        const int count = std::max(1, static_cast<int>(std::lround((to - from) / z_.of(11.0))));
        const double w = (to - from) / count;
        const double high = z_.of(3.0) / 0.75;
        Path path;
        for (int i = 0; i < count; ++i) {
            const double x = from + i * w;
            const double y0 = level_at(x);
            const double y1 = level_at(x + w);
            path.move(x, y0)
                .cubic({x + w * 0.3, y0 - high}, {x + w * 0.7, y1 - high}, {x + w, y1})
                .cubic({x + w * 0.7, y1 + high}, {x + w * 0.3, y0 + high}, {x, y0})
                .close();
        }
        ink_.push_back(filled(Part::tail, std::move(path), Ink::ink));
        run(from, to);
        ink_.back().stroke_width = z_.of(0.9);
        ink_.back().box = ink_of(ink_.back());
    }

    /// The tongue rolls: the tail is chopped.
    void ticks(double from, double to) {
        const int count = std::max(3, static_cast<int>(std::lround((to - from) / z_.of(3.6))));
        const double w = (to - from) / count;
        Path path;
        for (int i = 0; i < count; ++i) {
            const double x = from + (i + 0.5) * w;
            const double y = level_at(x);
            path.move(x - z_.of(0.7), y + z_.of(2.9)).line(x + z_.of(0.7), y - z_.of(2.9));
        }
        line(std::move(path), 0.5);
    }

    const TailWay& way_;
    const Sizes& z_;
    std::vector<Command> ink_;
};

}  // namespace

std::vector<Command> tail_ink(const TailWay& way, const Sizes& sizes) {
    return Tail{way, sizes}.draw();
}

double tail_room(const lick::Event& event, bool travels, bool glides, const Sizes& z) {
    double room = 0.0;
    if (has_gesture(event, Gesture::dip)) room += z.of(dip_width);
    if (has_gesture(event, Gesture::fall)) room += z.of(fall_width);
    for (const Gesture g : styles)
        if (has_gesture(event, g)) room += z.of(style_width);
    if (travels) room += z.travel();
    if (glides) room += z.of(glide_width);
    return room;
}

}  // namespace lw::draw
