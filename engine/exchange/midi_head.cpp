// SPDX-License-Identifier: Apache-2.0
#include "engine/exchange/midi_head.hpp"

#include <algorithm>
#include <cmath>

namespace lw::exchange {
namespace {

int rank(const MidiEvent& e) noexcept {
    switch (e.kind) {
        case MidiEvent::Kind::meta:
            return 0;
        case MidiEvent::Kind::note_off:
            return 1;
        case MidiEvent::Kind::note_on:
            return 3;
        default:
            return 2;
    }
}

/// The power of two that a meter's lower number is.
int power_of_two(int bottom) noexcept {
    int power = 0;
    while (bottom > 1) {
        bottom /= 2;
        ++power;
    }
    return power;
}

std::string number(std::uint32_t value, int width) {
    std::string bytes;
    for (int shift = 8 * (width - 1); shift >= 0; shift -= 8)
        bytes += static_cast<char>(static_cast<unsigned char>(value >> shift & 0xFF));
    return bytes;
}

}  // namespace

MidiEvent meta_event(std::uint32_t tick, int type, std::string data) {
    MidiEvent e;
    e.tick = tick;
    e.kind = MidiEvent::Kind::meta;
    e.a = type;
    e.data = std::move(data);
    return e;
}

MidiEvent channel_event(std::uint32_t tick, MidiEvent::Kind kind, int channel, int a, int b) {
    MidiEvent e;
    e.tick = tick;
    e.kind = kind;
    e.channel = channel;
    e.a = a;
    e.b = b;
    return e;
}

void set_in_order(std::vector<MidiEvent>& events) {
    std::stable_sort(events.begin(), events.end(), [](const MidiEvent& a, const MidiEvent& b) {
        return a.tick != b.tick ? a.tick < b.tick : rank(a) < rank(b);
    });
}

Fraction ticks_per_beat(const lick::Meter& meter) noexcept {
    return Fraction{ticks_per_quarter} * meter.quarters_per_beat();
}

Beats first_line(const lick::Lick& lick, const lick::Unfolded& played) noexcept {
    return played.start < Beats{} ? Beats{Fraction{-lick.head.meter.beats()}} : Beats{};
}

MidiTrack head_track(const lick::Lick& lick, BeatsPerMinute tempo) {
    const lick::Head& head = lick.head;
    MidiTrack track;
    std::vector<MidiEvent>& events = track.events;
    if (!head.title.empty()) events.push_back(meta_event(0, meta::track_name, head.title));
    std::string words = "harp in " + harp::name(head.harp);
    if (const auto key = lick::key_of_music(head); head.position && key)
        words +=
            ", " + harp::ordinal(*head.position) + " position, music in " + std::string{harp::name(*key)};
    events.push_back(meta_event(0, meta::text, words));
    if (!head.credit.empty()) events.push_back(meta_event(0, meta::text, head.credit));

    const double quarters_a_minute = tempo.value * head.meter.quarters_per_beat().value();
    const auto microseconds = static_cast<std::uint32_t>(
        std::clamp(std::llround(60'000'000.0 / quarters_a_minute), 1LL, 0xFFFFFFLL));
    events.push_back(meta_event(0, meta::tempo, number(microseconds, 3)));
    // Numbers of the meter event: upper, power of two below, MIDI clocks (24 to a quarter) to a felt beat,
    // and 8 thirty-seconds to a quarter.
    const auto clocks = static_cast<std::uint32_t>(24.0 * head.meter.quarters_per_beat().value());
    events.push_back(meta_event(0, meta::meter,
                                number(static_cast<std::uint32_t>(head.meter.top), 1) +
                                    number(static_cast<std::uint32_t>(power_of_two(head.meter.bottom)), 1) +
                                    number(clocks, 1) + number(8, 1)));
    return track;
}

std::string typed(const lick::Tab& tab, lick::Start how) {
    std::string text = how == lick::Start::glide ? ">>" : how == lick::Start::joined ? ">" : "";
    if (tab.overbend && !tab.holes.empty()) return text + harp::to_text(tab.note_of(tab.holes.front()));
    for (std::size_t i = 0; i < tab.holes.size(); ++i) {
        if (i > 0) text += '+';
        text += std::to_string(tab.holes[i]);
        const bool last = i + 1 == tab.holes.size();
        if (last) text += tab.breath == lick::Breath::blow ? 'b' : 'd';
        if (tab.holes[i] != tab.bent_hole) continue;
        text.append(static_cast<std::size_t>(tab.bend_quarter_steps / 2), '\'');
        if (tab.bend_quarter_steps % 2 != 0) text += 'q';
    }
    return text;
}

}  // namespace lw::exchange
