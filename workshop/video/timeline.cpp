// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/timeline.hpp"

#include <algorithm>
#include <cmath>

namespace lw::video {
namespace {

/// The straight beat of a time; exact at the performance's own points and even between.
Beats beat_at(const sound::Performance& performance, Seconds at) {
    const auto& beats = performance.beats;
    if (beats.empty()) return Beats{};
    const auto after = std::upper_bound(beats.begin(), beats.end(), at,
                                        [](Seconds t, const sound::BeatTime& b) { return t < b.at; });
    if (after == beats.begin()) return after->beat;
    const sound::BeatTime& a = *std::prev(after);
    if (after == beats.end() || after->pass != a.pass || after->at <= a.at) return a.beat;
    // Fine enough that a mark never jumps by a whole pixel: a 4K line is four beats of a thousand pixels.
    constexpr std::int64_t parts = 1 << 16;
    const double share = (at - a.at) / (after->at - a.at);
    return a.beat +
           (after->beat - a.beat) * Fraction{std::llround(share * static_cast<double>(parts)), parts};
}

draw::Spot spot_of(const lick::Unfolded& played, const draw::Picture& picture, Beats beat) {
    if (played.bars.empty()) return {};
    beat = std::clamp(beat, played.start, played.end);
    auto after = std::upper_bound(played.bars.begin(), played.bars.end(), beat,
                                  [](Beats b, const lick::PlayedBar& bar) { return b < bar.start; });
    if (after != played.bars.begin()) --after;
    return draw::spot_at(picture, after->bar, beat - after->start);
}

std::vector<CountRow> rows_of(const sound::Performance& performance) {
    std::vector<CountRow> rows;
    bool open = false;
    for (const sound::Click& click : performance.clicks) {
        if (!click.count_in) {
            open = false;
            continue;
        }
        // A new pass begins with a note between: without clicks under the phrase, only the notes tell.
        const bool note_between =
            open && std::any_of(performance.notes.begin(), performance.notes.end(), [&](const auto& n) {
                return n.onset > rows.back().clicks.back().at && n.onset <= click.at;
            });
        if (!open || note_between) rows.push_back({{}, click.at, performance.length});
        rows.back().clicks.push_back(click);
        open = true;
    }
    for (CountRow& row : rows) {
        for (const sound::SoundedNote& note : performance.notes)
            if (note.onset > row.clicks.back().at) row.until = std::min(row.until, note.onset);
    }
    if (!rows.empty()) rows.front().from = Seconds{0.0};
    return rows;
}

}  // namespace

Timeline::Timeline(const lick::Lick& lick, const sound::Performance& performance,
                   const draw::Picture& picture, std::size_t slots, int frames_per_second)
    : rows(rows_of(performance)) {
    const lick::Unfolded played = lick::unfold(lick);
    const double rate = frames_per_second;
    const auto frames = std::max(1, static_cast<int>(std::ceil(performance.length.value * rate - 1e-6)));

    // The lines as they come by, and which frame each begins at.
    std::vector<int> lines;
    for (int f = 0; f < frames; ++f) {
        const Seconds at{(f + 0.5) / rate};
        Moment m;
        m.mark = spot_of(played, picture, beat_at(performance, at));
        if (lines.empty() || lines.back() != static_cast<int>(m.mark.system))
            lines.push_back(static_cast<int>(m.mark.system));
        m.turn = lines.size() - 1;
        const auto next = std::upper_bound(performance.notes.begin(), performance.notes.end(), at,
                                           [](Seconds t, const auto& n) { return t < n.onset; });
        if (next != performance.notes.begin() && at < std::prev(next)->offset)
            m.note = static_cast<std::size_t>(std::prev(next) - performance.notes.begin());
        for (std::size_t r = 0; r < rows.size(); ++r) {
            if (at < rows[r].from || at >= rows[r].until) continue;
            m.row = static_cast<int>(r);
            for (std::size_t c = 0; c < rows[r].clicks.size() && rows[r].clicks[c].at <= at; ++c)
                m.counted = static_cast<int>(c);
        }
        moments.push_back(m);
    }

    const std::size_t systems = picture.systems.size();
    for (std::size_t t = 0; t < lines.size(); ++t) {
        std::vector<SlotLine> in_slot(slots);
        if (systems <= slots) {
            for (std::size_t s = 0; s < systems; ++s) in_slot[s].line = static_cast<int>(s);
        } else {
            // Line t stands in slot t modulo slots; the others hold what comes next, or at the end what was.
            for (std::size_t j = 0; j < slots; ++j) {
                const std::size_t next = t + j;
                if (next < lines.size())
                    in_slot[next % slots] = {lines[next], j > 0 && next % slots < t % slots};
                else if (next >= slots)
                    in_slot[next % slots] = {lines[next - slots], false};
            }
        }
        turns.push_back(std::move(in_slot));
    }

    for (const sound::SoundedNote& note : performance.notes) {
        std::vector<std::size_t> lit;
        for (const lick::Stretch& stretch : played.notes[note.note].stretches)
            for (std::size_t i = 0; i < picture.tokens.size(); ++i)
                if (picture.tokens[i].bar == stretch.bar && picture.tokens[i].event == stretch.event)
                    lit.push_back(i);
        tokens.push_back(std::move(lit));
    }
}

}  // namespace lw::video
