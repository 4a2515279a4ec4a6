// SPDX-License-Identifier: GPL-3.0-or-later
//
// What else the count may be is told when it changes something and may be so, and not on every draft. How often a second
// guess is right in takes is counted by bench/hear (draft_table); here are the plain cases.
#include <gmock/gmock.h>

#include "engine/coach/beat.hpp"
#include "tests/coach/planted.hpp"
#include "tests/hear/listening/phrase.hpp"

namespace lw::coach {
namespace {

using About = SecondGuess::About;

/// Onsets in beats, held to the next one.
std::vector<hear::HeardNote> at(const std::vector<double>& onsets, double tempo) {
    std::vector<hear::HeardNote> notes;
    for (std::size_t i = 0; i < onsets.size(); ++i) {
        const double next = i + 1 < onsets.size() ? onsets[i + 1] : onsets[i] + 1.0;
        hear::HeardNote n;
        n.onset = Seconds{1.0 + onsets[i] * 60.0 / tempo};
        n.offset = Seconds{1.0 + (onsets[i] + 0.95 * (next - onsets[i])) * 60.0 / tempo};
        n.tab.holes = {4};
        n.confidence = 0.9;
        notes.push_back(n);
    }
    return notes;
}

std::vector<About> told(const BeatMap& map) {
    std::vector<About> all;
    for (const SecondGuess& g : map.second_guesses) {
        EXPECT_GE(g.chance, real_chance);
        EXPECT_LE(g.chance, 0.5);
        all.push_back(g.about);
    }
    return all;
}

// A waltz of quarters and halves: swung or straight, it is the same.
TEST(SecondGuess, AFeelThatChangesNothingIsNoDoubt) {
    std::vector<double> waltz;
    for (int bar = 0; bar < 8; ++bar)
        for (const double beat : bar % 2 == 0 ? std::vector<double>{0, 1, 2} : std::vector<double>{0, 2})
            waltz.push_back(3 * bar + beat);
    for (const double tempo : {80.0, 100.0, 116.0}) {
        const BeatMap map = find_beat(at(waltz, tempo));
        EXPECT_THAT(told(map), ::testing::Not(::testing::Contains(About::feel))) << tempo;
    }
}

TEST(SecondGuess, LongAndShortMayBeSwingOrTwelveEight) {
    std::vector<double> shuffle;
    for (int k = 0; k < 8; ++k)
        for (const double part :
             k % 3 == 2 ? std::vector{0.0, 1.0 / 3.0, 2.0 / 3.0} : std::vector{0.0, 2.0 / 3.0})
            shuffle.push_back(k + part);
    const BeatMap map = find_beat(at(shuffle, 92.0));
    ASSERT_THAT(told(map), ::testing::Contains(About::feel));
    for (const SecondGuess& g : map.second_guesses)
        if (g.about == About::feel) {
            EXPECT_NE(map.meter.compound(), g.meter.compound());
        }
    EXPECT_EQ(say(map, {About::feel, {12, 8}, {}, map.tempo, 0.41}),
              "the feel: swing, or 12/8 (41 %): --meter 12/8");
    // What was said is no doubt, and what was counted no guess.
    BeatGiven said;
    said.feel = lick::Feel{Fraction{2}};
    said.tempo = BeatsPerMinute{92.0};
    EXPECT_THAT(told(find_beat(at(shuffle, 92.0), said)), ::testing::Not(::testing::Contains(About::feel)));
}

// Plain eighths, straight: nobody takes them for anything else.
TEST(SecondGuess, WhatIsPlainIsNotDoubted) {
    std::vector<double> eighths;
    for (int k = 0; k < 7; ++k)
        for (const double part : {0.0, 0.5}) eighths.push_back(k + part);
    eighths.insert(eighths.end(), {7.0, 7.25, 7.5, 7.75, 8.0});
    EXPECT_THAT(told(find_beat(at(eighths, 84.0))), ::testing::IsEmpty());
}

// Quarters, and quarters with eighths, at 130; or eighths and sixteenths at 65.
TEST(SecondGuess, ATempoThatMayBeAnotherIsTold) {
    std::size_t doubted = 0;
    for (const int with_eighths : {2, 3, 4, 5, 6}) {
        constexpr double tempo = 130.0;
        std::vector<double> even;
        for (int k = 0; k < 6; ++k) even.push_back(k);
        for (int k = 3; k < 3 + with_eighths; ++k)
            even.insert(even.end(), {2.0 * k, 2.0 * k + 1.0, 2.0 * k + 1.5});
        const BeatMap map = find_beat(at(even, tempo));
        for (const SecondGuess& g : map.second_guesses)
            if (g.about == About::tempo) {
                ++doubted;
                const double ratio = g.tempo.value / map.tempo.value;
                EXPECT_TRUE(std::abs(ratio - 2.0) < 0.2 || std::abs(ratio - 0.5) < 0.05) << ratio;
                EXPECT_THAT(say(map, g), ::testing::StartsWith("the tempo: "));
            }
        BeatGiven said;
        said.tempo = BeatsPerMinute{tempo};
        EXPECT_THAT(told(find_beat(at(even, tempo), said)),
                    ::testing::Not(::testing::Contains(About::tempo)));
    }
    EXPECT_GE(doubted, 1U);
    EXPECT_EQ(say({.meter = {4, 4},
                   .feel = {},
                   .tempo = BeatsPerMinute{92.0},
                   .beats = {},
                   .notes = {},
                   .second_guesses = {}},
                  {About::tempo, {12, 8}, {}, BeatsPerMinute{61.3}, 0.24}),
              "the tempo: 92 straight, or 61 in 12/8 (24 %): --tempo 61 --meter 12/8");
}

/// A waltz by chance: bars as lessons have them (common practice, no source), a long note at the end.
std::vector<hear::HeardNote> waltz(std::uint64_t seed, double tempo) {
    const std::vector<std::vector<double>> bars = {
        {0, 2}, {0, 2}, {0, 1, 2}, {0, 1, 2}, {0, 1, 1.5, 2}, {0, 1.5, 2}, {0, 2, 2.5}, {0, 1, 2, 2.5}, {0}};
    support::Dice dice{seed};
    std::vector<double> onsets;
    const int last = dice.roll(4, 8) - 1;
    for (int b = 0; b < last; ++b)
        for (const double beat :
             bars[static_cast<std::size_t>(dice.roll(0, static_cast<int>(bars.size()) - 1))])
            onsets.push_back(3.0 * b + beat);
    onsets.push_back(3.0 * last);
    auto notes = at(onsets, tempo);
    notes.back().offset += Seconds{2.0 * 60.0 / tempo};
    return notes;
}

// Of nine phrases one is a waltz, the others are those of the takes, in four.
TEST(SecondGuess, ThreeOrFourIsToldWhenItMayBeSo) {
    double told_right = 0.0, told_all = 0.0, untold_wrong = 0.0, untold_all = 0.0;
    const auto count = [&](const std::vector<hear::HeardNote>& notes, const BeatGiven& given, int beats,
                           double weight) {
        const BeatMap map = find_beat(notes, given);
        const bool doubted = !map.second_guesses.empty();
        (doubted ? told_all : untold_all) += weight;
        if (map.meter.top != beats) (doubted ? told_right : untold_wrong) += weight;
    };
    for (std::uint64_t seed = 1; seed <= 240; ++seed) {
        BeatGiven given;
        given.feel = lick::Feel{};
        given.tempo = BeatsPerMinute{112.0};
        count(waltz(seed, 112.0), given, 3, 1.0);
        const listening::Phrase phrase = listening::chance_phrase(seed);
        if (phrase.groove.meter.compound()) continue;
        given.feel = phrase.groove.feel;
        std::vector<double> onsets;
        for (const auto& n : phrase.notes) onsets.push_back(listening::swung(phrase.groove, n.at));
        count(at(onsets, 112.0), given, 4, 8.0 / 0.75);
    }
    EXPECT_GE(told_right / told_all, 0.15) << told_all;
    EXPECT_LE(untold_wrong / untold_all, 0.05) << untold_all;
    EXPECT_LE(told_all / (told_all + untold_all), 0.25);
}

TEST(SecondGuess, OneNoteIsNotDoubted) {
    EXPECT_THAT(told(find_beat(at({0}, 90.0))), ::testing::IsEmpty());
    EXPECT_THAT(told(find_beat({})), ::testing::IsEmpty());
}

}  // namespace
}  // namespace lw::coach
