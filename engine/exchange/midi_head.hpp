// SPDX-License-Identifier: Apache-2.0
//
// What both kinds of MIDI file share: the first track, small events, the order of events at one tick.
#pragma once

#include "engine/exchange/midi.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::exchange {

[[nodiscard]] MidiEvent meta_event(std::uint32_t tick, int type, std::string data);
[[nodiscard]] MidiEvent channel_event(std::uint32_t tick, MidiEvent::Kind kind, int channel, int a,
                                      int b = 0);
/// By tick; where ticks are equal: words, ends of notes, settings, starts of notes.
void set_in_order(std::vector<MidiEvent>& events);
/// Ticks of one felt beat.
[[nodiscard]] Fraction ticks_per_beat(const lick::Meter& meter) noexcept;
/// The bar line the file begins on, in beats of the phrase: 0, or a full bar before it when there is a
/// pickup.
[[nodiscard]] Beats first_line(const lick::Lick& lick, const lick::Unfolded& played) noexcept;
/// Title, harp, tempo and meter at tick 0.
[[nodiscard]] MidiTrack head_track(const lick::Lick& lick, BeatsPerMinute tempo);
/// A marker where a chord begins, `N.C.` where one ends and none follows. `tick` maps beats of the phrase.
template <class TickOf>
void add_chords(std::vector<MidiEvent>& events, const lick::Unfolded& played, TickOf tick) {
    bool standing = false;
    for (const lick::PlayedChord& chord : played.chords) {
        if (!chord.symbol.empty() || standing)
            events.push_back(
                meta_event(tick(chord.start), meta::marker, chord.symbol.empty() ? "N.C." : chord.symbol));
        standing = !chord.symbol.empty();
    }
}
/// The tab of a note as it is typed in a lick, `>` and `>>` included: `>4d'`.
[[nodiscard]] std::string typed(const lick::Tab& tab, lick::Start how);

}  // namespace lw::exchange
