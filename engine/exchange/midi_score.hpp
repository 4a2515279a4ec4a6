// SPDX-License-Identifier: Apache-2.0
//
// The events of a Standard MIDI File (specification 1.0, 1996) as plain data, and its bytes both ways. What a
// lick turns into is decided in midi.hpp; this file only knows the format. Writing never uses running status,
// so that every event can be read alone; reading understands it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace lw::exchange {

/// The largest number the format can hold in a variable-length quantity: 28 bits.
inline constexpr std::uint32_t largest_quantity = 0x0FFFFFFF;

struct MidiEvent {
    enum class Kind : std::uint8_t {
        note_off,  // a = key, b = velocity
        note_on,   // a = key, b = velocity
        control,   // a = controller, b = value
        program,   // a = program, 0..127
        bend,      // a = 0..16383, 8192 is the centre
        meta,      // a = type, `data` = its bytes; the end of the track is not listed, it is always there
        other,     // a = status byte, `data` = what follows it: kept, not understood
    };
    std::uint32_t tick = 0;  // from the start of the track
    Kind kind = Kind::note_off;
    int channel = 0;  // 0..15; channel 9 is percussion
    int a = 0;
    int b = 0;
    std::string data;
    friend bool operator==(const MidiEvent&, const MidiEvent&) = default;
};

/// Types of meta event that we write.
namespace meta {
inline constexpr int text = 0x01;
inline constexpr int track_name = 0x03;
inline constexpr int instrument = 0x04;
inline constexpr int lyric = 0x05;
inline constexpr int marker = 0x06;
inline constexpr int end_of_track = 0x2F;
inline constexpr int tempo = 0x51;
inline constexpr int meter = 0x58;
}  // namespace meta

struct MidiTrack {
    std::vector<MidiEvent> events;  // by tick
    std::uint32_t end = 0;          // tick of the end of the track, at or after the last event
    friend bool operator==(const MidiTrack&, const MidiTrack&) = default;
};

struct MidiScore {
    int format = 1;
    int division = 960;  // ticks to a quarter note
    std::vector<MidiTrack> tracks;
    friend bool operator==(const MidiScore&, const MidiScore&) = default;
};

/// One to four bytes, seven bits each, high first. Values above `largest_quantity` are cut to it.
[[nodiscard]] std::string variable_length(std::uint32_t value);
[[nodiscard]] std::string midi_bytes(const MidiScore& score);
/// The error says what is wrong and at which byte.
[[nodiscard]] tl::expected<MidiScore, std::string> read_midi(std::string_view bytes);

/// One line an event, for reading and comparing; `read_midi_text` gives the same score back.
///
///     midi format 1 division 960
///     track
///     0 name "Porch Light"
///     0 tempo 652174
///     960 on 0 72 96
///     1440 bend 0 7509
///     1920 off 0 72 64
///     1920 end
[[nodiscard]] std::string midi_text(const MidiScore& score);
[[nodiscard]] tl::expected<MidiScore, std::string> read_midi_text(std::string_view text);

}  // namespace lw::exchange
