// SPDX-License-Identifier: GPL-3.0-or-later
//
// Is the planted truth true? aubio's YIN listens to clean takes and finds each note where the truth says it is.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/hear/listening/conditions.hpp"
#include "tests/hear/listening/take.hpp"
#include "tests/sound/aubio_pitch.hpp"

namespace lw::listening {
namespace {

constexpr std::size_t sample_at(double seconds) {
    return static_cast<std::size_t>(seconds * take_rate);
}

/// Silence before the planted onset, sound soon after it.
void begins_with(const Take& take) {
    const auto& first = take.truth.front().note;
    const std::span all{take.samples};
    EXPECT_LT(level_of(all.first(sample_at(first.onset.value - 0.002))), 1e-4);
    const double end = std::min(first.offset.value, first.onset.value + 0.25);
    const double before = level_of(all.subspan(sample_at(first.onset.value), sample_at(0.01)));
    const double after = level_of(all.subspan(sample_at(end - 0.08), sample_at(0.07)));
    EXPECT_LT(before, after) << take.wish.seed;
    EXPECT_GT(after, 1e-3) << take.wish.seed;
}

class EveryInstrument : public testing::TestWithParam<Instrument> {};

// The samples are Debian's and npm's; the judge is aubio 0.4 (P. Brossier), yinfast.
TEST_P(EveryInstrument, SoundsTheNotesThatTheTruthHas) {
    auto maker = TakeMaker::open(GetParam());
    ASSERT_TRUE(maker) << "install " << GetParam().package;
    int asked = 0;
    int right = 0;
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
        const Take take = maker->make({.seed = seed});
        begins_with(take);
        for (const TruthNote& t : take.truth) {
            const auto& note = t.note;
            const double length = (note.offset - note.onset).value;
            // What moves has no one pitch to ask for.
            if (length < 0.2 || !note.gestures.empty()) continue;
            const std::size_t from = sample_at(note.onset.value + 0.1);
            const std::size_t to = sample_at(note.offset.value - 0.01);
            const double meant = 440.0 * std::exp2((note.pitch.midi - 69.0) / 12.0);
            const double heard =
                test::median_pitch(std::span{take.samples}.subspan(from, to - from), take_rate, meant);
            ++asked;
            // Octaves folded: three keys of one harmonica have a second harmonic 13 dB over the first.
            const double off = heard > 0.0 ? test::cents(heard, meant) / 1200.0 : 0.5;
            if (std::abs(off - std::round(off)) < 15.0 / 1200.0) ++right;
        }
    }
    EXPECT_GE(asked, 10);
    // A short low note gives aubio too little to read now and then.
    EXPECT_GE(right, asked * 9 / 10) << "of " << asked;
}

INSTANTIATE_TEST_SUITE_P(Takes, EveryInstrument,
                         testing::ValuesIn(instruments().begin(), instruments().end()),
                         [](const auto& named) {
                             std::string name{named.param.name};
                             std::replace(name.begin(), name.end(), '-', '_');
                             return name;
                         });

// Whatever the maker played before.
TEST(Takes, AreTheSameForTheSameSeed) {
    auto one = TakeMaker::open(*instrument_named("tim-organ"));
    auto other = TakeMaker::open(*instrument_named("tim-organ"));
    ASSERT_TRUE(one && other);
    (void)other->make({.condition = Condition::band_6, .seed = 8});
    for (const Condition condition :
         {Condition::room, Condition::phone, Condition::double_stops, Condition::band_0}) {
        const Take a = one->make({.condition = condition, .seed = 7});
        const Take b = other->make({.condition = condition, .seed = 7});
        EXPECT_EQ(a.samples, b.samples) << name(condition);
        EXPECT_EQ(a.truth.size(), b.truth.size());
    }
}

TEST(Takes, ArePlayable) {
    for (std::uint64_t seed = 1; seed <= 2000; ++seed) {
        const Phrase phrase = chance_phrase(seed, {.several_holes = seed % 2 == 0});
        ASSERT_GE(phrase.notes.size(), 8U);
        ASSERT_LE(phrase.notes.size(), 24U);
        Beats end{};
        for (const PhraseNote& note : phrase.notes) {
            ASSERT_GE(note.at, end) << seed;
            end = note.at + note.length;
            for (const int hole : note.tab.holes)
                ASSERT_TRUE(harp::pitch(phrase.harp, note.tab.note_of(hole))) << seed;
            if (note.start != lick::Start::attack) {
                ASSERT_GT(note.at, Beats{}) << seed;
            }
        }
        ASSERT_LE(end, phrase.length);
    }
}

TEST(Conditions, TheCoderKeepsTime) {
    // A short tone in silence: where it begins is known without any ear.
    std::vector<float> tone(24000);
    for (std::size_t i = 9600; i < 14400; ++i)
        tone[i] = 0.3F * static_cast<float>(std::sin(6.283185 * 1000.0 * static_cast<double>(i) / take_rate));
    const std::vector<float> back = through_mp3(tone);
    ASSERT_EQ(back.size(), tone.size());
    const std::span all{back};
    EXPECT_GT(level_of(all.subspan(9600 + 240, 4800 - 480)), 0.9 * 0.3 / std::sqrt(2.0));
    double error = 0.0;
    for (std::size_t i = 10200; i < 13800; ++i) error += std::pow(back[i] - tone[i], 2);
    // A shift by one sample alone would make this 0.13 of the level.
    EXPECT_LT(std::sqrt(error / 3600.0), 0.10 * 0.3 / std::sqrt(2.0));
}

TEST(Conditions, ARoomDiesInItsTime) {
    support::Dice dice{3};
    std::vector<float> clap(48000);
    clap[4800] = 1.0F;
    const std::vector<float> wet = in_room(clap, {0.5}, {3.0}, dice);
    EXPECT_NEAR(wet[4800], 1.0F, 1e-4);
    EXPECT_LT(level_of(std::span{wet}.first(4790)), 1e-6);
    // 60 dB in 0.5 s are 24 dB in 0.2 s.
    const double early = level_of(std::span{wet}.subspan(4800 + 1000, 4800));
    const double late = level_of(std::span{wet}.subspan(4800 + 1000 + 9600, 4800));
    EXPECT_NEAR(20.0 * std::log10(early / late), 24.0, 1.5);
    // The direct sound stands 3 dB over the energy of the tail.
    const double tail = level_of(std::span{wet}.subspan(4801)) * std::sqrt(48000.0 - 4801.0);
    EXPECT_NEAR(-20.0 * std::log10(tail), 3.0, 0.1);
}

TEST(Conditions, ABandPassesWhatLiesInIt) {
    for (const double hz : {100.0, 1000.0, 12000.0}) {
        std::vector<float> tone(48000);
        for (std::size_t i = 0; i < tone.size(); ++i)
            tone[i] = static_cast<float>(std::sin(6.283185307 * hz * static_cast<double>(i) / take_rate));
        const double level = level_of(in_band(tone, {300.0}, {6000.0})) / level_of(tone);
        // Fourth order: 24 dB an octave. 100 Hz lies 1.58 octaves below 300, 12 kHz one above 6 kHz.
        if (hz == 1000.0) {
            EXPECT_NEAR(level, 1.0, 0.02);
        }
        if (hz == 100.0) {
            EXPECT_NEAR(20.0 * std::log10(level), -38.2, 1.5);
        }
        if (hz == 12000.0) {
            EXPECT_LT(20.0 * std::log10(level), -23.0);
        }
    }
}

}  // namespace
}  // namespace lw::listening
