// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "engine/draw/chord_symbol.hpp"
#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"
#include "engine/draw/opening.hpp"
#include "engine/draw/setting.hpp"
#include "engine/draw/staff_ink.hpp"
#include "engine/draw/tail.hpp"

namespace lw::draw {
namespace {

class LineInk {
  public:
    LineInk(const Setting& s, const Line& line, bool first)
        : s_(s), z_(s.sizes), r_(s.rows), line_(line), first_(first), x_(place_stops(s.stops, line, s.room)) {
        for (double& x : x_) x += s_.gutter;
        right_ = x_.back();
    }

    SetLine ink() {
        find_bar_lines();
        if (s_.staff) staff();
        bands();
        breath_line();
        labels();
        bar_number();
        bar_lines();
        endings();
        for (std::size_t i = line_.begin; i < line_.end; ++i) {
            const Column& c = s_.columns[i];
            if (c.token >= 0) token(i, c.token);
        }
        for (std::size_t i = line_.begin; i < line_.end; ++i) {
            count_word(i);
            chord(i);
            beat(i);
        }
        return finish();
    }

  private:
    [[nodiscard]] double x(std::size_t column) const { return x_[column - line_.begin]; }
    [[nodiscard]] bool here(std::size_t column) const { return column >= line_.begin && column < line_.end; }
    [[nodiscard]] const lick::Bar& bar_of(std::size_t column) const {
        return s_.lick.bars[s_.columns[column].bar];
    }
    void add(Command c, int owner = -1) {
        c.owner = owner;
        set_.commands.push_back(std::move(c));
    }

    // --- Bar lines. A bar on this line has a left and a right one; the left one of a bar that began on the
    // line before, and the right one of a bar that goes on, are the edges.
    struct BarSpan {
        std::size_t bar = 0;
        std::size_t begin = 0, end = 0;  // columns
        double left = 0.0, right = 0.0;  // x of its bar lines
        bool begins = true, ends = true;
    };

    void find_bar_lines() {
        for (std::size_t i = line_.begin; i < line_.end;) {
            BarSpan span;
            span.bar = s_.columns[i].bar;
            span.begin = i;
            while (i < line_.end && s_.columns[i].bar == span.bar) ++i;
            span.end = i;
            span.begins = s_.stops[span.begin].begins_bar;
            span.ends = s_.stops[span.end - 1].ends_bar;
            bars_.push_back(span);
        }
        for (std::size_t i = 0; i < bars_.size(); ++i) {
            const Stop& first = s_.stops[bars_[i].begin];
            const double lead = std::max(z_.pad(), first.left + z_.gap() + first.opening);
            bars_[i].left = i == 0 ? s_.gutter : x(bars_[i].begin) - lead;
            if (i > 0) bars_[i - 1].right = bars_[i].left;
        }
        bars_.back().right = right_;
    }
    [[nodiscard]] const BarSpan& span_of(std::size_t column) const {
        return *std::find_if(bars_.begin(), bars_.end(),
                             [&](const BarSpan& b) { return column >= b.begin && column < b.end; });
    }

    // --- The staff stands over the band and under chord symbols and endings, as high as this line's notes need.
    void staff() {
        StaffLine line{0.0, right_, first_, {}};
        const std::vector<StaffNote>& notes = s_.staff->rhythm.notes;
        std::size_t n = 0;
        for (std::size_t i = line_.begin; i < line_.end; ++i) {
            const Column& c = s_.columns[i];
            while (n < notes.size() &&
                   (notes[n].bar < c.bar || (notes[n].bar == c.bar && notes[n].at < c.at)))
                ++n;
            if (n == notes.size() || notes[n].bar != c.bar || notes[n].at != c.at) continue;
            const BarSpan& span = span_of(i);
            const Stop& last = s_.stops[span.end - 1];
            const double middle =
                (span.left + s_.stops[span.begin].opening + span.right - last.closing) / 2.0;
            line.places.push_back({n, notes[n].whole_bar ? middle : x(i)});
        }
        const InkGroup ink = staff_ink(*s_.staff, line, s_.lick.head.meter, z_);
        staff_middle_ = r_.band_top - z_.of(5.0) - ink.box.bottom();
        for (Command c : ink.commands) {
            shift(c, 0.0, staff_middle_);
            set_.commands.push_back(std::move(c));
        }
        const double taken = r_.band_top - (staff_middle_ + ink.box.y) + z_.of(2.0);
        for (double* row : {&r_.chord, &r_.ending_top, &r_.ending_bottom, &r_.top, &r_.top_without_endings})
            *row -= taken;
    }
    void staff_upright(double at, double width) {
        if (!s_.staff) return;
        const double high = 2.0 * z_.staff_space();
        add(filled(Part::staff, std::move(Path{}.box(at, staff_middle_ - high, width, 2.0 * high, 0.0)),
                   Ink::ink));
    }

    /// Every other beat lies on a band.
    void bands() {
        for (const BarSpan& span : bars_) {
            double from = 0.0;
            bool open = false;
            const auto close_at = [&](double to) {
                if (open && to > from)
                    add(filled(Part::band,
                               std::move(Path{}.box(from, r_.band_top, to - from,
                                                    r_.band_bottom - r_.band_top, 0.0)),
                               Ink::band),
                        static_cast<int>(span.bar));
                open = false;
            };
            for (std::size_t i = span.begin; i < span.end; ++i) {
                const Column& c = s_.columns[i];
                const bool starts = i == span.begin;
                if (!c.at.value.whole() && !starts) continue;
                const double edge = starts ? span.left : x(i) - z_.pad();
                close_at(edge);
                const int number = lick::beat_number(s_.lick, c.bar, c.at);
                if (number % 2 == 1) {
                    from = edge;
                    open = true;
                }
            }
            close_at(span.right);
        }
    }

    void breath_line() {
        const double from = s_.choices.labels ? s_.gutter - z_.of(5.0) : s_.gutter;
        add(stroked(Part::breath_line, std::move(Path{}.move(from, 0.0).line(right_, 0.0)), Ink::ink,
                    z_.outline(), false));
    }

    void labels() {
        const double size = z_.small_words();
        const double edge = s_.gutter - z_.of(6.5);
        const double down = x_height * size / 2.0;
        if (s_.choices.labels) {
            add(words(Part::label, "blow", {edge, s_.levels.blow_rest + down}, size, Face::regular,
                      Anchor::end, Ink::soft));
            add(words(Part::label, "draw", {edge, s_.levels.draw_rest + down}, size, Face::regular,
                      Anchor::end, Ink::soft));
        }
    }

    /// Which bar a later line begins with, counted from the first full one.
    void bar_number() {
        const BarSpan& span = bars_.front();
        if (first_ || !s_.choices.labels || !span.begins) return;
        const bool pickup = s_.lick.bars.front().pickup;
        const std::string number = std::to_string(span.bar + (pickup ? 0 : 1));
        Command c = words(Part::label, number, {}, smallest_print, Face::regular, Anchor::start, Ink::soft);
        shift(c, z_.of(1.0) - c.box.x, r_.band_top - c.box.y);
        add(std::move(c));
    }

    void upright(double at, double width, int owner) {
        add(filled(Part::bar_line,
                   std::move(Path{}.box(at, r_.band_top, width, r_.band_bottom - r_.band_top, 0.0)),
                   Ink::ink),
            owner);
        // A line of music begins without a bar line of its own.
        if (at > s_.gutter || width > z_.of(1.0)) staff_upright(at, width);
    }
    void repeat_dots(double at, int owner) {
        for (const double y : {-z_.of(6.0), z_.of(6.0)})
            add(filled(Part::repeat, std::move(Path{}.circle(at, y, z_.of(1.5))), Ink::ink), owner);
        if (!s_.staff) return;
        const double half = z_.staff_space() / 2.0;
        for (const double y : {staff_middle_ - half, staff_middle_ + half})
            add(filled(Part::staff, std::move(Path{}.circle(at, y, 0.4 * half * 2.0 * 0.6)), Ink::ink));
    }

    void bar_lines() {
        const double thin = z_.of(1.0);
        const double thick = z_.of(2.8);
        for (std::size_t i = 0; i < bars_.size(); ++i) {
            const BarSpan& span = bars_[i];
            const lick::Bar& bar = s_.lick.bars[span.bar];
            const int owner = static_cast<int>(span.bar);
            const bool after_close = i > 0 && s_.lick.bars[bars_[i - 1].bar].closes_repeat;
            if (span.begins && bar.opens_repeat) {
                upright(span.left - (after_close ? thick / 2.0 : 0.0), thick, owner);
                upright(span.left + z_.of(4.4), thin, owner);
                repeat_dots(span.left + z_.of(8.0), owner);
            } else if (span.begins && i == 0) {
                upright(span.left, thin, owner);
            }
            if (!span.ends) continue;
            const bool shared = i + 1 < bars_.size() && s_.lick.bars[bars_[i + 1].bar].opens_repeat;
            if (bar.closes_repeat) {
                if (!shared) upright(span.right - thick, thick, owner);
                upright(span.right - z_.of(5.4), thin, owner);
                repeat_dots(span.right - z_.of(8.0), owner);
            } else if (span.bar + 1 == s_.lick.bars.size()) {
                upright(span.right - thick, thick, owner);
                upright(span.right - z_.of(5.4), thin, owner);
            } else if (!shared) {
                upright(span.right - (i + 1 == bars_.size() ? thin : thin / 2.0), thin, owner);
            }
            if (bar.breath_at_end) breath_at_end(span, owner);
        }
    }

    void breath_at_end(const BarSpan& span, int owner) {
        const lick::Bar& bar = s_.lick.bars[span.bar];
        const bool last = span.bar + 1 == s_.lick.bars.size();
        const double signs = z_.of(bar.closes_repeat ? repeat_room : last ? final_room : 0.0);
        Command c = glyph(Part::mark, music::breath, {}, z_.of(24.0));
        shift(c, span.right - signs - z_.of(2.0) - c.box.right(), -z_.of(3.0) - c.box.bottom());
        add(std::move(c), owner);
    }

    void endings() {
        for (std::size_t i = 0; i < bars_.size(); ++i) {
            const BarSpan& span = bars_[i];
            int ending = 0;
            bool begins = false;
            bool ends = false;
            if (!in_ending(span.bar, ending, begins, ends)) continue;
            has_ending_ = true;
            const double left = span.left + z_.of(2.0);
            const bool open = !ends || !s_.lick.bars[span.bar].closes_repeat;
            const double right =
                span.right - (ends ? z_.of(2.0) : -z_.of(2.0)) - (i + 1 == bars_.size() ? z_.of(2.0) : 0.0);
            Path path;
            const bool starts_here = begins && span.begins;
            if (starts_here) path.move(left, r_.ending_bottom).line(left, r_.ending_top);
            if (!starts_here) path.move(span.left, r_.ending_top);
            path.line(right, r_.ending_top);
            if (!open && span.ends) path.line(right, r_.ending_bottom);
            const int owner = static_cast<int>(span.bar);
            add(stroked(Part::ending, std::move(path), Ink::ink, z_.hairline(), false), owner);
            if (starts_here)
                add(words(Part::ending, std::to_string(ending) + ".",
                          {left + z_.of(3.0), r_.ending_bottom - z_.of(1.2)}, z_.count(), Face::bold),
                    owner);
        }
    }
    /// An ending's bracket runs to the `:|` that closes it; the last one has none and stands over one bar.
    [[nodiscard]] bool in_ending(std::size_t bar, int& ending, bool& begins, bool& ends) const {
        const auto& bars = s_.lick.bars;
        for (std::size_t first = bar + 1; first-- > 0;) {
            if (first < bar && bars[first].closes_repeat) return false;
            if (bars[first].ending == 0) continue;
            std::size_t close = first;
            while (close < bars.size() && !bars[close].closes_repeat) {
                ++close;
                if (close < bars.size() && (bars[close].ending != 0 || bars[close].opens_repeat))
                    close = bars.size();
            }
            if (close >= bars.size()) close = first;
            if (bar > close) return false;
            ending = bars[first].ending;
            begins = bar == first;
            ends = bar == close;
            return true;
        }
        return false;
    }

    // --- Notes
    void token(std::size_t column, int index) {
        const Token& t = s_.token(index);
        const Core& core = s_.core(index);
        const double at = x(column);
        const std::size_t before = set_.commands.size();
        tail(column, index);
        if (t.note()) core.ink.place(set_.commands, at, 0.0, index);
        Box box;
        for (std::size_t i = before; i < set_.commands.size(); ++i) box = united(box, set_.commands[i].box);
        if (set_.tokens.empty()) set_.first_token = index;
        set_.tokens.push_back({t.bar, t.event, 0, box, at, 0});
        const std::string beside = words_beside(*t.written);
        if (!beside.empty()) {
            add(words(Part::ornament, beside, {at + core.shape_left, words_baseline(s_, index)},
                      z_.small_words(), Face::regular, Anchor::start, Ink::ink),
                index);
        }
        if (t.note() && s_.choices.spelling != text::Spelling::none)
            plain_spelling(*t.tab, s_.choices.spelling, z_.count())
                .place(set_.commands, at, r_.spelling, index);
    }

    /// The column where a token's time is over, or none when that is the end of its bar.
    [[nodiscard]] std::size_t end_column(std::size_t column, const Token& t) const {
        const Beats end = t.written->at + t.written->length;
        std::size_t j = column + 1;
        while (j < s_.columns.size() && s_.columns[j].bar == t.bar && s_.columns[j].at < end) ++j;
        return j;
    }

    void tail(std::size_t column, int index) {
        const Token& t = s_.token(index);
        const Core& core = s_.core(index);
        const double at = x(column);
        TailWay way;
        way.event = t.written;
        way.style = t.style;
        way.level = s_.tail_level(t, index);
        way.from = at + (t.note() ? core.tail_from : 0.0);
        way.clear = at + (t.note() ? core.right + z_.of(0.2) + z_.tail() / 2.0 : 0.0);
        if (!t.note()) {
            const bool goes_on = column > line_.begin && s_.token(index - 1).next == index;
            if (!goes_on) {
                const Stop& stop = s_.stops[column];
                const bool edge = stop.begins_bar || column == line_.begin;
                const double left = span_of(column).left;
                if (edge) way.from = way.clear = left + (stop.begins_bar ? stop.opening : 0.0) + z_.of(2.4);
            }
        }
        const std::size_t end = end_column(column, t);
        const bool to_hold = t.next >= 0 && !s_.token(t.next).note();
        const bool to_joined = t.next >= 0 && !to_hold;
        way.ends = t.next < 0;
        if (here(end) && !s_.stops[end - 1].ends_bar) {
            way.to = inner_end(end, to_hold, to_joined, t.next);
        } else if (here(end) && t.next >= 0) {
            way.to = inner_end(end, to_hold, to_joined, t.next);
        } else {
            way.to = bar_end(column, end, t.next >= 0);
        }
        if (to_joined) way.joins = s_.core(t.next).level_in;
        if (t.glides_to >= 0) {
            way.glides = true;
            way.glide_level = s_.core(t.glides_to).level_in;
            way.part_from = t.from;
            way.part_to = t.to;
        }
        way.clear = std::min(way.clear, way.to);
        for (Command& c : tail_ink(way, z_)) add(std::move(c), index);
    }

    [[nodiscard]] double inner_end(std::size_t end, bool to_hold, bool to_joined, int next) const {
        if (to_hold) return x(end);
        if (to_joined) return x(end) - s_.core(next).left;
        const int token = s_.columns[end].token;
        const double taken = token >= 0 ? s_.core(token).left : 0.0;
        return x(end) - std::max(taken, z_.radius()) - z_.gap() - z_.tail() / 2.0;
    }
    [[nodiscard]] double bar_end(std::size_t column, std::size_t end, bool goes_on) const {
        const BarSpan& span = span_of(column);
        const bool ends_bar = s_.stops[end - 1].ends_bar;
        if (goes_on) return span.right - (ends_bar ? s_.stops[end - 1].closing : 0.0) - z_.of(1.6);
        return span.right - (ends_bar ? s_.stops[end - 1].closing : 0.0) - z_.gap() - z_.tail() / 2.0;
    }

    // --- Rows under and over the grid
    void count_word(std::size_t i) {
        const Column& c = s_.columns[i];
        if (c.word < 0) return;
        const lick::CountWord& w = s_.counts[c.bar][static_cast<std::size_t>(c.word)];
        add(words(Part::count, w.word, {x(i), r_.count}, z_.count(),
                  w.starts_note ? Face::bold : Face::regular, Anchor::middle,
                  w.starts_note ? Ink::ink : Ink::soft),
            w.starts_note ? c.token : -1);
    }

    void chord(std::size_t i) {
        const Column& c = s_.columns[i];
        if (c.chord < 0) return;
        const std::string& symbol = bar_of(i).chords[static_cast<std::size_t>(c.chord)].symbol;
        int number = c.chord;
        for (std::size_t b = 0; b < c.bar; ++b) number += static_cast<int>(s_.lick.bars[b].chords.size());
        chord_symbol(symbol, z_.chord()).place(set_.commands, x(i) - z_.radius(), r_.chord, number);
    }

    void beat(std::size_t i) {
        const Column& c = s_.columns[i];
        set_.beats.push_back({c.bar, c.at, 0, x(i), 0});
        const bool last = i + 1 == line_.end;
        if (last && !s_.stops[i].ends_bar) {
            set_.beats.push_back({c.bar, s_.columns[i + 1].at, 0, right_, 0});
        } else if (s_.stops[i].ends_bar) {
            set_.beats.push_back({c.bar, bar_of(i).length, 0, last ? right_ : x(i + 1), 0});
        }
    }

    SetLine finish() {
        double top = has_ending_ ? r_.top : r_.top_without_endings;
        if (first_ && s_.choices.opening) {
            const double page =
                s_.choices.width > 0.0 ? s_.choices.width : 1e4;  // one line, as long as it needs
            const InkGroup marks = opening_marks(s_.lick.head, z_, page - s_.gutter);
            const double baseline = top - z_.of(4.0) - std::max(0.0, marks.box.bottom());
            marks.place(set_.commands, s_.gutter, baseline, -1);
            top = baseline + marks.box.y - z_.of(1.0);
        }
        for (Command& c : set_.commands) shift(c, 0.0, -top);
        for (TokenPlace& t : set_.tokens) t.box.y -= top;
        set_.first_bar = s_.columns[line_.begin].bar;
        set_.bar_count = s_.columns[line_.end - 1].bar - set_.first_bar + 1;
        set_.height = r_.bottom - top;
        set_.width = right_ + z_.of(1.0);
        set_.band_top = r_.band_top - top;
        set_.band_bottom = r_.band_bottom - top;
        set_.blow = s_.levels.blow_rest - top;
        set_.draw = s_.levels.draw_rest - top;
        return std::move(set_);
    }

    const Setting& s_;
    const Sizes& z_;
    Rows r_;
    double staff_middle_ = 0.0;
    const Line& line_;
    bool first_;
    std::vector<double> x_;
    double right_ = 0.0;
    std::vector<BarSpan> bars_;
    bool has_ending_ = false;
    SetLine set_;
};

}  // namespace

SetLine ink_line(const Setting& setting, const Line& line, bool first) {
    return LineInk{setting, line, first}.ink();
}

}  // namespace lw::draw
