// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/unfold.hpp"

#include <algorithm>

namespace lw::lick {
namespace {

/// The written bars in the order they are played.
struct Form {
    std::vector<std::size_t> bar;
    std::vector<int> pass;
};

/// Walks repeats and endings. `|:` opens, `:|` closes and goes back once for each ending that follows, or
/// once.
Form walk(const std::vector<Bar>& bars) {
    Form form;
    const auto play = [&](std::size_t bar, int pass) {
        form.bar.push_back(bar);
        form.pass.push_back(pass);
    };
    const std::size_t count = bars.size();
    std::size_t first_full = 0;
    while (first_full < count && bars[first_full].pickup) ++first_full;

    std::size_t section = first_full;  // where `:|` goes back to
    std::size_t bar = 0;
    while (bar < count) {
        if (bars[bar].opens_repeat) section = bar;
        // The end of this repeated part, if one begins or runs here: the first `:|` from here on, without a
        // new `|:`.
        std::size_t close = bar;
        bool found = false;
        for (std::size_t i = bar; i < count; ++i) {
            if (i > bar && bars[i].opens_repeat) break;
            if (bars[i].closes_repeat) {
                close = i;
                found = true;
                break;
            }
        }
        if (!found) {
            play(bar, 1);
            ++bar;
            continue;
        }
        // Endings: the first starts somewhere in [section, close], the next ones follow the `:|`.
        std::size_t first_ending = close + 1;
        for (std::size_t i = section; i <= close; ++i) {
            if (bars[i].ending != 0) {
                first_ending = i;
                break;
            }
        }
        std::vector<std::pair<std::size_t, std::size_t>> endings;  // [begin, end)
        std::size_t after = close + 1;
        if (first_ending <= close) {
            endings.emplace_back(first_ending, close + 1);
            while (after < count && bars[after].ending > 1 && !bars[after].opens_repeat) {
                std::size_t end = after + 1;
                bool closes = bars[after].closes_repeat;
                while (!closes && end < count && bars[end].ending == 0 && !bars[end].opens_repeat) {
                    // An ending that is not the last runs to its own `:|`; the last one is played on from
                    // here.
                    closes = bars[end].closes_repeat;
                    ++end;
                }
                endings.emplace_back(after, end);
                after = end;
                if (!closes) break;
            }
        }
        for (; bar < std::min(section, count); ++bar) play(bar, 1);  // a pickup before the first full bar
        const std::size_t body_end = std::min(first_ending, close + 1);
        const int passes = endings.empty() ? 2 : static_cast<int>(std::max<std::size_t>(endings.size(), 2));
        for (int pass = 1; pass <= passes; ++pass) {
            for (std::size_t i = pass == 1 ? std::max(bar, section) : section; i < body_end; ++i)
                play(i, pass);
            if (endings.empty()) continue;
            if (static_cast<std::size_t>(pass) > endings.size())
                continue;  // one ending only: the next pass skips it
            const auto [begin, end] = endings[static_cast<std::size_t>(pass) - 1];
            for (std::size_t i = begin; i < end; ++i) play(i, pass);
        }
        bar = after;
        section = after;
    }
    return form;
}

}  // namespace

Unfolded unfold(const Lick& lick) {
    Unfolded played;
    const Form form = walk(lick.bars);
    Beats now{};
    if (!lick.bars.empty() && lick.bars.front().pickup) now = -lick.bars.front().length;
    played.start = now;

    bool sounding = false;  // whether a hold here would lengthen a note
    for (std::size_t i = 0; i < form.bar.size(); ++i) {
        const std::size_t index = form.bar[i];
        const Bar& bar = lick.bars[index];
        played.bars.push_back({index, now, bar.length, form.pass[i]});
        for (std::size_t e = 0; e < bar.events.size(); ++e) {
            const Event& event = bar.events[e];
            const Beats at = now + event.at;
            if (event.breath_before) played.breaths.push_back(at);
            if (event.kind == Event::Kind::rest) {
                sounding = false;
                continue;
            }
            if (event.kind == Event::Kind::hold) {
                if (!sounding || played.notes.empty()) continue;
                PlayedNote& note = played.notes.back();
                note.length += event.length;
                note.stretches.push_back({index, e, at, event.length});
                for (const Ornament& o : event.ornaments) note.ornaments.push_back({o, at});
                continue;
            }
            PlayedNote note;
            note.start = at;
            note.length = event.length;
            note.tab = event.tab;
            note.how = event.start;
            note.breath_before = event.breath_before;
            for (const Ornament& o : event.ornaments) note.ornaments.push_back({o, at});
            note.stretches.push_back({index, e, at, event.length});
            played.notes.push_back(std::move(note));
            sounding = true;
        }
        for (const ChordSpan& chord : bar.chords) {
            const Beats at = now + chord.at;
            if (!played.chords.empty() && played.chords.back().symbol == chord.symbol &&
                played.chords.back().start + played.chords.back().length == at) {
                played.chords.back().length += chord.length;
            } else {
                played.chords.push_back({at, chord.length, chord.symbol});
            }
        }
        now += bar.length;
        if (bar.breath_at_end) played.breaths.push_back(now);
    }
    played.end = now;
    return played;
}

Beats swung(const Lick& lick, const Unfolded& played, Beats straight) {
    if (lick.head.feel.straight() || lick.head.meter.compound()) return straight;
    const auto after = std::upper_bound(played.bars.begin(), played.bars.end(), straight,
                                        [](Beats b, const PlayedBar& bar) { return b < bar.start; });
    if (after == played.bars.begin()) return straight;
    const PlayedBar& bar = *std::prev(after);
    const Beats inside = straight - bar.start;
    const Beats slot{Fraction{inside.value.floor()}};
    const Fraction part = (inside - slot).value;
    if (part == Fraction{0}) return straight;
    const std::vector<Group>& groups = lick.bars[bar.bar].groups;
    const bool swings = std::any_of(groups.begin(), groups.end(), [&](const Group& g) {
        return g.depth == 0 && g.slots == 1 && g.parts == 2 && g.at == slot;
    });
    if (!swings) return straight;
    const Fraction turn = lick.head.feel.ratio / (lick.head.feel.ratio + Fraction{1});
    const Fraction half{1, 2};
    const Fraction moved =
        part <= half ? part * turn / half : turn + (part - half) * (Fraction{1} - turn) / half;
    return bar.start + slot + Beats{moved};
}

}  // namespace lw::lick
