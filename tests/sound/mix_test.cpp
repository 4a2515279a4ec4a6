// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/sound/mix.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "engine/sound/click.hpp"
#include "tests/sound/licks.hpp"

namespace lw::sound {
namespace {

using harp::Breath;
using test::bar;
using test::lick_of;
using test::note;
using test::rest;
using test::tab;

lick::Lick walk() {
    return lick_of({bar({rest(0, 1), note(1, 1, tab(2, Breath::draw)), note(2, 1, tab(3, Breath::draw, 1)),
                         note(3, 1, tab(4, Breath::blow))}),
                    bar({note(0, 2, tab(4, Breath::draw)), note(2, 2, tab(2, Breath::draw))})},
                   "C", 97);
}

double peak_of(const std::vector<float>& x, std::size_t from, std::size_t to) {
    double peak = 0.0;
    for (std::size_t i = from; i < std::min(to, x.size()); ++i) peak = std::max(peak, std::abs(double{x[i]}));
    return peak;
}

/// The first sample from `from` on that reaches a fifth of the highest one in the next 40 ms.
std::size_t onset_in(const Clip& clip, std::size_t from) {
    const std::size_t end = from + static_cast<std::size_t>(0.04 * clip.rate.value);
    double peak = 0.0;
    for (std::size_t i = from; i < std::min(end, clip.frames()); ++i) {
        peak = std::max(peak, std::abs(double{clip.samples[2 * i]}));
    }
    for (std::size_t i = from; i < std::min(end, clip.frames()); ++i) {
        if (std::abs(double{clip.samples[2 * i]}) >= 0.2 * peak) return i;
    }
    return end;
}

TEST(Mix, ClicksStandWithinOneMillisecondOfTheModel) {
    for (const double tempo : {52.0, 97.0, 173.0}) {
        lick::Lick l = walk();
        l.head.tempo = BeatsPerMinute{tempo};
        const Performance p = perform(l, {.repeats = 2});
        for (const double rate : {48000.0, 44100.0}) {
            const Clip clicks =
                render_clip(l.head.harp, p, {.harp = false, .normalise = false, .rate = Hz{rate}});
            ASSERT_GT(p.clicks.size(), 20u);
            for (const Click& click : p.clicks) {
                const double from = std::max(0.0, click.at.value - 0.01);
                const double at =
                    static_cast<double>(onset_in(clicks, static_cast<std::size_t>(from * rate))) / rate;
                EXPECT_NEAR(at, click.at.value, 0.001);
            }
        }
        // In the full mix the count is just as exact.
        const Clip mix = render_clip(l.head.harp, p);
        for (const Click& click : p.clicks) {
            if (!click.count_in || click.at.value > p.notes.front().onset.value) continue;
            const double from = std::max(0.0, click.at.value - 0.01);
            EXPECT_NEAR(
                static_cast<double>(onset_in(mix, static_cast<std::size_t>(from * 48000.0))) / 48000.0,
                click.at.value, 0.001);
        }
    }
}

TEST(Mix, ClipsStandAtMinus16AndKeepTheirPeaks) {
    for (const char* harp : {"low C", "G", "C", "F#", "high G"}) {
        for (const bool click_through : {true, false}) {
            lick::Lick l = walk();
            l.head.harp = *harp::harp_named(harp);
            const Clip clip = render_clip(l.head.harp, perform(l, {.click_through = click_through}));
            LoudnessMeter meter{2, clip.rate};
            meter.add(clip.samples);
            EXPECT_NEAR(meter.integrated().value, -16.0, 0.1) << harp;
            EXPECT_LE(to_decibels(true_peak(clip.samples, 2, clip.rate)).value, -1.5 + 1e-3) << harp;
        }
    }
}

TEST(Mix, LimiterHoldsPeaksOfASparseClip) {
    // One short note in a long count: only a limiter brings it near -16.
    const lick::Lick l =
        lick_of({bar({rest(0, 3), test::with(note(3, {1, 4}, tab(4, Breath::blow)), lick::Gesture::brief),
                      rest({13, 4}, {3, 4})})},
                "C", 60);
    const Clip clip = render_clip(l.head.harp, perform(l));
    EXPECT_LE(to_decibels(true_peak(clip.samples, 2, clip.rate)).value, -1.5 + 1e-3);
    LoudnessMeter meter{2, clip.rate};
    meter.add(clip.samples);
    EXPECT_GT(meter.integrated().value, -25.0);  // where 9 dB of limiting end
    EXPECT_LE(meter.integrated().value, -15.9);
}

TEST(Mix, StartsAndEndsQuietlyWithoutPops) {
    for (const bool count_in : {true, false}) {
        const lick::Lick l = lick_of({bar({note(0, 4, tab(4, Breath::draw))})});
        const Performance p = perform(l, {.count_in = count_in, .click_through = count_in});
        const Clip clip = render_clip(l.head.harp, p);
        EXPECT_EQ(clip.frames(), static_cast<std::size_t>(std::ceil(p.length.value * 48000.0)));
        EXPECT_LT(peak_of(clip.samples, 0, 2), 0.01);
        EXPECT_LT(peak_of(clip.samples, clip.samples.size() - 9600, clip.samples.size()), 1e-4);
    }
}

TEST(Mix, ClickIsClearAndNotPainful) {
    // The count stands out from silence but stays under the harp's own peaks; under the phrase it steps back.
    const lick::Lick l = walk();
    const Performance p = perform(l);
    const MixChoices raw{.normalise = false};
    MixChoices only_harp = raw;
    only_harp.clicks = false;
    const Clip harp = render_clip(l.head.harp, p, only_harp);
    const double harp_peak = peak_of(harp.samples, 0, harp.samples.size());
    for (const bool first : {true, false}) {
        const double count =
            peak_of(click_sound(first, clip_rate), 0, 3000) * click_level({{}, first, true, 1});
        const double under =
            peak_of(click_sound(first, clip_rate), 0, 3000) * click_level({{}, first, false, 1});
        EXPECT_LT(count, 1.1 * harp_peak);
        EXPECT_GT(count, 0.4 * harp_peak);
        EXPECT_LT(under, 0.7 * count);
        EXPECT_GT(under, 0.2 * harp_peak);
    }
}

TEST(Mix, SilenceStaysSilence) {
    const lick::Lick l = lick_of({bar({rest(0, 4)})});
    const Clip clip = render_clip(l.head.harp, perform(l, {.count_in = false, .click_through = false}));
    EXPECT_EQ(peak_of(clip.samples, 0, clip.samples.size()), 0.0);
}

TEST(Mix, SameClipTwice) {
    const lick::Lick l = walk();
    EXPECT_EQ(render_clip(l.head.harp, perform(l)).samples, render_clip(l.head.harp, perform(l)).samples);
}

}  // namespace
}  // namespace lw::sound
