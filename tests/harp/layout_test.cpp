// SPDX-License-Identifier: GPL-3.0-or-later
//
// The standard layout, reed by reed, and what follows from it. Expected values:
//   semitones   H. Skjerning, OEIS A291810, diatonic harmonica standard Richter tone layout (2017)
//   note names  the same, and "Richter-tuned harmonica", Wikipedia
//   MIDI, Hz    equal temperament at A4 = 440 Hz (ISO 16:1975), rounded to a hundredth by us
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr Breath blow = Breath::blow;
constexpr Breath draw = Breath::draw;

TEST(Layout, IsTheOneOfOeisA291810) {
    const std::array<int, 20> a291810 = {0,  2,  4,  7,  7,  11, 12, 14, 16, 17,
                                         19, 21, 24, 23, 28, 26, 31, 29, 36, 33};
    EXPECT_EQ(standard_tuning().semitones, a291810);
    EXPECT_EQ(standard_tuning().name, "standard");
    EXPECT_EQ(standard_tuning().label_position, 1);
}

struct Row {
    int hole;
    const char* name;
    double midi;
    double hz;
};
constexpr std::array<Row, 10> blown = {{{1, "C4", 60, 261.63},
                                        {2, "E4", 64, 329.63},
                                        {3, "G4", 67, 392.00},
                                        {4, "C5", 72, 523.25},
                                        {5, "E5", 76, 659.26},
                                        {6, "G5", 79, 783.99},
                                        {7, "C6", 84, 1046.50},
                                        {8, "E6", 88, 1318.51},
                                        {9, "G6", 91, 1567.98},
                                        {10, "C7", 96, 2093.00}}};
constexpr std::array<Row, 10> drawn = {{{1, "D4", 62, 293.66},
                                        {2, "G4", 67, 392.00},
                                        {3, "B4", 71, 493.88},
                                        {4, "D5", 74, 587.33},
                                        {5, "F5", 77, 698.46},
                                        {6, "A5", 81, 880.00},
                                        {7, "B5", 83, 987.77},
                                        {8, "D6", 86, 1174.66},
                                        {9, "F6", 89, 1396.91},
                                        {10, "A6", 93, 1760.00}}};

TEST(Layout, EveryReedOfTheCHarpHasItsNoteMidiNumberAndFrequency) {
    const Harp c;
    for (const auto& [rows, breath] : {std::pair{blown, blow}, std::pair{drawn, draw}}) {
        for (const Row& row : rows) {
            const Reed reed{row.hole, breath};
            SCOPED_TRACE(to_text(HoleNote{row.hole, breath, 0, false}));
            EXPECT_EQ(note_name(made_for(c, reed)), row.name);
            EXPECT_EQ(made_for(c, reed).midi, row.midi);
            EXPECT_NEAR(frequency(c, reed).value, row.hz, 0.005);
            EXPECT_EQ(pitch(c, {row.hole, breath, 0, false}), Pitch{row.midi});
            EXPECT_EQ(frequency(c, HoleNote{row.hole, breath, 0, false}), frequency(c, reed));
        }
    }
}

TEST(Layout, TwentyReedsNineteenPitches) {
    // "Richter-tuned harmonica", Wikipedia: 2 draw and 3 blow are the one pair. The other counts are ours.
    const Harp c;
    std::set<double> reeds;
    for (int hole = 1; hole <= hole_count; ++hole)
        for (const Breath b : {blow, draw}) reeds.insert(made_for(c, {hole, b}).midi);
    EXPECT_EQ(reeds.size(), 19U);
    EXPECT_EQ(made_for(c, {2, draw}), made_for(c, {3, blow}));
    EXPECT_EQ(*reeds.rbegin() - *reeds.begin() + 1, 37);  // C4..C7
}

TEST(Layout, EqualTemperamentMatchesIso16) {
    // ISO 16:1975 fixes A4 = 440 Hz (from memory); the rest follows from the definition, recomputed by us.
    const Harp c;
    EXPECT_DOUBLE_EQ(frequency(c, Pitch{69}).value, 440.0);
    EXPECT_DOUBLE_EQ(frequency(c, Pitch{21}).value, 27.5);
    EXPECT_DOUBLE_EQ(frequency(c, Pitch{45}).value, 110.0);
    EXPECT_DOUBLE_EQ(frequency(c, Pitch{81}).value, 880.0);
    EXPECT_NEAR(frequency(c, Pitch{55}).value, 195.998, 5e-4);
    EXPECT_NEAR(frequency(c, Pitch{60}).value, 261.626, 5e-4);
    EXPECT_NEAR(frequency(c, Pitch{96}).value, 2093.005, 5e-4);
    EXPECT_NEAR(frequency(c, Pitch{108}).value, 4186.009, 5e-4);
    EXPECT_NEAR(frequency(c, Pitch{0}).value, 8.176, 5e-4);
    EXPECT_NEAR(frequency(c, Pitch{127}).value, 12543.854, 5e-4);
}

TEST(Layout, MasterPitchMovesEverythingAlike) {
    // Cents from 440: computed from the definition. O. Hansson, Theory of harmonica tuning (2004), recommends
    // 443.
    for (const auto& [a4, cents] :
         {std::pair{442.0, 7.85}, {443.0, 11.76}, {444.0, 15.67}, {430.0, -39.80}, {450.0, 38.91}}) {
        Harp h;
        h.a4 = Hz{a4};
        for (int hole = 1; hole <= hole_count; ++hole) {
            for (const Breath b : {blow, draw}) {
                const double ratio = frequency(h, Reed{hole, b}) / frequency(Harp{}, Reed{hole, b});
                EXPECT_NEAR(1200 * std::log2(ratio), cents, 0.005) << a4 << " hole " << hole;
            }
        }
    }
}

TEST(Layout, OctavesAndSplitsOfTheCHarp) {
    // Computed from the layout by hand: every split of four holes, in semitones.
    const std::array<double, 7> blown_fourths = {12, 12, 12, 12, 12, 12, 12};  // 1+4 2+5 ... 7+10
    const std::array<double, 7> drawn_fourths = {12, 10, 10, 9, 9, 8, 10};     // 1+4 2+5 ... 7+10
    const std::array<double, 6> drawn_fifths = {15, 14, 12, 12, 12, 12};       // 1+5 2+6 ... 6+10
    const std::array<double, 6> blown_fifths = {16, 15, 17, 16, 15, 17};
    const Harp c;
    const std::vector<Split> all = splits(c);
    ASSERT_EQ(all.size(), 26U);
    for (const Split& s : all) {
        const auto i = static_cast<std::size_t>(s.low - 1);
        const bool four_holes = s.high - s.low == 3;
        ASSERT_TRUE(four_holes || s.high - s.low == 4);
        const double expected = s.breath == blow ? (four_holes ? blown_fourths[i] : blown_fifths[i])
                                                 : (four_holes ? drawn_fourths[i] : drawn_fifths[i]);
        EXPECT_EQ(s.interval.value, expected) << s.low << "+" << s.high << (s.breath == blow ? "b" : "d");
        EXPECT_EQ(s.octave(), expected == 12);
    }
    std::vector<std::string> octaves;
    for (const Split& s : all)
        if (s.octave())
            octaves.push_back(std::to_string(s.low) + "+" + std::to_string(s.high) +
                              (s.breath == blow ? "b" : "d"));
    EXPECT_EQ(octaves, (std::vector<std::string>{"1+4b", "2+5b", "3+6b", "4+7b", "5+8b", "6+9b", "7+10b",
                                                 "1+4d", "3+7d", "4+8d", "5+9d", "6+10d"}));
}

}  // namespace
}  // namespace lw::harp
