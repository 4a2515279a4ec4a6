// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/setting.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/draw/chord_symbol.hpp"
#include "engine/draw/font.hpp"
#include "engine/draw/staff_ink.hpp"
#include "engine/draw/tail.hpp"
#include "engine/lick/unfold.hpp"
#include "engine/text/spelling.hpp"

namespace lw::draw {
namespace {

using lick::Gesture;

void widen(Stop& stop, double left, double right) {
    stop.left = std::max(stop.left, left);
    stop.right = std::max(stop.right, right);
}

/// Room of a note or hold: its core, its tail's signs, the words beside it.
void token_room(const Setting& s, int index, Stop& stop) {
    const Token& t = s.token(index);
    const Core& core = s.core(index);
    const Sizes& z = s.sizes;
    const bool to_joined = t.next >= 0 && s.token(t.next).note();
    const bool glides = t.glides_to >= 0;
    const bool travels = to_joined && !glides;
    const double signs = tail_room(*t.written, travels, glides, z);
    widen(stop, core.left,
          t.note()
              ? std::max(core.right + z.of(1.7) + z.tail() / 2.0 + signs, core.tail_from + z.least_tail())
              : std::max(signs + z.tail() / 2.0, z.of(3.0)));
    if (has_gesture(*t.written, Gesture::brief)) widen(stop, 0.0, core.tail_from + z.of(6.4));
    const std::string beside = words_beside(*t.written);
    if (!beside.empty())
        widen(stop, 0.0, core.shape_left + width(Face::regular, beside, z.small_words()) + z.of(1.0));
}

/// Room of what stands on the staff at a column. Every piece of a note that is cut has a column.
void staff_room(const Setting& s, const Column& c, Stop& stop) {
    const std::vector<StaffNote>& notes = s.staff->rhythm.notes;
    const auto found =
        std::lower_bound(notes.begin(), notes.end(), c, [](const StaffNote& n, const Column& at) {
            return n.bar < at.bar || (n.bar == at.bar && n.at < at.at);
        });
    if (found == notes.end() || found->bar != c.bar || found->at != c.at) return;
    const StaffSet& set = s.staff->sets[static_cast<std::size_t>(found - notes.begin())];
    widen(stop, set.left, set.right);
}

void columns_of_bar(Setting& s, std::size_t b, int& next_token) {
    const lick::Bar& bar = s.lick.bars[b];
    std::set<Fraction> places;
    for (std::int64_t beat = 0; Fraction{beat} < bar.length.value; ++beat) places.insert(Fraction{beat});
    for (const lick::Event& e : bar.events) places.insert(e.at.value);
    for (const lick::ChordSpan& c : bar.chords) places.insert(c.at.value);
    if (s.choices.count)
        for (const lick::CountWord& w : s.counts[b]) places.insert(w.at.value);

    if (s.staff)
        for (const StaffNote& n : s.staff->rhythm.notes)
            if (n.bar == b) places.insert(n.at.value);

    const std::size_t first = s.columns.size();
    for (const Fraction& place : places) {
        if (place >= bar.length.value) continue;
        Column c;
        c.bar = b;
        c.at = Beats{place};
        for (std::size_t i = 0; i < bar.chords.size(); ++i)
            if (bar.chords[i].at == c.at && !bar.chords[i].symbol.empty()) c.chord = static_cast<int>(i);
        for (std::size_t i = 0; s.choices.count && i < s.counts[b].size(); ++i)
            if (s.counts[b][i].at == c.at) c.word = static_cast<int>(i);
        const bool more = next_token < static_cast<int>(s.tokens.size());
        if (more && s.token(next_token).bar == b && s.token(next_token).written->at == c.at)
            c.token = next_token++;
        s.columns.push_back(c);
    }
    for (std::size_t i = first; i < s.columns.size(); ++i) {
        const Column& c = s.columns[i];
        Stop stop;
        const bool last = i + 1 == s.columns.size();
        stop.bar = b;
        stop.time = ((last ? bar.length : s.columns[i + 1].at) - c.at).value.value();
        stop.begins_bar = i == first;
        stop.ends_bar = last;
        stop.on_beat = c.at.value.whole();
        stop.opening = stop.begins_bar && bar.opens_repeat ? s.sizes.of(repeat_room) : 0.0;
        if (last) {
            const bool final = b + 1 == s.lick.bars.size();
            stop.closing = s.sizes.of(bar.closes_repeat ? repeat_room
                                      : final           ? final_room
                                                        : 0.0) +
                           s.sizes.of(bar.breath_at_end ? breath_room : 0.0);
        }
        if (c.token >= 0) {
            token_room(s, c.token, stop);
            const Token& t = s.token(c.token);
            if (t.note() && s.choices.spelling != text::Spelling::none) {
                const InkGroup spelled = plain_spelling(*t.tab, s.choices.spelling, s.sizes.count());
                widen(stop, -spelled.box.x, spelled.box.right());
            }
        } else {
            // A tail that ends here ends where the number of a note would begin.
            stop.left = s.sizes.radius();
            stop.right = s.sizes.of(4.0);
        }
        if (s.staff) staff_room(s, c, stop);
        if (c.word >= 0) {
            const lick::CountWord& w = s.counts[b][static_cast<std::size_t>(c.word)];
            const double half = width(Face::bold, w.word, s.sizes.count()) / 2.0;
            widen(stop, half, half);
        }
        s.stops.push_back(stop);
    }
}

/// A chord symbol is often wider than what it stands over: its beat makes room before the next one.
void chord_room(Setting& s) {
    for (std::size_t i = 0; i < s.columns.size(); ++i) {
        const Column& c = s.columns[i];
        if (c.chord < 0) continue;
        const std::string& symbol = s.lick.bars[c.bar].chords[static_cast<std::size_t>(c.chord)].symbol;
        double need = chord_symbol(symbol, s.sizes.chord()).box.right() - s.sizes.radius() + s.sizes.of(5.0);
        std::size_t last = i;
        while (!s.stops[last].ends_bar && !s.stops[last + 1].on_beat && s.columns[last + 1].chord < 0) {
            need -= s.stops[last].right + s.sizes.gap() + s.stops[last + 1].left;
            ++last;
        }
        // The next symbol begins a radius left of its column.
        if (!s.stops[last].ends_bar) need += s.sizes.radius() - s.sizes.gap() - s.stops[last + 1].left;
        if (s.stops[last].ends_bar) need += s.sizes.of(2.0);
        if (need > s.stops[last].right) s.stops[last].right = need;
    }
}

/// How far a token's tail rises and sinks.
struct Reach {
    double highest = 0.0, lowest = 0.0;
};
Reach tail_reach(const Setting& s, int index) {
    const Token& t = s.token(index);
    const Sizes& z = s.sizes;
    const double level = s.tail_level(t, index);
    Reach r{level - z.of(4.4), level + z.of(4.4)};  // of a shake's zigzag, stroke included
    const auto also = [&](double y) {
        r.highest = std::min(r.highest, y - z.of(4.4));
        r.lowest = std::max(r.lowest, y + z.of(4.4));
    };
    if (t.glides_to >= 0) also(s.core(t.glides_to).level_in);
    if (t.next >= 0 && s.token(t.next).note()) also(s.core(t.next).level_in);
    if (has_gesture(*t.written, Gesture::fall) || has_gesture(*t.written, Gesture::dip))
        r.lowest = std::max(r.lowest, level + z.of(10.6));
    return r;
}

Rows rows_for(const Setting& s) {
    const Sizes& z = s.sizes;
    Rows r;
    double top = s.levels.blow_rest - z.radius();
    double bottom = s.levels.draw_rest + z.radius();
    for (std::size_t i = 0; i < s.tokens.size(); ++i) {
        const Token& t = s.tokens[i];
        const int index = static_cast<int>(i);
        if (t.note()) {
            top = std::min(top, s.cores[i].ink.box.y);
            bottom = std::max(bottom, s.cores[i].ink.box.bottom());
        }
        bottom = std::max(bottom, tail_reach(s, index).lowest);
        if (words_beside(*t.written).empty()) continue;
        const double baseline = words_baseline(s, index);
        top = std::min(top, baseline - 0.78 * z.small_words());
        bottom = std::max(bottom, baseline + 0.24 * z.small_words());
    }
    r.band_top = top - z.of(5.0);
    r.band_bottom = bottom + z.of(5.0);

    double up = r.band_top;
    const auto any = [&](auto test) { return std::any_of(s.lick.bars.begin(), s.lick.bars.end(), test); };
    if (any([](const lick::Bar& b) { return !b.chords.empty(); })) {
        r.chord = up - z.of(1.5) - 0.26 * z.chord();
        up = r.chord - 0.86 * z.chord();
    }
    r.top_without_endings = up - z.of(1.0);
    if (any([](const lick::Bar& b) { return b.ending != 0; })) {
        r.ending_bottom = up - z.of(2.0);
        r.ending_top = r.ending_bottom - z.of(11.0);
        up = r.ending_top - z.of(1.0);
    }
    r.top = up - z.of(1.0);

    double down = r.band_bottom;
    if (s.choices.count) {
        r.count = down + z.of(3.0) + 0.74 * z.count();
        down = r.count + 0.24 * z.count();
    }
    if (s.choices.spelling != text::Spelling::none) {
        r.spelling = down + z.of(3.2) + 0.76 * z.count();
        down = r.spelling + 0.26 * z.count();
    }
    r.bottom = down + z.of(1.0);
    return r;
}

}  // namespace

double words_baseline(const Setting& s, int index) {
    const Token& t = s.token(index);
    const Reach tail = tail_reach(s, index);
    const bool note = t.note();
    if (t.tab->breath == harp::Breath::blow) {
        const double top = note ? std::min(tail.highest, s.core(index).ink.box.y) : tail.highest;
        return top - s.sizes.of(1.0) - 0.24 * s.sizes.small_words();
    }
    const double bottom = note ? std::max(tail.lowest, s.core(index).ink.box.bottom()) : tail.lowest;
    return bottom + s.sizes.of(1.4) + 0.76 * s.sizes.small_words();
}

InkGroup plain_spelling(const lick::Tab& tab, text::Spelling spelling, double size) {
    InkGroup group;
    std::string text = text::spelled(tab, spelling);
    const bool arrow = spelling == text::Spelling::arrows;
    if (arrow && text.size() > 3) text.erase(0, 3);  // the arrow, U+2191 or U+2193
    const double arrow_room = arrow ? size * 0.62 : 0.0;
    const double left = -(arrow_room + width(Face::regular, text, size)) / 2.0;
    if (arrow) {
        const double x = left + size * 0.24;
        const double high = -cap_height * size;
        const double head = size * 0.2;
        const bool blow = tab.breath == harp::Breath::blow;
        const double tip = blow ? high : 0.0;
        const double back = blow ? high + head : -head;
        Path path;
        path.move(x, blow ? 0.0 : high).line(x, tip);
        path.move(x - head, back).line(x, tip).line(x + head, back);
        group.add(stroked(Part::plain_spelling, std::move(path), Ink::ink, size * 0.1));
    }
    group.add(words(Part::plain_spelling, text, {left + arrow_room, 0.0}, size));
    return group;
}

Setting measure(const lick::Lick& lick, const LineChoices& choices) {
    const Sizes sizes{std::max(choices.scale, 0.1)};
    Setting s{lick, choices, sizes, levels_for(lick, sizes), {}, {}, {}, {}, {}, {}, {}, 0.0, {}};
    s.tokens = written_tokens(lick);
    for (const Token& t : s.tokens) s.cores.push_back(t.note() ? core_of(t, s.levels) : Core{});
    if (choices.staff) s.staff = staff_score(lick, s.tokens, sizes);
    int next_token = 0;
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        s.counts.push_back(lick::count(lick, b));
        columns_of_bar(s, b, next_token);
    }
    chord_room(s);
    s.rows = rows_for(s);
    s.gutter =
        choices.labels ? width(Face::regular, "draw", sizes.small_words()) + sizes.of(8.0) : sizes.of(3.0);
    if (s.staff) s.gutter = std::max(s.gutter, staff_opening(lick.head.meter, s.staff->octave, sizes));
    s.room.sizes = sizes;
    s.room.beat = sizes.beat() * (lick.head.meter.compound() ? 1.5 : 1.0);
    s.room.width = choices.width <= 0.0 ? 0.0 : std::max(choices.width, 120.0) - s.gutter - sizes.of(1.0);
    return s;
}

std::vector<SetLine> set_lines(const lick::Lick& lick, const LineChoices& choices) {
    const Setting setting = measure(lick, choices);
    const lick::Unfolded played = unfold(lick);
    std::vector<SetLine> lines;
    for (const Line& line : break_lines(setting.stops, setting.room)) {
        lines.push_back(ink_line(setting, line, lines.empty()));
        SetLine& set = lines.back();
        const Column& first = setting.columns[line.begin];
        const Column& last = setting.columns[line.end - 1];
        const Beats last_end = last.at + Beats{setting.stops[line.end - 1].ends_bar
                                                   ? (lick.bars[last.bar].length - last.at).value
                                                   : (setting.columns[line.end].at - last.at).value};
        const auto first_pass = [&](std::size_t bar) {
            const auto found = std::find_if(played.bars.begin(), played.bars.end(),
                                            [&](const lick::PlayedBar& p) { return p.bar == bar; });
            return found == played.bars.end() ? Beats{} : found->start;
        };
        set.start = first_pass(first.bar) + first.at;
        set.end = first_pass(last.bar) + last_end;
    }
    return lines;
}

}  // namespace lw::draw
