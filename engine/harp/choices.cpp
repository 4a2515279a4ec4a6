// SPDX-License-Identifier: Apache-2.0
//
// What a harp offers: every note, every way to a pitch, every split. The world is small (ten holes, two
// breaths, at most a few steps each), so all of it is simply walked.
#include <algorithm>
#include <cmath>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

/// Two pitches nearer than this are one note to a player: half of the smallest written step.
constexpr Semitones same_note{0.25};

/// All notes by hole, blow before draw, shallow first; `step` counts quarter steps from bend to bend.
std::vector<HoleNote> walk(const Harp& harp, int step) {
    std::vector<HoleNote> notes;
    for (int hole = 1; hole <= hole_count; ++hole) {
        for (const Breath breath : {Breath::blow, Breath::draw}) {
            HoleNote note{hole, breath, 0, false};
            for (; pitch(harp, note); note.bend_quarter_steps += step) notes.push_back(note);
            const std::optional<HoleNote> over = overbend(harp, hole);
            if (over && over->breath == breath) notes.push_back(*over);
        }
    }
    return notes;
}

int effort(const HoleNote& note) noexcept {
    return note.overbend ? 2 : note.bend_quarter_steps > 0 ? 1 : 0;
}

}  // namespace

std::string to_text(const HoleNote& note) {
    std::string text = std::to_string(note.hole);
    text += note.breath == Breath::blow ? 'b' : 'd';
    text.append(static_cast<std::size_t>(std::max(note.bend_quarter_steps, 0) / 2), '\'');
    if (note.bend_quarter_steps % 2 == 1) text += 'q';
    if (note.overbend) text += 'o';
    return text;
}

std::vector<HoleNote> every_note(const Harp& harp) {
    return walk(harp, 2);
}

std::vector<HoleNote> ways_to_play(const Harp& harp, Pitch wanted) {
    std::vector<HoleNote> ways;
    for (const HoleNote& note : walk(harp, 1)) {
        const Semitones off = *pitch(harp, note) - wanted;
        if (off <= same_note && off >= -same_note) ways.push_back(note);
    }
    std::stable_sort(ways.begin(), ways.end(),
                     [](const HoleNote& a, const HoleNote& b) { return effort(a) < effort(b); });
    return ways;
}

std::vector<Split> splits(const Harp& harp) {
    std::vector<Split> all;
    for (const Breath breath : {Breath::blow, Breath::draw}) {
        for (int low = 1; low <= hole_count; ++low) {
            for (const int span : {3, 4}) {
                const int high = low + span;
                if (high > hole_count) continue;
                all.push_back(
                    {low, high, breath, made_for(harp, {high, breath}) - made_for(harp, {low, breath})});
            }
        }
    }
    return all;
}

}  // namespace lw::harp
