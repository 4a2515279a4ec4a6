// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "engine/exchange/midi_head.hpp"

namespace lw::exchange {
namespace {

/// A middling touch: a plain file says pitch and time and nothing about strength.
constexpr int plain_velocity = 96;

}  // namespace

MidiScore plain_midi(const lick::Lick& lick, const MidiChoices& choices) {
    const lick::Unfolded played = lick::unfold(lick);
    const Beats line = first_line(lick, played);
    const Fraction beat = ticks_per_beat(lick.head.meter);
    const auto tick = [&](Beats at) {
        const double exact = ((at - line).value * beat).value();
        return static_cast<std::uint32_t>(std::clamp(std::llround(exact), 0LL, 0x0FFFFFFFLL));
    };

    MidiScore score;
    score.division = ticks_per_quarter;
    score.tracks.push_back(head_track(lick, lick.head.tempo));
    add_chords(score.tracks.front().events, played, tick);

    MidiTrack harp;
    harp.events.push_back(meta_event(0, meta::track_name, "harp, as written"));
    harp.events.push_back(channel_event(0, MidiEvent::Kind::program, 0, choices.program));
    for (const lick::PlayedNote& note : played.notes) {
        const std::uint32_t on = tick(note.start);
        const std::uint32_t off = std::max(tick(note.start + note.length), on + 1);
        const std::string tab = typed(note.tab, note.how);
        harp.events.push_back(meta_event(on, meta::lyric, tab));
        std::vector<int> keys;
        for (const int hole : note.tab.holes) {
            const auto pitch = harp::pitch(lick.head.harp, note.tab.note_of(hole));
            if (!pitch) continue;
            // A quarter step lies between two keys; the reed's own side is the one the ear expects.
            const double key = std::ceil(pitch->midi - 0.25);
            if (pitch->midi != key)
                harp.events.push_back(meta_event(on, meta::text, tab + " is a quarter step lower"));
            keys.push_back(static_cast<int>(key));
        }
        std::sort(keys.begin(), keys.end());
        keys.erase(std::unique(keys.begin(), keys.end()), keys.end());
        for (const int key : keys) {
            harp.events.push_back(channel_event(on, MidiEvent::Kind::note_on, 0, key, plain_velocity));
            harp.events.push_back(channel_event(off, MidiEvent::Kind::note_off, 0, key, 64));
        }
    }
    set_in_order(score.tracks.front().events);
    set_in_order(harp.events);
    harp.end = std::max(tick(played.end), harp.events.back().tick);
    score.tracks.front().end = harp.end;
    score.tracks.push_back(std::move(harp));
    return score;
}

}  // namespace lw::exchange
