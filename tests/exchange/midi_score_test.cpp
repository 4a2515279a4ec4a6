// SPDX-License-Identifier: GPL-3.0-or-later
// The bytes of a MIDI file, against the tables of the Standard MIDI File specification 1.0 (1996).
#include "engine/exchange/midi_score.hpp"

#include <gtest/gtest.h>

#include "engine/exchange/midi.hpp"
#include "tests/exchange/lick_by_hand.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::exchange {
namespace {

std::string bytes(std::initializer_list<int> values) {
    std::string text;
    for (const int v : values) text += static_cast<char>(v);
    return text;
}

// Standard MIDI File specification 1.0, the table of variable-length quantities; the decimal rows follow from
// the rule.
TEST(VariableLength, TableOfTheSpecification) {
    const std::vector<std::pair<std::uint32_t, std::string>> table = {
        {0x00, bytes({0x00})},
        {0x40, bytes({0x40})},
        {0x7F, bytes({0x7F})},
        {0x80, bytes({0x81, 0x00})},
        {0x2000, bytes({0xC0, 0x00})},
        {0x3FFF, bytes({0xFF, 0x7F})},
        {0x4000, bytes({0x81, 0x80, 0x00})},
        {0x100000, bytes({0xC0, 0x80, 0x00})},
        {0x1FFFFF, bytes({0xFF, 0xFF, 0x7F})},
        {0x200000, bytes({0x81, 0x80, 0x80, 0x00})},
        {0x8000000, bytes({0xC0, 0x80, 0x80, 0x00})},
        {0xFFFFFFF, bytes({0xFF, 0xFF, 0xFF, 0x7F})},
        {96, bytes({0x60})},
        {240, bytes({0x81, 0x70})},
        {480, bytes({0x83, 0x60})},
        {960, bytes({0x87, 0x40})},
        {1920, bytes({0x8F, 0x00})},
        {3840, bytes({0x9E, 0x00})},
    };
    for (const auto& [value, expected] : table) EXPECT_EQ(variable_length(value), expected) << value;
}

// Header and end of track as the specification spells them; division 960 is 03 C0.
TEST(MidiBytes, HeaderAndEnd) {
    MidiScore score;
    score.tracks.resize(1);
    EXPECT_EQ(midi_bytes(score), bytes({'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 1,    0,    1, 0x03, 0xC0,  //
                                        'M', 'T', 'r', 'k', 0, 0, 0, 4, 0, 0xFF, 0x2F, 0}));
    score.division = 480;
    EXPECT_EQ(midi_bytes(score).substr(12, 2), bytes({0x01, 0xE0}));
}

// Microseconds to a quarter: 120 bpm 07 A1 20, 100 09 27 C0, 60 0F 42 40 (specification and arithmetic).
TEST(MidiBytes, Tempo) {
    const std::vector<std::pair<double, std::string>> table = {{120.0, bytes({0x07, 0xA1, 0x20})},
                                                               {100.0, bytes({0x09, 0x27, 0xC0})},
                                                               {60.0, bytes({0x0F, 0x42, 0x40})}};
    for (const auto& [tempo, expected] : table) {
        lick::Lick lick;
        lick.head.tempo = BeatsPerMinute{tempo};
        lick.bars.push_back(by_hand::bar_of({by_hand::tab({4}, lick::Breath::draw)}));
        const std::string file = midi_bytes(plain_midi(lick));
        EXPECT_NE(file.find(bytes({0x00, 0xFF, 0x51, 0x03}) + expected), std::string::npos) << tempo;
    }
}

// Arithmetic for range 12: -300 cents 6144, -100 cents 7509 (13653.3 / 2 is no whole number: rounded).
TEST(MidiBytes, BendValues) {
    EXPECT_EQ(bend_value(Semitones{0.0}), 8192);
    EXPECT_EQ(bend_value(Semitones{-3.0}), 6144);
    EXPECT_EQ(bend_value(Semitones{-1.0}), 7509);
    EXPECT_EQ(bend_value(Semitones{-12.0}), 0);
    EXPECT_EQ(bend_value(Semitones{12.0}), 16383);
    MidiEvent bend;
    bend.kind = MidiEvent::Kind::bend;
    bend.a = 7509;
    MidiScore score;
    score.tracks.push_back({{bend}, 0});
    EXPECT_NE(midi_bytes(score).find(bytes({0x00, 0xE0, 0x55, 0x3A})), std::string::npos);
}

TEST(MidiText, ReadsAsWritten) {
    lick::Lick lick;
    lick.head.title = "A \"quoted\" title";
    lick.head.tempo = BeatsPerMinute{120.0};
    lick.bars.push_back(by_hand::bar_of({by_hand::tab({4}, lick::Breath::draw, 2)}));
    lick.bars.front().chords.push_back({Beats{}, Beats{4}, "G7", {}});
    EXPECT_EQ(midi_text(plain_midi(lick)), R"(midi format 1 division 960
track
0 name "A \22quoted\22 title"
0 text "harp in C"
0 tempo 500000
0 meta 88 04 02 18 08
0 marker "G7"
3840 end
track
0 name "harp, as written"
0 lyric "4d'"
0 program 0 22
0 on 0 73 96
960 off 0 73 64
3840 end
)");
}

TEST(MidiText, RoundTripsOnRandomLicks) {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const lick::Lick lick = support::random_lick(seed);
        for (const MidiScore& score : {plain_midi(lick), played_midi(lick, sound::perform(lick))}) {
            const auto from_bytes = read_midi(midi_bytes(score));
            ASSERT_TRUE(from_bytes) << from_bytes.error();
            EXPECT_EQ(*from_bytes, score) << seed;
            const auto from_text = read_midi_text(midi_text(score));
            ASSERT_TRUE(from_text) << from_text.error();
            EXPECT_EQ(*from_text, score) << seed;
        }
    }
}

TEST(ReadMidi, RunningStatusAndUnknownChunks) {
    const std::string file = bytes({'M', 'T',  'h', 'd', 0,  0,  0, 6, 0,    0,   0,   1,    0,  96, 'X', 'F',
                                    'o', 'o',  0,   0,   0,  2,  1, 2, 'M',  'T', 'r', 'k',  0,  0,  0,   15,
                                    0,   0x90, 60,  64,  96, 60, 0, 0, 0xD0, 5,   0,   0x80, 61, 0,  0});
    const auto end = file + bytes({0xFF, 0x2F, 0});
    std::string fitted = end;
    fitted[31] = 18;  // length of the track: the fifteen bytes above and the end event
    const auto score = read_midi(fitted);
    ASSERT_TRUE(score) << score.error();
    EXPECT_EQ(midi_text(*score), R"(midi format 0 division 96
track
0 on 0 60 64
96 on 0 60 0
96 other 208 05
96 off 0 61 0
96 end
)");
}

TEST(ReadMidi, EveryCutAndManyChangesAreAnsweredCalmly) {
    const std::string file =
        midi_bytes(played_midi(support::random_lick(7), sound::perform(support::random_lick(7))));
    for (std::size_t cut = 0; cut < file.size(); cut += cut < 200 ? 1 : 17)
        EXPECT_FALSE(read_midi(std::string_view{file}.substr(0, cut))) << cut;
    support::Dice dice{3};
    int read = 0;
    for (int i = 0; i < 2000; ++i) {
        std::string broken = file;
        for (int k = dice.roll(1, 4); k > 0; --k)
            broken[static_cast<std::size_t>(dice.roll(0, static_cast<int>(file.size()) - 1))] =
                static_cast<char>(dice.roll(0, 255));
        if (const auto score = read_midi(broken)) {
            ++read;
            const auto again = read_midi(midi_bytes(*score));
            ASSERT_TRUE(again) << again.error();
            EXPECT_EQ(*again, *score);
        }
    }
    EXPECT_GT(read, 0);
    EXPECT_LT(read, 2000);
}

TEST(ReadMidiText, SaysWhichLine) {
    EXPECT_EQ(read_midi_text("hello").error(), "line 1: expected `midi format`");
    EXPECT_EQ(read_midi_text("midi format 1 division 960\n5 end").error(), "line 2: expected `track`");
    EXPECT_EQ(read_midi_text("midi format 1 division 960\ntrack\n5 on 0 60 64\n4 off 0 60 0\n").error(),
              "line 4: expected a tick, never falling");
    EXPECT_EQ(read_midi_text("midi format 1 division 960\ntrack\n5 on 0 128 64").error(),
              "line 3: not an event");
}

}  // namespace
}  // namespace lw::exchange
