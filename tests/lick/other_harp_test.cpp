// SPDX-License-Identifier: GPL-3.0-or-later
//
// The same tab on another harp. Moved chords are held against the keys' own major scales (the circle of fifths, any
// handbook of music theory; from memory) and against arithmetic on pitch classes.
#include "engine/lick/other_harp.hpp"

#include <gtest/gtest.h>

#include <array>
#include <string>

#include "tests/lick/typed.hpp"

namespace lw::lick {
namespace {

harp::Key key(const char* name) {
    return *harp::key_named(name);
}

int pitch_class(std::string_view root) {
    constexpr std::array<int, 7> of_letter = {9, 11, 0, 2, 4, 5, 7};  // A to G
    int pc = of_letter[static_cast<std::size_t>(root.front() - 'A')];
    for (const char sign : root.substr(1)) pc += sign == '#' ? 1 : -1;
    return (pc + 12) % 12;
}

TEST(OtherHarp, ChordsMoveWithTheirKey) {
    EXPECT_EQ(moved_chord("G7", key("G"), key("D")), "D7");
    EXPECT_EQ(moved_chord("C7", key("G"), key("Db")), "Gb7");
    EXPECT_EQ(moved_chord("D7", key("G"), key("Ab")), "Eb7");
    EXPECT_EQ(moved_chord("D7/F#", key("G"), key("Eb")), "Bb7/D");
    EXPECT_EQ(moved_chord("F#m7b5", key("G"), key("A")), "G#m7b5");
    EXPECT_EQ(moved_chord("Bb", key("C"), key("F#")), "E");
    EXPECT_EQ(moved_chord("C6/9", key("C"), key("F")), "F6/9");
    EXPECT_EQ(moved_chord("Cdim", key("C"), key("Bb")), "Bbdim");
    EXPECT_EQ(moved_chord("Dadd9", key("C"), key("E")), "F#add9");
    EXPECT_EQ(moved_chord("", key("C"), key("E")), "");
}

TEST(OtherHarp, EveryRootMovesByTheSameStepAndComesBack) {
    constexpr std::array<const char*, 12> keys = {"C",  "Db", "D",  "Eb", "E",  "F",
                                                  "F#", "G",  "Ab", "A",  "Bb", "B"};
    constexpr std::array<const char*, 17> roots = {"C",  "C#", "Db", "D",  "D#", "Eb", "E",  "F", "F#",
                                                   "Gb", "G",  "G#", "Ab", "A",  "A#", "Bb", "B"};
    for (const char* from : keys)
        for (const char* to : keys)
            for (const char* root : roots) {
                const std::string moved = moved_chord(root, key(from), key(to));
                const int step = pitch_class(to) - pitch_class(from);
                EXPECT_EQ(pitch_class(moved), (pitch_class(root) + step + 12) % 12)
                    << root << " from " << from << " to " << to << ": " << moved;
                EXPECT_LE(moved.size(), 2U);
                EXPECT_EQ(pitch_class(moved_chord(moved, key(to), key(from))), pitch_class(root));
            }
}

TEST(OtherHarp, TheTabStaysAndTheChordsMove) {
    using namespace typed;
    Lick lick;
    lick.head.harp = *harp::harp_named("C");
    lick.head.position = 2;
    Bar bar;
    bar.length = Beats{Fraction{4}};
    bar.chords = {{Beats{}, Beats{Fraction{4}}, "G7", {}}};
    lick.bars = {bar};
    const Lick moved = on_harp(lick, *harp::harp_named("low F"));
    EXPECT_EQ(harp::name(moved.head.harp), "low F");
    EXPECT_EQ(moved.bars[0].chords[0].symbol, "C7");
    EXPECT_EQ(moved.bars[0].events, lick.bars[0].events);
    // Only the octave changes: nothing is spelled anew.
    lick.bars[0].chords[0].symbol = "A#7";
    EXPECT_EQ(on_harp(lick, *harp::harp_named("low C")).bars[0].chords[0].symbol, "A#7");
}

}  // namespace
}  // namespace lw::lick
