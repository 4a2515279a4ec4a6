// SPDX-License-Identifier: GPL-3.0-or-later
//
// Keys of harp and their octaves. That G to B lie below middle C and Db to F# above: "Richter-tuned
// harmonica", Wikipedia. Hz and MIDI computed from equal temperament. Low and high variants (exactly an
// octave): common practice, no source.
#include <gtest/gtest.h>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr Breath blow = Breath::blow;
constexpr Breath draw = Breath::draw;

struct KeyRow {
    const char* key;
    const char* one_blow;
    double hz;
    int lowest;   // MIDI of 1 blow
    int highest;  // MIDI of 10 blow
};
constexpr std::array<KeyRow, 12> keys = {{{"G", "G3", 196.00, 55, 91},
                                          {"Ab", "Ab3", 207.65, 56, 92},
                                          {"A", "A3", 220.00, 57, 93},
                                          {"Bb", "Bb3", 233.08, 58, 94},
                                          {"B", "B3", 246.94, 59, 95},
                                          {"C", "C4", 261.63, 60, 96},
                                          {"Db", "Db4", 277.18, 61, 97},
                                          {"D", "D4", 293.66, 62, 98},
                                          {"Eb", "Eb4", 311.13, 63, 99},
                                          {"E", "E4", 329.63, 64, 100},
                                          {"F", "F4", 349.23, 65, 101},
                                          {"F#", "F#4", 369.99, 66, 102}}};

TEST(Keys, TwelveHarpsStartWhereTheyShould) {
    for (const KeyRow& row : keys) {
        const auto harp = harp_named(row.key);
        ASSERT_TRUE(harp) << harp.error();
        EXPECT_EQ(name(*harp), row.key);
        EXPECT_EQ(note_name(made_for(*harp, {1, blow})), row.one_blow);
        EXPECT_NEAR(frequency(*harp, Reed{1, blow}).value, row.hz, 0.005) << row.key;
        EXPECT_EQ(made_for(*harp, {1, blow}).midi, row.lowest);
        EXPECT_EQ(made_for(*harp, {10, blow}).midi, row.highest);
    }
}

TEST(Keys, EveryHarpAndRegisterIsTheCHarpMoved) {
    const Harp c;
    int harps = 0;
    for (const Register octave : {Register::low, Register::standard, Register::high}) {
        for (int k = 0; k < 12; ++k) {
            Harp h;
            h.key = Key{k};
            h.octave = octave;
            const auto read = harp_named(name(h));
            const bool made = octave == Register::standard || (octave == Register::low && k <= 6) ||
                              (octave == Register::high && k == 7);
            ASSERT_EQ(read.has_value(), made) << name(h);
            if (!made) continue;
            ++harps;
            EXPECT_EQ(*read, h);
            const int octave_shift = octave == Register::low ? -12 : octave == Register::high ? 12 : 0;
            const double shift = k - (k >= 7 ? 12 : 0) + octave_shift;
            ASSERT_EQ(every_note(h), every_note(c));
            for (const HoleNote& n : every_note(c)) {
                EXPECT_EQ(pitch(h, n)->midi, pitch(c, n)->midi + shift) << name(h) << " " << to_text(n);
                EXPECT_NEAR(frequency(h, n)->value, frequency(h, *pitch(h, n)).value, 1e-9);
            }
        }
    }
    EXPECT_EQ(harps, 12 + 7 + 1);
}

TEST(Keys, LimitsOfTheWholeFamily) {
    // Computed: low C starts at 130.81 Hz, high G at G4; the F# harp ends at 2960 Hz, its overdraw 10 at
    // 3136.
    EXPECT_NEAR(frequency(*harp_named("low C"), Reed{1, blow}).value, 130.81, 0.005);
    EXPECT_EQ(note_name(made_for(*harp_named("high G"), {1, blow})), "G4");
    EXPECT_EQ(note_name(made_for(*harp_named("low F"), {1, blow})), "F3");
    const Harp f_sharp = *harp_named("F#");
    EXPECT_NEAR(frequency(f_sharp, Reed{10, blow}).value, 2959.96, 0.005);
    EXPECT_NEAR(frequency(f_sharp, HoleNote{10, draw, 0, true})->value, 3135.96, 0.005);
}

TEST(Keys, NamesAreReadAsPlayersWriteThem) {
    for (int k = 0; k < 12; ++k) EXPECT_EQ(key_named(name(Key{k})), Key{k});
    EXPECT_EQ(key_named("C#"), key_named("Db"));
    EXPECT_EQ(key_named("G#"), key_named("Ab"));
    EXPECT_EQ(key_named("Gb"), key_named("F#"));
    EXPECT_EQ(key_named("A#"), key_named("Bb"));
    EXPECT_EQ(key_named("D#"), key_named("Eb"));
    EXPECT_EQ(key_named("B#"), Key{0});
    EXPECT_EQ(key_named("Cb"), Key{11});
    EXPECT_EQ(key_named("bb"), Key{10});
    EXPECT_EQ(key_named("b"), Key{11});
    EXPECT_EQ(key_named("B\u266D"), Key{10});
    EXPECT_EQ(key_named("F\u266F"), Key{6});
    EXPECT_EQ(key_named(" Eb "), Key{3});
    for (const char* no : {"", " ", "H", "h", "Bbb", "C##", "Cm", "BB", "1", "#", "low"})
        EXPECT_FALSE(key_named(no)) << no;
    EXPECT_EQ(name(*harp_named("  LOW   d ")), "low D");
    EXPECT_EQ(name(*harp_named("High g")), "high G");
    EXPECT_EQ(name(*harp_named("low gb")), "low F#");
}

TEST(Keys, AHarpThatIsNotMadeIsRefusedInASentence) {
    EXPECT_EQ(harp_named("low G").error(),
              "There is no low G harp here; low harps run from low C to low F#.");
    EXPECT_EQ(harp_named("high C").error(), "There is no high C harp here; the only high harp is high G.");
    EXPECT_EQ(harp_named("H").error(), "`H` is not a key of harp.");
    EXPECT_EQ(harp_named("low").error(), "`low` is not a key of harp.");
    EXPECT_EQ(harp_named("").error(), "The key of the harp is missing.");
}

TEST(Keys, NoteNamesRoundToTheNearest) {
    EXPECT_EQ(note_name(Pitch{60.49}), "C4");
    EXPECT_EQ(note_name(Pitch{60.5}), "Db4");
    EXPECT_EQ(note_name(Pitch{59.5}), "C4");
    EXPECT_EQ(note_name(Pitch{59.49}), "B3");
    EXPECT_EQ(note_name(Pitch{0}), "C-1");
    EXPECT_EQ(note_name(Pitch{-1}), "B-2");
    EXPECT_EQ(note_name(Pitch{127}), "G9");
}

}  // namespace
}  // namespace lw::harp
