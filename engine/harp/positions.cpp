// SPDX-License-Identifier: Apache-2.0
//
// Positions: the same harp in other keys, counted in fifths (player mailing list, July 1994).
#include <array>
#include <cmath>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr int fifth = 7;   // semitones
constexpr int fourth = 5;  // a fifth down and an octave up

constexpr int wrapped(int semitones) noexcept {
    return (semitones % 12 + 12) % 12;
}

}  // namespace

Key key_of_music(Key harp, int position) noexcept {
    return Key{wrapped(harp.pitch_class + fifth * (position - 1))};
}

Key key_of_harp(Key music, int position) noexcept {
    return Key{wrapped(music.pitch_class + fourth * (position - 1))};
}

int position(Key harp, Key music) noexcept {
    // Seven is its own inverse among the twelve: 7 * 7 = 49 = 4 * 12 + 1.
    return wrapped(fifth * (music.pitch_class - harp.pitch_class)) + 1;
}

std::string ordinal(int position) {
    const int last_two = position % 100;
    const int last = position % 10;
    const bool teen = last_two >= 11 && last_two <= 13;
    const char* const ending = teen ? "th" : last == 1 ? "st" : last == 2 ? "nd" : last == 3 ? "rd" : "th";
    return std::to_string(position) + ending;
}

std::string_view degree(Key tonic, Pitch pitch) noexcept {
    static constexpr std::array<std::string_view, 12> degrees = {"1",  "b2", "2",  "b3", "3",  "4",
                                                                 "b5", "5",  "b6", "6",  "b7", "7"};
    const int midi = static_cast<int>(std::floor(pitch.midi + 0.5));
    return degrees[static_cast<std::size_t>(wrapped(midi - tonic.pitch_class))];
}

}  // namespace lw::harp
