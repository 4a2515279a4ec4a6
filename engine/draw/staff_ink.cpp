// SPDX-License-Identifier: Apache-2.0
//
// Engraving follows common practice (no source): stems an octave long and at least to the middle line, beams
// that lean a space at most, ties and slurs on the side of the heads, brackets on the side of the beams.
#include "engine/draw/staff_ink.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"

namespace lw::draw {
namespace {

constexpr double stem_length = 3.5;   // staff spaces: an octave
constexpr double beamed_stem = 3.25;  // to the outer edge of the first beam
constexpr double steepest = 1.0;      // what a beam leans in all
constexpr double clef_room = 0.5;     // before the clef, and between it and the time signature
constexpr int shortest_flag = 7;      // a 128th

/// A note or rest on this line.
struct Here {
    std::size_t note = 0;
    double x = 0.0;
    double top = 0.0, bottom = 0.0;  // of its ink so far
    double tip = 0.0;                // of its stem
    bool beamed = false;
};

class StaffInk {
  public:
    StaffInk(const StaffScore& score, const StaffLine& line, const lick::Meter& meter, const Sizes& sizes)
        : score_(score), line_(line), meter_(meter), sp_(sizes.staff_space()), em_(4.0 * sp_) {}

    InkGroup draw() {
        lines();
        opening();
        for (const StaffPlace& p : line_.places) here_.push_back({p.note, p.x, 0.0, 0.0, 0.0, false});
        for (Here& h : here_) rests_and_heads(h);
        beams();
        for (Here& h : here_) stem_and_flag(h);
        ties();
        slurs();
        tuplets();
        return std::move(ink_);
    }

  private:
    [[nodiscard]] const StaffNote& note(const Here& h) const { return score_.rhythm.notes[h.note]; }
    [[nodiscard]] const StaffSet& set(const Here& h) const { return score_.sets[h.note]; }
    [[nodiscard]] double y(int line) const { return -line * sp_ / 2.0; }
    [[nodiscard]] double high(const Here& h) const { return y(set(h).heads.back().line); }
    [[nodiscard]] double low(const Here& h) const { return y(set(h).heads.front().line); }
    [[nodiscard]] char32_t head_glyph(const StaffNote& n) const {
        return n.value == 0 ? music::head_whole : n.value == 1 ? music::head_half : music::head_black;
    }
    [[nodiscard]] double half_head(const Here& h) const {
        return music_width(head_glyph(note(h)), em_) / 2.0;
    }
    [[nodiscard]] double stem_x(const Here& h) const {
        const double off = half_head(h) - staff_stem * sp_ / 2.0;
        return h.x + (set(h).up ? off : -off);
    }
    [[nodiscard]] bool has_stem(const Here& h) const { return note(h).token >= 0 && note(h).value >= 1; }

    /// Adds ink of a note and remembers how far it reaches.
    void add(Command c, Here& h) {
        h.top = std::min(h.top, c.box.y);
        h.bottom = std::max(h.bottom, c.box.bottom());
        c.owner = note(h).token;
        ink_.add(std::move(c));
    }
    void staff(Command c) { ink_.add(std::move(c)); }

    void lines() {
        const double thick = staff_line * sp_;
        for (int i = -2; i <= 2; ++i)
            staff(filled(Part::staff,
                         std::move(Path{}.box(line_.left, i * sp_ - thick / 2.0, line_.right - line_.left,
                                              thick, 0.0)),
                         Ink::ink));
    }

    void opening() {
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
    [[nodiscard]] double number_width(int number) const {
        double wide = 0.0;
        for (const char c : std::to_string(number)) wide += music_width(music::time_digit(c - '0'), em_);
        return wide;
    }
    void digits(int number, double middle, double at) {
        double x = middle - number_width(number) / 2.0;
        for (const char c : std::to_string(number)) {
            const char32_t digit = music::time_digit(c - '0');
            staff(glyph(Part::staff, digit, {x, at}, em_));
            x += music_width(digit, em_);
        }
    }

    void dot(Here& h, double from, double at) {
        add(glyph(Part::staff_note, music::dot, {from + 0.35 * sp_, at}, em_), h);
    }

    void rests_and_heads(Here& h) {
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
                add(glyph(Part::staff_note, head.accidental, {h.x + head.accidental_x, y(head.line)}, em_),
                    h);
            if (n.dots == 0) continue;
            // A dot stands in a space: beside a head on a line, in the space above it.
            const int space = head.line % 2 == 0 ? head.line + 1 : head.line;
            if (space != dotted) dot(h, right, y(space));
            dotted = space;
        }
    }

    void ledger_lines(Here& h) {
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

    // --- Stems, beams, flags
    void beams() {
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

    void lone_tip(Here& h) const {
        if (!has_stem(h)) return;
        const double length =
            (stem_length + 0.75 * std::max(0, std::min(note(h).value, shortest_flag) - 4)) * sp_;
        h.tip = set(h).up ? std::min(high(h) - length, 0.0) : std::max(low(h) + length, 0.0);
    }

    void one_beam(std::size_t begin, std::size_t end) {
        const bool up = set(here_[begin]).up;
        const double way = up ? -1.0 : 1.0;
        const auto outer = [&](const Here& h) { return up ? high(h) : low(h); };
        Here& first = here_[begin];
        Here& last = here_[end - 1];
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
        const auto along = [&](const Here& h) { return lean * (stem_x(h) - stem_x(first)) / across; };
        double from = up ? 1e9 : -1e9;
        for (std::size_t i = begin; i < end; ++i) {
            const Here& h = here_[i];
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
    [[nodiscard]] int beam_count(const Here& h) const { return note(h).value - 2; }

    void beams_of_level(std::size_t begin, std::size_t end, int level, double slope) {
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
    void beam(Here& h, double from, double to, int level, double slope) {
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

    void stem_and_flag(Here& h) {
        if (!has_stem(h)) return;
        const bool up = set(h).up;
        const double x = stem_x(h);
        const double off = note(h).value == 1 ? 0.0 : 0.168 * sp_;  // where the stem meets a black head
        const double from = up ? low(h) - off : high(h) + off;
        const double half = staff_stem * sp_ / 2.0;
        add(filled(Part::staff_note,
                   std::move(
                       Path{}.box(x - half, std::min(from, h.tip), 2.0 * half, std::abs(h.tip - from), 0.0)),
                   Ink::ink),
            h);
        if (h.beamed || note(h).value < 3) return;
        const char32_t flag = music::flags(std::min(note(h).value, shortest_flag), up);
        add(glyph(Part::staff_note, flag, {x - half, h.tip}, em_), h);
    }

    // --- Ties and slurs
    /// A bow from one point to another, thin at both ends; `rise` is how far its middle stands off.
    [[nodiscard]] Command bow(Point from, Point to, double rise) const {
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

    void tie(Here& h, double from, double to, const StaffHead& head, bool above) {
        const double way = above ? -1.0 : 1.0;
        const double at = y(head.line) + way * 0.62 * sp_;
        const double across = to - from;
        const double rise = way * sp_ * std::clamp(0.3 + across / sp_ * 0.04, 0.3, 0.8);
        add(bow({from, at}, {to, at}, rise), h);
    }
    /// Away from the stem; in a chord the upper half bows up.
    [[nodiscard]] static bool tie_above(const StaffSet& s, std::size_t head) {
        if (s.heads.size() == 1) return !s.up;
        return 2 * head + 1 >= s.heads.size() + (s.up ? 1 : 0);
    }
    void ties() {
        for (std::size_t i = 0; i < here_.size(); ++i) {
            Here& h = here_[i];
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
                const double to =
                    next ? here_[i + 1].x - half_head(here_[i + 1]) * 0.3 : line_.right - 0.4 * sp_;
                tie(h, from, std::max(to, from + sp_), s.heads[k], above);
            }
        }
    }

    void slurs() {
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
    void one_slur(const StaffSlur& slur, std::size_t begin, std::size_t end) {
        bool below = true;
        for (std::size_t i = begin; i < end; ++i) below = below && set(here_[i]).up;
        const double way = below ? 1.0 : -1.0;
        Here& first = here_[begin];
        Here& last = here_[end - 1];
        const auto edge = [&](const Here& h) { return (below ? h.bottom : h.top) + way * 0.3 * sp_; };
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

    // --- Tuplets
    [[nodiscard]] bool stands_in(const Here& h, int tuplet) const {
        int t = note(h).tuplet;
        while (t >= 0 && t != tuplet) t = score_.rhythm.tuplets[static_cast<std::size_t>(t)].outer;
        return t >= 0;
    }
    void tuplets() {
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
    /// One beam over all of it and over nothing else says what the bracket would.
    [[nodiscard]] bool beamed_alone(std::size_t begin, std::size_t end) const {
        const int beam = set(here_[begin]).beam;
        for (std::size_t i = begin; i < end; ++i)
            if (!here_[i].beamed || set(here_[i]).beam != beam) return false;
        if (begin > 0 && set(here_[begin - 1]).beam == beam) return false;
        return end == here_.size() || set(here_[end]).beam != beam;
    }
    void bracket(const Tuplet& tuplet, std::size_t begin, std::size_t end) {
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
        const double left =
            here_[begin].x - (note(here_[begin]).token < 0 ? 0.5 * sp_ : half_head(here_[begin]));
        const double right =
            here_[end - 1].x + (note(here_[end - 1]).token < 0 ? 0.5 * sp_ : half_head(here_[end - 1]));
        const bool bare = beamed_alone(begin, end);
        double middle = (left + right) / 2.0;
        if (bare) middle = (stem_x(here_[begin]) + stem_x(here_[end - 1])) / 2.0;
        const double high = number.box.height;
        const double at = edge + way * (0.35 * sp_ + high / 2.0);  // of the number's middle
        const double shift_x = middle - (number.box.x + number.box.right()) / 2.0;
        const double shift_y = at - (number.box.y + number.box.bottom()) / 2.0;
        Here& first = here_[begin];
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

    const StaffScore& score_;
    const StaffLine& line_;
    const lick::Meter& meter_;
    double sp_;
    double em_;
    std::vector<Here> here_;
    InkGroup ink_;
};

}  // namespace

InkGroup staff_ink(const StaffScore& score, const StaffLine& line, const lick::Meter& meter,
                   const Sizes& sizes) {
    return StaffInk{score, line, meter, sizes}.draw();
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
