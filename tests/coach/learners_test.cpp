// SPDX-License-Identifier: GPL-3.0-or-later
//
// Learners are uneven: they rush and drag, stop, start over, play wrong notes, only the half they know, or all of it
// twice. None of them may be told that this is another lick; another lick must be. Takes without sound (planted.hpp) of
// the phrases of bench/hear. What learners do is common practice, no source.
#include <gtest/gtest.h>

#include "engine/coach/compare.hpp"
#include "engine/coach/rank_harps.hpp"
#include "tests/coach/planted.hpp"
#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/slips.hpp"

namespace lw::coach {
namespace {

using Notes = std::vector<hear::HeardNote>;
constexpr std::uint64_t takes = 60;

lick::Lick lick_number(std::uint64_t seed) {
    return listening::lick_of(listening::chance_phrase(seed));
}

/// From a third slower to a third faster, the tempo 30 % off at the end, hands scattered by 25 ms.
Notes uneven(const lick::Lick& lick, support::Dice& dice) {
    return test::heard(lick, {.tempo = lick.head.tempo.value * listening::between(dice, 0.6, 1.15),
                              .drift = listening::between(dice, 0.7, 1.3),
                              .scatter = 0.025,
                              .seed = dice.next()});
}

void stop_at(Notes& take, std::size_t note, double seconds) {
    for (std::size_t i = note; i < take.size(); ++i) test::shift(take[i], seconds);
}

std::size_t some_note(const Notes& take, support::Dice& dice) {
    return static_cast<std::size_t>(dice.roll(2, std::max(2, static_cast<int>(take.size()) - 2)));
}

void play_wrong(Notes& take, const lick::Lick& lick, double share, support::Dice& dice) {
    for (hear::HeardNote& n : take) {
        if (listening::between(dice, 0.0, 1.0) > share) continue;
        lick::Tab tab;
        tab.holes = {std::clamp(n.tab.lead_hole() + (dice.chance(50) ? 1 : -1), 1, 10)};
        tab.breath = dice.chance(70)                      ? n.tab.breath
                     : n.tab.breath == lick::Breath::blow ? lick::Breath::draw
                                                          : lick::Breath::blow;
        test::play_instead(n, lick, tab);
    }
}

Notes start_over(const Notes& whole, std::size_t after, double pause) {
    Notes take(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(after));
    const double later = (take.back().offset - whole.front().onset).value + pause;
    for (hear::HeardNote n : whole) {
        test::shift(n, later);
        take.push_back(std::move(n));
    }
    return take;
}

struct Learner {
    const char* name;
    Notes (*plays)(const lick::Lick&, support::Dice&);
};
const Learner learners[] = {
    {"uneven", [](const lick::Lick& l, support::Dice& d) { return uneven(l, d); }},
    {"stops twice",
     [](const lick::Lick& l, support::Dice& d) {
         Notes take = uneven(l, d);
         for (int k = 0; k < 2; ++k) stop_at(take, some_note(take, d), listening::between(d, 0.8, 3.0));
         return take;
     }},
    {"starts over",
     [](const lick::Lick& l, support::Dice& d) {
         const Notes whole = uneven(l, d);
         return start_over(whole, some_note(whole, d), listening::between(d, 0.5, 2.0));
     }},
    {"a quarter of the notes wrong",
     [](const lick::Lick& l, support::Dice& d) {
         Notes take = uneven(l, d);
         play_wrong(take, l, 0.25, d);
         return take;
     }},
    {"the first half only",
     [](const lick::Lick& l, support::Dice& d) {
         Notes take = uneven(l, d);
         take.resize(std::max<std::size_t>(4, (take.size() + 1) / 2));
         return take;
     }},
    {"twice",
     [](const lick::Lick& l, support::Dice& d) {
         const Notes whole = uneven(l, d);
         return start_over(whole, whole.size(), listening::between(d, 0.5, 2.0));
     }},
    {"stops, starts over, some wrong",
     [](const lick::Lick& l, support::Dice& d) {
         Notes whole = uneven(l, d);
         play_wrong(whole, l, 0.12, d);
         stop_at(whole, some_note(whole, d), listening::between(d, 0.8, 2.0));
         return start_over(whole, some_note(whole, d), 1.0);
     }},
};

TEST(Learners, AreNotToldItIsAnotherLick) {
    std::size_t refused = 0, unsure = 0, all = 0;
    for (const Learner& learner : learners)
        for (std::uint64_t seed = 1; seed <= takes; ++seed) {
            support::Dice dice{seed * 7919};
            const lick::Lick lick = lick_number(seed);
            const Comparison c = compare(lick, learner.plays(lick, dice));
            ++all;
            refused += c.same_lick ? 0 : 1;
            unsure += surely_same(c) ? 0 : 1;
        }
    EXPECT_LE(static_cast<double>(refused), 0.01 * static_cast<double>(all));
    EXPECT_LE(static_cast<double>(unsure),
              0.02 * static_cast<double>(all));  // 7 of 420; by most of the notes alone 91
}

TEST(Learners, AnotherLickOnTheSameHarpIsTold) {
    std::size_t taken = 0, all = 0;
    for (std::uint64_t seed = 1; seed <= takes; ++seed) {
        support::Dice dice{seed * 104729};
        lick::Lick lick = lick_number(seed);
        for (std::uint64_t other = seed + 1; other <= seed + 6; ++other) {
            lick.head.harp = lick_number(other).head.harp;
            taken += compare(lick, uneven(lick_number(other), dice)).same_lick ? 1 : 0;
            ++all;
        }
    }
    EXPECT_LE(static_cast<double>(taken), 0.03 * static_cast<double>(all));
}

// Half of nearly any phrase fits, at some tempo. Who plays half of it wrong at a tempo of a learner is believed more than who is said
// to have begun four times as fast.
TEST(Learners, AnAbsurdTempoAsksForMore) {
    std::size_t learner = 0, absurd = 0, right = 0;
    for (std::uint64_t seed = 1; seed <= takes; ++seed) {
        const lick::Lick lick = lick_number(seed);
        for (const double times : {0.8, 4.0}) {
            support::Dice dice{seed * 31};
            Notes take = test::heard(lick, {.tempo = lick.head.tempo.value * times});
            right += compare(lick, take).same_lick ? 1 : 0;
            play_wrong(take, lick, 0.4, dice);
            (times < 1.0 ? learner : absurd) += compare(lick, take).same_lick ? 1 : 0;
        }
    }
    EXPECT_GE(right, 2 * takes - 2);  // all of it fits: then no tempo is absurd
    EXPECT_GE(learner, takes / 2);
    EXPECT_LE(absurd, learner / 2);
}

// By its pitches, on every harp that is made, as `compare` looks for another harp.
TEST(Learners, NoKeyOfHarpMakesAnotherLickThisOne) {
    std::size_t taken = 0;
    for (std::uint64_t seed = 1; seed <= takes; ++seed) {
        support::Dice dice{seed * 104729};
        Notes take = uneven(lick_number(seed + 300), dice);
        for (hear::HeardNote& n : take) {
            n.tab.holes.clear();
            n.bend_path.clear();
        }
        lick::Lick lick = lick_number(seed);
        bool sure = false;
        for (const HarpGuess& g : rank_harps(take)) {
            lick.head.harp.key = g.harp.key;
            lick.head.harp.octave = g.harp.octave;
            sure = sure || surely_same(compare(lick, take));
        }
        taken += sure ? 1 : 0;
    }
    EXPECT_EQ(taken, 0U);
}

// Every key of harp is tried: what half fits at a tempo that runs away is not this lick, a slow and uneven learner is.
TEST(SurelySame, AsksForNotesAndAPulse) {
    Comparison learner;
    learner.same_lick = true;
    learner.likeness = 0.85;
    learner.drift = 0.7;  // 30 % slower by the end
    learner.tempo = BeatsPerMinute{50.0};
    learner.evenness = Seconds{0.15};
    EXPECT_TRUE(surely_same(learner));
    Comparison other = learner;
    other.same_lick = false;
    EXPECT_FALSE(surely_same(other));
    other = learner;
    other.likeness = 0.65;  // and no rhythm that says more
    EXPECT_FALSE(surely_same(other));
    for (const double step : {0.5, 0.5, 0.25, 0.25, 0.5, 0.75, 0.25}) {
        NoteGrade g;
        g.note = other.notes.size();
        g.came = Came::right;
        g.due = other.notes.empty() ? Seconds{1.0} : other.notes.back().due + Seconds{step};
        other.notes.push_back(g);
    }
    other.evenness = Seconds{0.05};
    EXPECT_TRUE(surely_same(other));
    other.evenness = Seconds{0.17};
    EXPECT_FALSE(surely_same(other));
    other.evenness = Seconds{0.05};
    for (NoteGrade& g : other.notes) g.due = Seconds{0.5 * static_cast<double>(g.note)};
    EXPECT_FALSE(surely_same(other));
    for (const double drift : {0.4, 2.6}) {
        other = learner;
        other.drift = drift;
        EXPECT_FALSE(surely_same(other)) << drift;
    }
    other = learner;
    other.evenness = Seconds{0.3};
    EXPECT_FALSE(surely_same(other));
}

}  // namespace
}  // namespace lw::coach
