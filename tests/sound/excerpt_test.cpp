// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/sound/excerpt.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "engine/sound/reed_voice.hpp"
#include "tests/sound/aubio_pitch.hpp"
#include "tests/sound/licks.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::sound {
namespace {

using harp::Breath;
using test::bar;
using test::lick_of;
using test::note;
using test::tab;

/// Four quarters: 4 blow, 4 draw, 5 blow, 5 draw; then a bar of 6 blow. 120 beats a minute.
lick::Lick scale() {
    return lick_of({bar({note(0, 1, tab(4, Breath::blow)), note(1, 1, tab(4, Breath::draw)),
                         note(2, 1, tab(5, Breath::blow)), note(3, 1, tab(5, Breath::draw))}),
                    bar({note(0, 4, tab(6, Breath::blow))})});
}

const ReedTables& tables() {
    static const ReedTables t;
    return t;
}

TEST(Excerpt, TimeOfABeatIsWhereItsNoteBegins) {
    for (const bool count_in : {false, true}) {
        const Performance p = perform(scale(), {.count_in = count_in});
        for (int beat = 0; beat < 4; ++beat)
            EXPECT_NEAR(time_of(p, Beats{Fraction{beat}}).value,
                        p.notes[static_cast<std::size_t>(beat)].onset.value, 1e-9);
        // Beyond the ends the tempo goes on: half a second a beat.
        EXPECT_NEAR((time_of(p, Beats{Fraction{10}}) - time_of(p, Beats{Fraction{8}})).value, 1.0, 1e-9);
    }
}

TEST(Excerpt, HoldsTheNotesThatBeginInside) {
    const Performance p = perform(scale(), {.count_in = true});
    const Performance part = excerpt(p, time_of(p, Beats{Fraction{1}}), time_of(p, Beats{Fraction{3}}));
    ASSERT_EQ(part.notes.size(), 2U);
    EXPECT_EQ(part.notes[0].tab, tab(4, Breath::draw));
    EXPECT_NEAR(part.notes[0].onset.value, 0.0, 1e-6);
    EXPECT_NEAR(part.notes[1].onset.value, 0.5, 1e-6);
    EXPECT_NEAR(part.length.value, 1.0, 1e-9);
    for (const SoundedNote& n : part.notes) EXPECT_LE(n.offset.value, part.length.value + 1e-9);
    // Two clicks of the phrase, none of the count.
    ASSERT_EQ(part.clicks.size(), 2U);
    EXPECT_EQ(part.clicks[0].number, 2);
}

TEST(Excerpt, EveryWholeIsTheSumOfItsParts) {
    for (std::uint32_t seed = 1; seed <= 40; ++seed) {
        const lick::Lick l = support::random_lick(seed);
        const Performance p = perform(l, {.count_in = false});
        const Seconds end = p.length + Seconds{1.0};
        const Seconds middle{p.length.value * 0.41};
        const std::size_t all = excerpt(p, Seconds{-10.0}, end).notes.size();
        EXPECT_EQ(all, p.notes.size()) << seed;
        EXPECT_EQ(excerpt(p, Seconds{-10.0}, middle).notes.size() + excerpt(p, middle, end).notes.size(), all)
            << seed;
    }
}

TEST(Excerpt, GoesRoundWithoutASeam) {
    const lick::Lick l = scale();
    const Performance p = perform(l, {.count_in = false});
    const Performance part = excerpt(p, time_of(p, Beats{Fraction{0}}), time_of(p, Beats{Fraction{4}}));
    const std::vector<float> once = render_loop(tables(), l.head.harp, part, clip_rate);
    ASSERT_EQ(once.size(), 96000U);  // 2 s to the sample
    // The step from the last sample to the first is no larger than steps within.
    float largest = 0.0F;
    for (std::size_t i = 1; i < once.size(); ++i)
        largest = std::max(largest, std::abs(once[i] - once[i - 1]));
    EXPECT_LE(std::abs(once.front() - once.back()), largest);
    // aubio hears 4 blow of a C harp (E5 is hole 5; hole 4 blow is C5, 523.25 Hz) in the first beat of the second round.
    std::vector<float> twice = once;
    twice.insert(twice.end(), once.begin(), once.end());
    const std::vector<double> heard =
        test::pitches(std::span{twice}.subspan(96000 + 4800, 14400), clip_rate.value, 2048);
    std::vector<double> sounding;
    for (const double hz : heard)
        if (hz > 0.0) sounding.push_back(hz);
    ASSERT_GT(sounding.size(), 10U);
    std::nth_element(sounding.begin(), sounding.begin() + static_cast<std::ptrdiff_t>(sounding.size() / 2),
                     sounding.end());
    EXPECT_NEAR(1200.0 * std::log2(sounding[sounding.size() / 2] / 523.2511), 0.0, 3.0);
}

TEST(Excerpt, NothingInsideIsSilence) {
    const Performance p = perform(scale(), {.count_in = false});
    const Performance none = excerpt(p, Seconds{1.0}, Seconds{1.0});
    EXPECT_TRUE(none.notes.empty());
    EXPECT_TRUE(render_loop(tables(), scale().head.harp, none, clip_rate).empty());
}

}  // namespace
}  // namespace lw::sound
