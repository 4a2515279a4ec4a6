// SPDX-License-Identifier: Apache-2.0
//
// Keys and note names, in the trade's spelling: five flats and one sharp, because that is what is stamped on
// the harps.
#include <array>
#include <cmath>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr std::array<std::string_view, 12> names = {"C",  "Db", "D",  "Eb", "E",  "F",
                                                    "F#", "G",  "Ab", "A",  "Bb", "B"};

/// Semitones above C of the letters A to G.
constexpr std::array<int, 7> letters = {9, 11, 0, 2, 4, 5, 7};

constexpr int wrapped(int semitones) noexcept {
    return (semitones % 12 + 12) % 12;
}

}  // namespace

std::string_view name(Key key) noexcept {
    return names[static_cast<std::size_t>(wrapped(key.pitch_class))];
}

std::optional<Key> key_named(std::string_view text) noexcept {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    if (text.empty()) return std::nullopt;
    const char letter = text.front() >= 'a' && text.front() <= 'g'
                            ? static_cast<char>(text.front() - 'a' + 'A')
                            : text.front();
    if (letter < 'A' || letter > 'G') return std::nullopt;
    const int natural = letters[static_cast<std::size_t>(letter - 'A')];
    const std::string_view sign = text.substr(1);
    if (sign.empty()) return Key{natural};
    if (sign == "#" || sign == "\u266F") return Key{wrapped(natural + 1)};
    if (sign == "b" || sign == "\u266D") return Key{wrapped(natural - 1)};
    return std::nullopt;
}

std::string note_name(Pitch pitch) {
    const int midi = static_cast<int>(std::floor(pitch.midi + 0.5));
    const int octave = (midi - wrapped(midi)) / 12 - 1;  // MIDI 60 is C4
    return std::string{name(Key{wrapped(midi)})} + std::to_string(octave);
}

}  // namespace lw::harp
