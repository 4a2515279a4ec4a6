// SPDX-License-Identifier: Apache-2.0
//
// Staff, clef, time signature, rests and heads. Engraving follows common practice (no source).
#include "engine/draw/staff_ink.hpp"

#include <algorithm>
#include <string>

#include "engine/draw/staff_hand.hpp"

namespace lw::draw {
namespace {

constexpr double clef_room = 0.5;  // before the clef, and between it and the time signature

}  // namespace

InkGroup StaffHand::draw() {
    lines();
    opening();
    for (const StaffPlace& p : line_.places) here_.push_back({p.note, p.x, 0.0, 0.0, 0.0, false});
    for (StaffHere& h : here_) rests_and_heads(h);
    beams();
    for (StaffHere& h : here_) stem_and_flag(h);
    ties();
    slurs();
    tuplets();
    return std::move(ink_);
}

void StaffHand::lines() {
    const double thick = staff_line * sp_;
    for (int i = -2; i <= 2; ++i)
        staff(filled(
            Part::staff,
            std::move(Path{}.box(line_.left, i * sp_ - thick / 2.0, line_.right - line_.left, thick, 0.0)),
            Ink::ink));
}

void StaffHand::opening() {
    const double x = line_.left + clef_room * sp_;
    const char32_t clef = score_.octave == 0  ? music::g_clef
                          : score_.octave > 0 ? music::g_clef_8_above
                                              : music::g_clef_8_below;
    staff(glyph(Part::staff, clef, {x, sp_}, em_));
    if (!line_.meter) return;
    const double wide = std::max(number_width(meter_.top), number_width(meter_.bottom));
    const double middle = x + music_width(clef, em_) + clef_room * sp_ + wide / 2.0;
    digits(meter_.top, middle, -sp_);
    digits(meter_.bottom, middle, sp_);
}

double StaffHand::number_width(int number) const {
    double wide = 0.0;
    for (const char c : std::to_string(number)) wide += music_width(music::time_digit(c - '0'), em_);
    return wide;
}

void StaffHand::digits(int number, double middle, double at) {
    double x = middle - number_width(number) / 2.0;
    for (const char c : std::to_string(number)) {
        const char32_t digit = music::time_digit(c - '0');
        staff(glyph(Part::staff, digit, {x, at}, em_));
        x += music_width(digit, em_);
    }
}

void StaffHand::dot(StaffHere& h, double from, double at) {
    add(glyph(Part::staff_note, music::dot, {from + 0.35 * sp_, at}, em_), h);
}

void StaffHand::rests_and_heads(StaffHere& h) {
    const StaffNote& n = note(h);
    if (n.token < 0) {
        const char32_t rest = music::rest(std::min(n.value, shortest_flag));
        // A whole rest hangs from the fourth line.
        const double at = n.value == 0 ? -sp_ : 0.0;
        const double wide = music_width(rest, em_);
        add(glyph(Part::staff_note, rest, {h.x - wide / 2.0, at}, em_), h);
        if (n.dots > 0) dot(h, h.x + wide / 2.0, -sp_ / 2.0);
        return;
    }
    const StaffSet& s = set(h);
    h.top = high(h) - sp_ / 2.0;
    h.bottom = low(h) + sp_ / 2.0;
    ledger_lines(h);
    const double half = half_head(h);
    double right = h.x;
    for (const StaffHead& head : s.heads) right = std::max(right, h.x + head.x + half);
    int dotted = 1000;
    for (const StaffHead& head : s.heads) {
        add(glyph(Part::staff_note, head_glyph(n), {h.x + head.x - half, y(head.line)}, em_), h);
        if (head.accidental != 0)
            add(glyph(Part::staff_note, head.accidental, {h.x + head.accidental_x, y(head.line)}, em_), h);
        if (n.dots == 0) continue;
        // A dot stands in a space: beside a head on a line, in the space above it.
        const int space = head.line % 2 == 0 ? head.line + 1 : head.line;
        if (space != dotted) dot(h, right, y(space));
        dotted = space;
    }
}

void StaffHand::ledger_lines(StaffHere& h) {
    const double half = half_head(h);
    const double reach = staff_ledger_reach * sp_;
    const double thick = staff_ledger * sp_;
    const auto line = [&](int at) {
        double left = 1e9;
        double right = -1e9;
        for (const StaffHead& head : set(h).heads) {
            if (at > 0 ? head.line < at : head.line > at) continue;
            left = std::min(left, head.x - half - reach);
            right = std::max(right, head.x + half + reach);
        }
        if (left > right) return;
        add(filled(Part::staff_note,
                   std::move(Path{}.box(h.x + left, y(at) - thick / 2.0, right - left, thick, 0.0)),
                   Ink::ink),
            h);
    };
    for (int at = 6; at <= set(h).heads.back().line; at += 2) line(at);
    for (int at = -6; at >= set(h).heads.front().line; at -= 2) line(at);
}

InkGroup staff_ink(const StaffScore& score, const StaffLine& line, const lick::Meter& meter,
                   const Sizes& sizes) {
    return StaffHand{score, line, meter, sizes}.draw();
}

double staff_opening(const lick::Meter& meter, int octave, const Sizes& sizes) {
    const double sp = sizes.staff_space();
    const char32_t clef = octave == 0  ? music::g_clef
                          : octave > 0 ? music::g_clef_8_above
                                       : music::g_clef_8_below;
    const int digits = std::max(meter.top, meter.bottom) >= 10 ? 2 : 1;
    return sp * clef_room * 3.0 + music_width(clef, 4.0 * sp) +
           digits * music_width(music::time_digit(0), 4.0 * sp);
}

}  // namespace lw::draw
