// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/picture.hpp"

#include <algorithm>
#include <cmath>

#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

/// Grows by points; what a path covers, without its stroke.
struct Extent {
    double left = 1e30, top = 1e30, right = -1e30, bottom = -1e30;
    void add(double x, double y) noexcept {
        left = std::min(left, x);
        right = std::max(right, x);
        top = std::min(top, y);
        bottom = std::max(bottom, y);
    }
};

double cubic_at(double p0, double p1, double p2, double p3, double t) noexcept {
    const double u = 1.0 - t;
    return u * u * u * p0 + 3.0 * u * u * t * p1 + 3.0 * u * t * t * p2 + t * t * t * p3;
}

/// The inner extremes of one coordinate of a cubic: zeros of its derivative, a quadratic.
void add_extremes(Extent& e, Point p0, const Segment& s) noexcept {
    const auto zeros = [&](double a0, double a1, double a2, double a3) {
        const double a = -a0 + 3.0 * a1 - 3.0 * a2 + a3;
        const double b = 2.0 * (a0 - 2.0 * a1 + a2);
        const double c = a1 - a0;
        const auto take = [&](double t) {
            if (t > 0.0 && t < 1.0)
                e.add(cubic_at(p0.x, s.a.x, s.b.x, s.c.x, t), cubic_at(p0.y, s.a.y, s.b.y, s.c.y, t));
        };
        if (std::abs(a) < 1e-12) {
            if (std::abs(b) > 1e-12) take(-c / b);
            return;
        }
        const double d = b * b - 4.0 * a * c;
        if (d < 0.0) return;
        const double root = std::sqrt(d);
        take((-b + root) / (2.0 * a));
        take((-b - root) / (2.0 * a));
    };
    zeros(p0.x, s.a.x, s.b.x, s.c.x);
    zeros(p0.y, s.a.y, s.b.y, s.c.y);
}

Box path_ink(const Command& c) noexcept {
    Extent e;
    Point pen;
    for (const Segment& s : c.segments) {
        if (s.kind == Segment::Kind::close) continue;
        if (s.kind == Segment::Kind::cubic) {
            add_extremes(e, pen, s);
            pen = s.c;
        } else {
            pen = s.a;
        }
        e.add(pen.x, pen.y);
    }
    if (e.left > e.right) return {};
    // A round end reaches half a stroke on every side; a butt end of a level or upright line only to its sides.
    const double half = c.stroke == Ink::none ? 0.0 : c.stroke_width / 2.0;
    const bool butt = !c.round_ends && c.segments.size() == 2;
    const double wide = butt && e.top == e.bottom ? 0.0 : half;
    const double high = butt && e.left == e.right ? 0.0 : half;
    return {e.left - wide, e.top - high, e.right - e.left + 2.0 * wide, e.bottom - e.top + 2.0 * high};
}

}  // namespace

Box ink_of(const Command& c) noexcept {
    switch (c.kind) {
        case Command::Kind::path:
            return path_ink(c);
        case Command::Kind::words:
            return ink_box(c.face, c.words, c.at, c.size, c.anchor);
        case Command::Kind::music:
            return music_box(c.glyph, c.at, c.size);
        case Command::Kind::image:
            return c.box;
    }
    return {};
}

Box united(const Box& a, const Box& b) noexcept {
    if (empty(a)) return b;
    if (empty(b)) return a;
    const double x = std::min(a.x, b.x);
    const double y = std::min(a.y, b.y);
    return {x, y, std::max(a.right(), b.right()) - x, std::max(a.bottom(), b.bottom()) - y};
}

void shift(Command& c, double dx, double dy) noexcept {
    const auto move = [&](Point& p) {
        p.x += dx;
        p.y += dy;
    };
    for (Segment& s : c.segments) {
        move(s.a);
        move(s.b);
        move(s.c);
    }
    move(c.at);
    c.box.x += dx;
    c.box.y += dy;
}

Spot spot_at(const Picture& picture, std::size_t bar, Beats at, std::size_t lick) noexcept {
    const auto before = [&](const BeatPlace& p) {
        if (p.lick != lick) return p.lick < lick;
        if (p.bar != bar) return p.bar < bar;
        return p.at <= at;
    };
    const auto in_bar = [&](const BeatPlace& p) { return p.lick == lick && p.bar == bar; };
    const auto& all = picture.beats;
    const auto next = std::partition_point(all.begin(), all.end(), before);
    const bool has_next = next != all.end() && in_bar(*next);
    const bool has_last = next != all.begin() && in_bar(*std::prev(next));
    if (!has_last) return has_next ? Spot{next->system, next->x} : Spot{};
    const BeatPlace& last = *std::prev(next);
    if (!has_next || next->system != last.system) return {last.system, last.x};
    const double part = (at - last.at).value.value() / (next->at - last.at).value.value();
    return {last.system, last.x + part * (next->x - last.x)};
}

double x_at(const Picture& picture, std::size_t bar, Beats at) noexcept {
    return spot_at(picture, bar, at).x;
}

}  // namespace lw::draw
