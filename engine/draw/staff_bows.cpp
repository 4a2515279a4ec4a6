// SPDX-License-Identifier: Apache-2.0
//
// Ties and slurs on the side of the heads, brackets on the side of the beams (common practice, no source).
#include <algorithm>
#include <cmath>
#include <string>

#include "engine/draw/staff_hand.hpp"

namespace lw::draw {

Command StaffHand::bow(Point from, Point to, double rise) const {
    const double across = to.x - from.x;
    const double inset = std::min(across * 0.3, 2.2 * sp_ + across * 0.12);
    const double k = rise / 0.75;
    const double thick = 0.2 * sp_ * (rise < 0.0 ? 1.0 : -1.0);
    Path path;
    path.move(from.x, from.y)
        .cubic({from.x + inset, from.y + k}, {to.x - inset, to.y + k}, to)
        .cubic({to.x - inset, to.y + k + thick}, {from.x + inset, from.y + k + thick}, from)
        .close();
    Command c = filled(Part::staff_note, std::move(path), Ink::ink);
    c.stroke = Ink::ink;
    c.stroke_width = 0.07 * sp_;
    c.box = ink_of(c);
    return c;
}

void StaffHand::tie(StaffHere& h, double from, double to, const StaffHead& head, bool above) {
    const double way = above ? -1.0 : 1.0;
    const double at = y(head.line) + way * 0.62 * sp_;
    const double across = to - from;
    const double rise = way * sp_ * std::clamp(0.3 + across / sp_ * 0.04, 0.3, 0.8);
    add(bow({from, at}, {to, at}, rise), h);
}

bool StaffHand::tie_above(const StaffSet& s, std::size_t head) {
    if (s.heads.size() == 1) return !s.up;
    return 2 * head + 1 >= s.heads.size() + (s.up ? 1 : 0);
}

void StaffHand::ties() {
    for (std::size_t i = 0; i < here_.size(); ++i) {
        StaffHere& h = here_[i];
        const StaffNote& n = note(h);
        if (n.token < 0) continue;
        const StaffSet& s = set(h);
        const double half = half_head(h);
        const bool from_before = n.tied_in && (i == 0 || !note(here_[i - 1]).tied_out);
        for (std::size_t k = 0; k < s.heads.size(); ++k) {
            const bool above = tie_above(s, k);
            if (from_before) tie(h, h.x - half - 1.5 * sp_, h.x - half * 0.3, s.heads[k], above);
            if (!n.tied_out) continue;
            const double from = h.x + half * 0.3;
            const bool next = i + 1 < here_.size();
            const double to = next ? here_[i + 1].x - half_head(here_[i + 1]) * 0.3 : line_.right - 0.4 * sp_;
            tie(h, from, std::max(to, from + sp_), s.heads[k], above);
        }
    }
}

void StaffHand::slurs() {
    for (const StaffSlur& slur : score_.slurs) {
        std::size_t begin = here_.size();
        std::size_t end = 0;
        for (std::size_t i = 0; i < here_.size(); ++i) {
            if (here_[i].note < slur.first || here_[i].note > slur.last) continue;
            begin = std::min(begin, i);
            end = i + 1;
        }
        if (begin >= end) continue;
        one_slur(slur, begin, end);
    }
}

void StaffHand::one_slur(const StaffSlur& slur, std::size_t begin, std::size_t end) {
    bool below = true;
    for (std::size_t i = begin; i < end; ++i) below = below && set(here_[i]).up;
    const double way = below ? 1.0 : -1.0;
    StaffHere& first = here_[begin];
    StaffHere& last = here_[end - 1];
    const auto edge = [&](const StaffHere& h) { return (below ? h.bottom : h.top) + way * 0.3 * sp_; };
    // On the side of the stems a bow that is to meet a stem's end leans on the stem.
    Point from{first.x, edge(first)};
    Point to{last.x, edge(last)};
    if (!below && set(first).up && has_stem(first)) from.x = stem_x(first);
    if (!below && set(last).up && has_stem(last)) to.x = stem_x(last);
    if (first.note != slur.first) from = {first.x - half_head(first) - 1.3 * sp_, edge(first)};
    if (last.note != slur.last) to = {line_.right - 0.4 * sp_, edge(last)};
    if (to.x < from.x + 1.2 * sp_) to.x = from.x + 1.2 * sp_;
    // High enough to clear what stands between: the bow is a cubic with level handles.
    const double across = to.x - from.x;
    double rise = sp_ * std::clamp(0.6 + across / sp_ * 0.05, 0.7, 1.6);
    for (std::size_t i = begin; i < end; ++i) {
        const double t = std::clamp((here_[i].x - from.x) / across, 0.0, 1.0);
        if (t < 0.08 || t > 0.92) continue;
        const double chord = from.y + (to.y - from.y) * t;
        const double need = (edge(here_[i]) - chord) * way;
        rise = std::max(rise, need / std::min(1.0, 4.0 * t * (1.0 - t) * 1.15));
    }
    Command c = bow(from, to, way * rise);
    const Box box = c.box;
    add(std::move(c), first);
    for (std::size_t i = begin; i < end; ++i) {
        here_[i].top = std::min(here_[i].top, below ? here_[i].top : box.y);
        here_[i].bottom = std::max(here_[i].bottom, below ? box.bottom() : here_[i].bottom);
    }
}

bool StaffHand::stands_in(const StaffHere& h, int tuplet) const {
    int t = note(h).tuplet;
    while (t >= 0 && t != tuplet) t = score_.rhythm.tuplets[static_cast<std::size_t>(t)].outer;
    return t >= 0;
}

void StaffHand::tuplets() {
    // The inner ones first: an outer bracket stands outside of theirs.
    int deepest = 0;
    for (const Tuplet& t : score_.rhythm.tuplets) deepest = std::max(deepest, t.depth);
    for (int depth = deepest; depth >= 0; --depth) {
        for (std::size_t t = 0; t < score_.rhythm.tuplets.size(); ++t) {
            if (score_.rhythm.tuplets[t].depth != depth) continue;
            std::size_t begin = here_.size();
            std::size_t end = 0;
            for (std::size_t i = 0; i < here_.size(); ++i) {
                if (!stands_in(here_[i], static_cast<int>(t))) continue;
                begin = std::min(begin, i);
                end = i + 1;
            }
            if (begin < end) bracket(score_.rhythm.tuplets[t], begin, end);
        }
    }
}

bool StaffHand::beamed_alone(std::size_t begin, std::size_t end) const {
    const int beam = set(here_[begin]).beam;
    for (std::size_t i = begin; i < end; ++i)
        if (!here_[i].beamed || set(here_[i]).beam != beam) return false;
    if (begin > 0 && set(here_[begin - 1]).beam == beam) return false;
    return end == here_.size() || set(here_[end]).beam != beam;
}

void StaffHand::bracket(const Tuplet& tuplet, std::size_t begin, std::size_t end) {
    int ups = 0;
    int downs = 0;
    for (std::size_t i = begin; i < end; ++i)
        if (note(here_[i]).token >= 0) (set(here_[i]).up ? ups : downs) += 1;
    const bool above = ups >= downs;
    const double way = above ? -1.0 : 1.0;
    double edge = way * 2.0 * sp_;
    for (std::size_t i = begin; i < end; ++i)
        edge = above ? std::min(edge, here_[i].top) : std::max(edge, here_[i].bottom);
    const std::string text = std::to_string(tuplet.parts);
    InkGroup number;
    double pen = 0.0;
    for (const char c : text) {
        number.add(glyph(Part::staff_note, music::tuplet_digit(c - '0'), {pen, 0.0}, em_));
        pen += music_width(music::tuplet_digit(c - '0'), em_);
    }
    const double left = here_[begin].x - (note(here_[begin]).token < 0 ? 0.5 * sp_ : half_head(here_[begin]));
    const double right =
        here_[end - 1].x + (note(here_[end - 1]).token < 0 ? 0.5 * sp_ : half_head(here_[end - 1]));
    const bool bare = beamed_alone(begin, end);
    double middle = (left + right) / 2.0;
    if (bare) middle = (stem_x(here_[begin]) + stem_x(here_[end - 1])) / 2.0;
    const double high = number.box.height;
    const double at = edge + way * (0.35 * sp_ + high / 2.0);  // of the number's middle
    const double shift_x = middle - (number.box.x + number.box.right()) / 2.0;
    const double shift_y = at - (number.box.y + number.box.bottom()) / 2.0;
    StaffHere& first = here_[begin];
    for (Command c : number.commands) {
        shift(c, shift_x, shift_y);
        add(std::move(c), first);
    }
    if (!bare) {
        const double gap = number.box.width / 2.0 + 0.3 * sp_;
        const double hook = at - way * 0.65 * sp_;
        Path path;
        path.move(left, hook).line(left, at);
        if (middle - gap > left) path.line(middle - gap, at);
        if (middle + gap < right) path.move(middle + gap, at).line(right, at).line(right, hook);
        add(stroked(Part::staff_note, std::move(path), Ink::ink, staff_ledger * sp_, false), first);
    }
    for (std::size_t i = begin; i < end; ++i) {
        here_[i].top = std::min(here_[i].top, above ? at - high / 2.0 : here_[i].top);
        here_[i].bottom = std::max(here_[i].bottom, above ? here_[i].bottom : at + high / 2.0);
    }
}

}  // namespace lw::draw
