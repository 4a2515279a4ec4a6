// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/other_harp.hpp"

#include <array>
#include <cstddef>
#include <cstdlib>

namespace lw::lick {
namespace {

/// Letters along the line of fifths, on which a change of key is one step for all names: F C G D A E B, then F# C# ...
constexpr std::string_view letters = "FCGDAEB";
constexpr int first = -1;  // F, with C at 0

/// Letters that a root at the front takes: 1, 2 with its sharp or flat, 0 when there is none.
std::size_t root_size(std::string_view text) {
    if (text.empty() || letters.find(text.front()) == std::string_view::npos) return 0;
    return text.size() > 1 && (text[1] == '#' || text[1] == 'b') ? 2 : 1;
}

int fifths(std::string_view root) {
    const int plain = static_cast<int>(letters.find(root.front())) + first;
    return root.size() < 2 ? plain : root[1] == '#' ? plain + 7 : plain - 7;
}

std::string named(int at) {
    // B# and Fb are the last that one sign can write; beyond them the other name of the same pitch is read more easily.
    constexpr int sharpest = 12, flattest = -8, octave_of_fifths = 12;
    if (at > sharpest) at -= octave_of_fifths;
    if (at < flattest) at += octave_of_fifths;
    const int steps = at - first;
    const int signs = steps >= 0 ? steps / 7 : -((6 - steps) / 7);
    std::string name(1, letters[static_cast<std::size_t>(steps - 7 * signs)]);
    if (signs != 0) name += signs > 0 ? '#' : 'b';
    return name;
}

}  // namespace

std::string moved_chord(std::string_view symbol, harp::Key from, harp::Key to) {
    const int by = fifths(harp::name(to)) - fifths(harp::name(from));
    std::string moved;
    // The root at the front, and the bass after a stroke; a number there (6/9) is no root.
    for (std::size_t at = 0; at < symbol.size();) {
        const std::size_t size = at == 0 || symbol[at - 1] == '/' ? root_size(symbol.substr(at)) : 0;
        moved += size > 0 ? named(fifths(symbol.substr(at, size)) + by) : std::string(1, symbol[at]);
        at += size > 0 ? size : 1;
    }
    return moved;
}

Lick on_harp(Lick lick, const harp::Harp& other) {
    const harp::Key from = key_of_music(lick.head).value_or(lick.head.harp.key);
    lick.head.harp.key = other.key;
    lick.head.harp.octave = other.octave;
    const harp::Key to = key_of_music(lick.head).value_or(other.key);
    if (from != to)
        for (Bar& bar : lick.bars)
            for (ChordSpan& chord : bar.chords) chord.symbol = moved_chord(chord.symbol, from, to);
    return lick;
}

}  // namespace lw::lick
