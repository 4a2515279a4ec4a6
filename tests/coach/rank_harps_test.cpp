// SPDX-License-Identifier: GPL-3.0-or-later
//
// Harps ranked for phrases whose harp is known: those of the takes (tests/hear/listening), by their pitches alone. The
// phrases come from another model of a player than the one that ranks. bench/hear has the table for many more, and for
// pitches that were really heard.
#include "engine/coach/rank_harps.hpp"

#include <gmock/gmock.h>

#include "tests/coach/planted.hpp"
#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/phrase.hpp"

namespace lw::coach {
namespace {

/// What an ear without a harp gives: pitches of the leading holes, a little off.
std::vector<hear::HeardNote> pitches_of(const listening::Phrase& phrase, std::uint64_t seed,
                                        double a4 = 440.0) {
    support::Dice dice{seed};
    std::vector<hear::HeardNote> notes;
    for (const auto& n : phrase.notes) {
        hear::HeardNote h;
        const auto p = harp::pitch(phrase.harp, n.tab.note_of(n.tab.lead_hole()));
        const double off = (n.tab.bent_hole != 0 ? 0.12 : 0.05) * listening::bell(dice);
        h.pitch = *p + Semitones{off + 12.0 * std::log2(a4 / 440.0)};
        h.onset = Seconds{0.5 * n.at.value.value()};
        h.joined = n.start != lick::Start::attack;
        for (const lick::Ornament& o : n.ornaments) h.gestures.push_back({o.gesture, o.other_hole, {}});
        notes.push_back(h);
    }
    return notes;
}

hear::HeardNote pitch(double midi) {
    hear::HeardNote n;
    n.pitch = Pitch{midi};
    return n;
}

TEST(RankHarps, PhrasesOfKnownHarpsAreFoundAsOftenAsThePhraseAllows) {
    struct Row {
        double n = 0.0, first = 0.0, second = 0.0;
    };
    Row few, many, sole;
    double off = 0.0, told = 0.0;  // calibration: what was said against what was so, in ten bins
    std::array<std::array<double, 3>, 10> bins{};
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto phrase = listening::chance_phrase(seed);
        const auto ranked = rank_harps(pitches_of(phrase, seed));
        const bool first = ranked[0].harp == phrase.harp;
        const bool second = first || ranked[1].harp == phrase.harp;
        const auto count = [&](Row& r) {
            r.n += 1.0;
            r.first += first ? 1.0 : 0.0;
            r.second += second ? 1.0 : 0.0;
        };
        count(phrase.notes.size() >= 12 ? many : few);
        const auto fits =
            std::count_if(ranked.begin(), ranked.end(), [](const HarpGuess& g) { return g.fits(); });
        if (fits == 1) count(sole);
        double sum = 0.0;
        for (const HarpGuess& g : ranked) {
            sum += g.probability;
            auto& bin = bins[static_cast<std::size_t>(std::min(9.0, 10.0 * g.probability))];
            bin[0] += 1.0;
            bin[1] += g.probability;
            bin[2] += g.harp == phrase.harp ? 1.0 : 0.0;
        }
        EXPECT_NEAR(sum, 1.0, 1e-9);
    }
    for (const auto& bin : bins) {
        off += std::abs(bin[1] - bin[2]);
        told += bin[0];
    }
    EXPECT_GE(few.first / few.n, 0.83) << few.n;
    EXPECT_GE(few.second / few.n, 0.94);
    EXPECT_GE(many.first / many.n, 0.93) << many.n;
    EXPECT_GE(sole.first / sole.n, 0.97) << sole.n;
    EXPECT_LE(off / told, 0.05);
}

/// Every reed is off by its own up to so many cents.
struct Named {
    double first = 0.0;     // share of phrases whose harp comes first
    double surprise = 0.0;  // mean of minus the logarithm of its chance
};
Named named_on_worn_harps(double cents) {
    Named named;
    constexpr double all = 200.0;
    for (std::uint64_t seed = 1001; seed <= 1200; ++seed) {
        const auto phrase = listening::chance_phrase(seed);
        auto notes = pitches_of(phrase, seed);
        support::Dice dice{seed * 31};
        std::array<double, 20> off{};
        for (double& o : off) o = listening::between(dice, -cents, cents) / 100.0;
        for (std::size_t i = 0; i < notes.size(); ++i) {
            const lick::Tab& tab = phrase.notes[i].tab;
            notes[i].pitch = notes[i].pitch +
                             Semitones{off[static_cast<std::size_t>(
                                 2 * (tab.lead_hole() - 1) + (tab.breath == harp::Breath::draw ? 1 : 0))]};
        }
        const auto ranked = rank_harps(notes);
        named.first += ranked.front().harp == phrase.harp ? 1.0 / all : 0.0;
        for (const HarpGuess& g : ranked)
            if (g.harp == phrase.harp) named.surprise -= std::log(std::max(1e-9, g.probability)) / all;
    }
    return named;
}

// A reed that is off is off every time, and that is no other harp.
TEST(RankHarps, AHarpOutOfTuneIsStillThatHarp) {
    const Named worn = named_on_worn_harps(15.0), badly = named_on_worn_harps(25.0);
    EXPECT_GE(worn.first, 0.9);
    EXPECT_GE(badly.first, 0.9);
    EXPECT_LE(badly.surprise, 0.20);  // 0.21 when every note paid for itself
}

TEST(RankHarps, ThreeNotesOfAScaleLieOnManyHarpsAndAllAreListed) {
    const std::vector<hear::HeardNote> notes{pitch(67.0), pitch(71.0), pitch(74.0)};  // G B D
    const auto ranked = rank_harps(notes);
    const auto likely = std::count_if(ranked.begin(), ranked.end(),
                                      [](const HarpGuess& g) { return g.fits() && g.probability > 0.02; });
    EXPECT_GE(likely, 3);
    EXPECT_LT(ranked.front().probability, 0.9);
    const auto g = std::find_if(ranked.begin(), ranked.end(),
                                [](const HarpGuess& r) { return r.harp == *harp::harp_named("C"); });
    ASSERT_NE(g, ranked.end());
    EXPECT_EQ(g->bends, 0);
    EXPECT_EQ(g->position, 2);  // home on 2 draw: the common practice of cross harp
}

// G B D B: 2, 3 and 4 draw of a C harp, 4, 5 and 6 blow of a G harp. A B that is pulled down on its way is a reed that
// bends: 3 draw does, 5 blow does not.
TEST(RankHarps, AScoopNeedsAReedThatBends) {
    std::vector<hear::HeardNote> notes{pitch(67.0), pitch(71.0), pitch(74.0), pitch(71.0)};
    const auto chance = [&](const char* name) {
        const auto ranked = rank_harps(notes);
        return std::find_if(ranked.begin(), ranked.end(),
                            [&](const HarpGuess& g) { return g.harp == *harp::harp_named(name); })
            ->probability;
    };
    const double c = chance("C"), g = chance("G");
    for (const std::size_t i : {1U, 3U})
        notes[i].gestures.push_back({.gesture = lick::Gesture::scoop, .other_hole = 0, .at = {}});
    EXPECT_GT(chance("C"), c);
    EXPECT_LT(chance("G"), g);
}

TEST(RankHarps, ARecordingThatIsTunedHighIsNotAnotherHarp) {
    const auto phrase = listening::chance_phrase(11);
    const auto at_440 = rank_harps(pitches_of(phrase, 11));
    const auto at_446 = rank_harps(pitches_of(phrase, 11, 446.0), Hz{446.0});
    EXPECT_EQ(at_440.front().harp, at_446.front().harp);
    EXPECT_NEAR(at_440.front().probability, at_446.front().probability, 1e-6);
}

// An ear without a harp hears a shake as a row of quick notes. Ten times there and back says no more than once.
TEST(RankHarps, AShakeCountsOnce) {
    const auto phrase = listening::chance_phrase(12);
    const auto once = pitches_of(phrase, 12);
    auto shaken = once;
    hear::HeardNote other = shaken[2];
    other.pitch = other.pitch + Semitones{3.0};
    for (int i = 0; i < 20; ++i) {
        hear::HeardNote swing = i % 2 == 0 ? other : once[2];
        swing.onset = once[2].onset + Seconds{0.01 * (i + 1)};
        shaken.insert(shaken.begin() + 3 + i, swing);
    }
    auto twice = once;
    twice.insert(twice.begin() + 3, shaken[3]);
    twice[3].joined = true;
    const auto shake = rank_harps(shaken), pair = rank_harps(twice);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(shake[i].harp, pair[i].harp);
        EXPECT_NEAR(shake[i].probability, pair[i].probability, 1e-9);
    }
}

// A tuning may only be told from 434 to 446 Hz; a recording further off comes with all its notes off by the rest.
TEST(RankHarps, WhatIsLeftOfTheTuningIsNoOtherHarp) {
    double named = 0.0, named_off = 0.0;
    for (std::uint64_t seed = 301; seed <= 360; ++seed) {
        const auto phrase = listening::chance_phrase(seed);
        auto notes = pitches_of(phrase, seed);
        named += rank_harps(notes).front().harp == phrase.harp ? 1.0 : 0.0;
        for (hear::HeardNote& n : notes) n.pitch = n.pitch + Semitones{0.22};
        named_off += rank_harps(notes).front().harp == phrase.harp ? 1.0 : 0.0;
    }
    EXPECT_GE(named, 54.0);
    EXPECT_GE(named_off, named - 1.0);
}

TEST(RankHarps, ThePlainScaleOfTheHarpIsFirstPosition) {
    std::vector<hear::HeardNote> notes;
    for (const double midi : {72.0, 74.0, 76.0, 77.0, 79.0, 81.0, 83.0, 84.0}) notes.push_back(pitch(midi));
    const auto ranked = rank_harps(notes);
    EXPECT_EQ(harp::name(ranked.front().harp), "C");
    const auto positions = rank_positions(*harp::harp_named("C"), notes);
    EXPECT_EQ(std::max_element(positions.begin(), positions.end()) - positions.begin(), 0);
}

TEST(RankHarps, NothingHeardIsNoHarpAndTheUsualPosition) {
    EXPECT_TRUE(rank_harps({}).empty());
    const auto positions = rank_positions(*harp::harp_named("A"), {});
    EXPECT_EQ(std::max_element(positions.begin(), positions.end()) - positions.begin(), 1);
}

TEST(RankHarps, NoHarpHasItAndItSaysSo) {
    const std::vector<hear::HeardNote> notes{pitch(30.0), pitch(31.0), pitch(110.0)};
    for (const HarpGuess& g : rank_harps(notes)) EXPECT_FALSE(g.fits());
}

}  // namespace
}  // namespace lw::coach
