// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is plucked or struck, bowed or blown without a free reed is refused, and no free reed is: the same phrases by
// strings, brass and reeds of soundfonts that we did not make (Debian's FluidR3 and TimGM6mb, programs of General MIDI 1
// counted from 0).
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "tests/hear/listening/reed_samples.hpp"
#include "tests/hear/listening/synth.hpp"
#include "workshop/listen/listening.hpp"

namespace lw::listen {
namespace {

struct Played {
    double beat;
    double beats;
    int key;
};
// A phrase with a fast start, and an even tune.
const std::vector<Played> lick{{0, 0.33, 67}, {0.33, 0.33, 70}, {0.67, 0.33, 72}, {1, 1, 73},  {2, 1, 74},
                               {3, 0.67, 74}, {3.67, 0.33, 70}, {4, 1, 71},       {6, 1.2, 67}};
const std::vector<Played> tune{{0, 1, 72},     {1, 1, 74},  {2, 1, 76},   {3, 1, 72},     {4, 1, 76},
                               {5, 1, 77},     {6, 2, 79},  {8, 0.5, 79}, {8.5, 0.5, 81}, {9, 0.5, 79},
                               {9.5, 0.5, 77}, {10, 1, 76}, {11, 1, 72},  {12, 1, 72}};

/// Why `notes`, at `tempo` beats a minute, are no harp when `program` plays them; "" when they may be one.
std::string refusal(const std::string& font, int program, const std::vector<Played>& notes, double tempo) {
    listening::Synth synth{font, 16};
    EXPECT_TRUE(synth.loaded()) << font;
    synth.program(0, 0, program);
    std::vector<listening::Message> messages{
        {.at = {}, .kind = listening::Message::Kind::wheel, .first = 8192}};
    const double beat = 60.0 / tempo;
    Seconds end;
    for (const Played& n : notes) {
        const Seconds on{0.5 + n.beat * beat}, off{on.value + 0.96 * n.beats * beat};
        messages.push_back({.at = on, .first = n.key, .second = 96});
        messages.push_back({.at = off, .kind = listening::Message::Kind::off, .first = n.key});
        end = off + Seconds{1.0};
    }
    const auto samples = synth.render(messages, end);
    const auto why = no_harp(hear::listen(samples, listening::take_rate), "take");
    return why ? why->words : std::string{};
}

class Fonts : public ::testing::TestWithParam<const char*> {
  protected:
    void SetUp() override {
        const auto* instrument = listening::instrument_named(GetParam());
        if (!listening::installed(*instrument)) GTEST_SKIP() << "needs " << instrument->package;
        font = instrument->source;
    }
    std::string font;
};

TEST_P(Fonts, GuitarsBanjoAndPianoAreRefused) {
    for (const int program : {0, 24, 27, 105}) EXPECT_NE(refusal(font, program, tune, 100.0), "") << program;
    // Of TimGM6mb's steel guitar, loudest after 30 ms and fading by 14 dB a second as a harmonica may, some are let in.
    if (font.find("FluidR3") == std::string::npos) return;
    EXPECT_NE(refusal(font, 25, tune, 100.0), "");
    // FluidR3's steel guitar rings on in the fast phrase, and is let in; the banjo is not.
    EXPECT_NE(refusal(font, 105, lick, 92.0), "");
}

// Electric piano, strings, trumpet, brass, soprano saxophone: they hold their notes, or some of them.
TEST_P(Fonts, WhatHoldsItsNotesIsRefusedToo) {
    for (const int program : {4, 48, 56, 61, 64})
        EXPECT_NE(refusal(font, program, tune, 100.0), "") << program;
}

TEST_P(Fonts, ReedsAreNot) {
    for (const int program : {20, 21, 22, 23}) {
        EXPECT_EQ(refusal(font, program, tune, 100.0), "") << program;
        EXPECT_EQ(refusal(font, program, lick, 92.0), "") << program;
    }
}

INSTANTIATE_TEST_SUITE_P(Plucked, Fonts, ::testing::Values("fluid-harmonica", "tim-accordion"));

}  // namespace
}  // namespace lw::listen
