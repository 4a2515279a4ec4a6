// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/coach/clicks.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "engine/sound/mix.hpp"
#include "tests/coach/planted.hpp"

namespace lw::coach {
namespace {

/// Our own practice clip: click and reed voice in one channel.
std::optional<ClickTrack> found(const lick::Lick& lick, bool click, float gain = 1.0F) {
    const sound::Performance p = sound::perform(
        lick, {.tempo = lick.head.tempo, .repeats = 1, .count_in = true, .click_through = true});
    sound::MixChoices mix;
    mix.clicks = click;
    const sound::Clip clip = sound::render_clip(lick.head.harp, p, mix);
    ClickFinder finder{clip.rate.value};
    std::vector<float> left;
    for (std::size_t i = 0; i < clip.frames(); ++i)
        left.push_back(gain * clip.samples[i * static_cast<std::size_t>(clip.channels)]);
    for (std::size_t at = 0; at < left.size(); at += 1000)
        finder.push(std::span{left}.subspan(at, std::min<std::size_t>(1000, left.size() - at)));
    return finder.find(p.notes.front().onset);
}

TEST(Clicks, TheCountOfOurOwnClipsIsFound) {
    for (const auto text : {test::porch, test::gate, test::straight}) {
        const lick::Lick lick = test::typed(text);
        const auto click = found(lick, true);
        ASSERT_TRUE(click);
        EXPECT_NEAR(click->period.value, 60.0 / lick.head.tempo.value, 0.003);
        EXPECT_NEAR(click->first.value, 0.0, 0.05);
        EXPECT_GE(click->count, 4);
    }
}

// A phone across the room: what counts is how far a click stands out of its own recording.
TEST(Clicks, AQuietRecordingKeepsItsClick) {
    for (const float gain : {0.1F, 0.01F}) {
        const auto click = found(test::typed(test::porch), true, gain);
        ASSERT_TRUE(click) << gain;
        EXPECT_EQ(click->count, found(test::typed(test::porch), true)->count) << gain;
    }
}

/// Bursts of 10 ms, as a metronome or a stick gives, every half a second from 0.3 s.
std::optional<ClickTrack> knocked(const std::vector<double>& at, Seconds first_note,
                                  double second_level = 1.0) {
    constexpr double rate = 48000.0, pi = 3.14159265358979;
    std::vector<float> sound(static_cast<std::size_t>(6.0 * rate), 0.0F);
    for (std::size_t k = 0; k < at.size(); ++k)
        for (int i = 0; i < 480; ++i)
            sound[static_cast<std::size_t>(at[k] * rate) + static_cast<std::size_t>(i)] =
                0.3F * static_cast<float>((k == 1 ? second_level : 1.0) *
                                          std::sin(2.0 * pi * 1500.0 * i / rate) * (1.0 - i / 480.0));
    ClickFinder finder{rate};
    finder.push(sound);
    return finder.find(first_note);
}
std::optional<ClickTrack> counted(int clicks, Seconds first_note) {
    std::vector<double> at;
    for (int k = 0; k < clicks; ++k) at.push_back(0.3 + 0.5 * k);
    return knocked(at, first_note);
}

// Four are counted, the downbeat is silent: the phrase may begin anywhere in its bar.
TEST(Clicks, ABarIsCountedBeforeAPhraseThatBeginsLate) {
    for (const double beat : {0.0, 0.5, 1.0, 1.5, 2.0, 3.0}) {
        const auto click = counted(4, Seconds{0.3 + 0.5 * (4.0 + beat)});
        ASSERT_TRUE(click) << beat;
        EXPECT_NEAR(click->first.value, 0.3, 0.01);
        EXPECT_NEAR(click->period.value, 0.5, 0.005);
    }
    EXPECT_FALSE(counted(4, Seconds{0.3 + 0.5 * 9.0})) << "a bar of silence later nobody counts any more";
}

// A bar of three, counted, and then a silent downbeat. Three knocks are a count only when they are alike and alone.
TEST(Clicks, ABarOfThreeMayBeCountedToo) {
    const auto click = counted(3, Seconds{0.3 + 0.5 * 4.0});
    ASSERT_TRUE(click);
    EXPECT_EQ(click->counted, 3);
    EXPECT_NEAR(click->period.value, 0.5, 0.005);
    EXPECT_FALSE(counted(3, Seconds{0.3 + 0.5 * 7.0})) << "a bar later nobody counts any more";
    EXPECT_FALSE(knocked({0.3, 0.84, 1.3}, Seconds{2.3})) << "uneven";
    EXPECT_FALSE(knocked({0.3, 0.55, 0.8, 1.38}, Seconds{2.3})) << "one more that is not of the row";
    EXPECT_FALSE(knocked({0.3, 0.8, 1.3}, Seconds{2.3}, 0.1)) << "one is 20 dB softer";
}

// Bursts are found to 4 ms. Eight seconds later that must not have become 70.
TEST(Clicks, TheGridHoldsToTheEnd) {
    std::vector<double> at;
    for (const int beat : {0, 1, 2, 3, 9, 14}) at.push_back(0.3 + 0.3515 * beat);
    const auto click = knocked(at, Seconds{0.3 + 0.3515 * 4});
    ASSERT_TRUE(click);
    EXPECT_EQ(click->count, 6);
    EXPECT_NEAR((click->first + click->period * 24.0).value, 0.3 + 0.3515 * 24, 0.012);
}

TEST(Clicks, AHarpAloneIsNoClick) {
    for (const auto text : {test::porch, test::gate, test::straight})
        EXPECT_FALSE(found(test::typed(text), false));
}

TEST(Clicks, SilenceAndNoiseHaveNone) {
    ClickFinder silence{8000.0};
    silence.push(std::vector<float>(80000, 0.0F));
    EXPECT_FALSE(silence.find(Seconds{9.0}));
    ClickFinder noise{192000.0};
    support::Dice dice{5};
    std::vector<float> hiss(400000);
    for (float& s : hiss) s = static_cast<float>(0.1 * test::bell(dice));
    hiss[77] = std::numeric_limits<float>::quiet_NaN();
    noise.push(hiss);
    EXPECT_FALSE(noise.find(Seconds{2.0}));
}

}  // namespace
}  // namespace lw::coach
