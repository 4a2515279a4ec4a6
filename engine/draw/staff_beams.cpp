// SPDX-License-Identifier: Apache-2.0
//
// Stems an octave long and at least to the middle line, beams that lean a space at most (common practice, no source).
#include <algorithm>
#include <cmath>

#include "engine/draw/staff_hand.hpp"

namespace lw::draw {
namespace {

constexpr double stem_length = 3.5;   // staff spaces: an octave
constexpr double beamed_stem = 3.25;  // to the outer edge of the first beam
constexpr double steepest = 1.0;      // what a beam leans in all

}  // namespace

void StaffHand::beams() {
    for (std::size_t i = 0; i < here_.size();) {
        const int beam = set(here_[i]).beam;
        std::size_t end = i + 1;
        while (end < here_.size() && beam >= 0 && set(here_[end]).beam == beam) ++end;
        if (end - i > 1) {
            one_beam(i, end);
        } else {
            lone_tip(here_[i]);
        }
        i = end;
    }
}

void StaffHand::lone_tip(StaffHere& h) const {
    if (!has_stem(h)) return;
    const double length =
        (stem_length + 0.75 * std::max(0, std::min(note(h).value, shortest_flag) - 4)) * sp_;
    h.tip = set(h).up ? std::min(high(h) - length, 0.0) : std::max(low(h) + length, 0.0);
}

void StaffHand::one_beam(std::size_t begin, std::size_t end) {
    const bool up = set(here_[begin]).up;
    const double way = up ? -1.0 : 1.0;
    const auto outer = [&](const StaffHere& h) { return up ? high(h) : low(h); };
    StaffHere& first = here_[begin];
    StaffHere& last = here_[end - 1];
    const double across = stem_x(last) - stem_x(first);
    double lean = std::clamp((outer(last) - outer(first)) * 0.5, -steepest * sp_, steepest * sp_);
    lean = std::clamp(lean, -across * 0.25, across * 0.25);
    // Level, when a note between reaches farther than both ends.
    for (std::size_t i = begin + 1; i + 1 < end; ++i) {
        const double o = outer(here_[i]) * way;
        if (o >= outer(first) * way && o >= outer(last) * way) lean = 0.0;
    }
    int most = 1;
    for (std::size_t i = begin; i < end; ++i) most = std::max(most, beam_count(here_[i]));
    const double length = (beamed_stem + staff_beam_step * std::max(0, most - 2)) * sp_;
    const auto along = [&](const StaffHere& h) { return lean * (stem_x(h) - stem_x(first)) / across; };
    double from = up ? 1e9 : -1e9;
    for (std::size_t i = begin; i < end; ++i) {
        const StaffHere& h = here_[i];
        const double want = outer(h) + way * length;
        const double reach = up ? std::min(want, 0.0) : std::max(want, 0.0);
        from = up ? std::min(from, reach - along(h)) : std::max(from, reach - along(h));
    }
    for (std::size_t i = begin; i < end; ++i) {
        here_[i].tip = from + along(here_[i]);
        here_[i].beamed = true;
    }
    for (int level = 1; level <= most; ++level) beams_of_level(begin, end, level, lean / across);
}

void StaffHand::beams_of_level(std::size_t begin, std::size_t end, int level, double slope) {
    for (std::size_t i = begin; i < end;) {
        if (beam_count(here_[i]) < level) {
            ++i;
            continue;
        }
        std::size_t stop = i + 1;
        while (stop < end && beam_count(here_[stop]) >= level) ++stop;
        double from = stem_x(here_[i]);
        double to = stem_x(here_[stop - 1]);
        if (stop == i + 1) {
            // A note alone has a stub towards the longer note it completes the time of.
            const bool right = i == begin;
            const double near = right ? stem_x(here_[i + 1]) : stem_x(here_[i - 1]);
            const double stub = std::min(1.15 * sp_, std::abs(near - from) * 0.6);
            (right ? to : from) += right ? stub : -stub;
        }
        beam(here_[i], from, to, level, slope);
        i = stop;
    }
}

void StaffHand::beam(StaffHere& h, double from, double to, int level, double slope) {
    const double way = set(h).up ? 1.0 : -1.0;
    const double x = stem_x(h);
    const double edge = h.tip + way * (level - 1) * staff_beam_step * sp_;
    const double thick = way * staff_beam * sp_;
    const double half = staff_stem * sp_ / 2.0;
    const auto at = [&](double where) { return edge + slope * (where - x); };
    from -= half;
    to += half;
    add(filled(Part::staff_note,
               std::move(Path{}
                             .move(from, at(from))
                             .line(to, at(to))
                             .line(to, at(to) + thick)
                             .line(from, at(from) + thick)
                             .close()),
               Ink::ink),
        h);
}

void StaffHand::stem_and_flag(StaffHere& h) {
    if (!has_stem(h)) return;
    const bool up = set(h).up;
    const double x = stem_x(h);
    const double off = note(h).value == 1 ? 0.0 : 0.168 * sp_;  // where the stem meets a black head
    const double from = up ? low(h) - off : high(h) + off;
    const double half = staff_stem * sp_ / 2.0;
    add(filled(
            Part::staff_note,
            std::move(Path{}.box(x - half, std::min(from, h.tip), 2.0 * half, std::abs(h.tip - from), 0.0)),
            Ink::ink),
        h);
    if (h.beamed || note(h).value < 3) return;
    const char32_t flag = music::flags(std::min(note(h).value, shortest_flag), up);
    add(glyph(Part::staff_note, flag, {x - half, h.tip}, em_), h);
}

}  // namespace lw::draw
