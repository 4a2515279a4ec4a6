// SPDX-License-Identifier: GPL-3.0-or-later
// Captions, read by the W3C's own parser (npm package webvtt-parser 2.2.0).
#include "engine/exchange/webvtt.hpp"

#include <gtest/gtest.h>

#include "tests/exchange/lick_by_hand.hpp"
#include "tests/exchange/outside.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::exchange {
namespace {

using by_hand::tab;
using lick::Breath;

lick::Lick small_lick() {
    lick::Lick lick;
    lick.head.title = "Two & <three>";
    lick.head.tempo = BeatsPerMinute{60.0};
    lick.bars.push_back(
        by_hand::bar_of({tab({4}, Breath::draw, 2), tab({4}, Breath::draw), tab({2, 3}, Breath::draw)}));
    return lick;
}

// WebVTT, section 4: timestamps, blank lines, escapes.
TEST(WebVtt, ReadsAsWritten) {
    const lick::Lick lick = small_lick();
    EXPECT_EQ(webvtt(captions(lick, sound::perform(lick)), "a --> b"), R"(WEBVTT

NOTE a -- > b

1
00:00:00.000 --> 00:00:04.000
count: 1 2 3 4

2
00:00:04.000 --> 00:00:05.000
beat 1: 4 draw bent a half step

3
00:00:05.000 --> 00:00:06.000
beat 2: 4 draw

4
00:00:06.000 --> 00:00:07.280
beat 3: 2 and 3 draw
)");
    EXPECT_EQ(webvtt({{Seconds{1.0}, Seconds{1.0}, {"a < b & c > d"}}}, ""),
              "WEBVTT\n\n1\n00:00:01.000 --> 00:00:01.001\na &lt; b &amp; c &gt; d\n");
}

TEST(WebVtt, Times) {
    EXPECT_EQ(webvtt_time(Seconds{0.0}), "00:00:00.000");
    EXPECT_EQ(webvtt_time(Seconds{2.6094}), "00:00:02.609");
    EXPECT_EQ(webvtt_time(Seconds{3599.9996}), "01:00:00.000");
    EXPECT_EQ(webvtt_time(Seconds{360000.05}), "100:00:00.050");
}

TEST(WebVtt, AnIndependentParserFindsEveryCueAndNoFault) {
    const auto folder = outside::fresh_folder("webvtt");
    std::vector<std::filesystem::path> files;
    std::vector<std::vector<Cue>> expected;
    std::vector<sound::Performance> performances;
    for (std::uint64_t seed = 300; seed < 360; ++seed) {
        const lick::Lick lick = support::random_lick(seed);
        sound::Choices choices;
        choices.repeats = seed % 2 == 0 ? 1 : 2;
        choices.count_in = seed % 5 != 0;
        performances.push_back(sound::perform(lick, choices));
        expected.push_back(captions(lick, performances.back()));
        files.push_back(folder / (std::to_string(seed) + ".vtt"));
        outside::write(files.back(), webvtt(expected.back(), lick.head.title + " -->"));
    }
    const auto read = outside::run_node("read_webvtt.cjs", files);
    std::size_t cues = 0;
    for (std::size_t f = 0; f < read.size(); ++f) {
        EXPECT_EQ(read[f]["errors"].size(), 0U) << read[f]["errors"].dump();
        ASSERT_EQ(read[f]["cues"].size(), expected[f].size());
        double before = 0.0;
        for (std::size_t c = 0; c < expected[f].size(); ++c) {
            const auto& cue = read[f]["cues"][c];
            EXPECT_EQ(cue[0], std::to_string(c + 1));
            EXPECT_NEAR(cue[1].get<double>(), expected[f][c].from.value, 0.00051);
            EXPECT_NEAR(cue[2].get<double>(), expected[f][c].to.value, 0.0016);
            EXPECT_GE(cue[1].get<double>(), before - 0.0005);
            before = cue[2];
            std::string words;
            for (const std::string& line : expected[f][c].lines) words += (words.empty() ? "" : "\n") + line;
            EXPECT_EQ(cue[3], words);
            EXPECT_LE(expected[f][c].lines.size(), 2U);
            ++cues;
        }
        // Every note starts while a cue is up.
        for (const sound::SoundedNote& note : performances[f].notes)
            EXPECT_TRUE(std::any_of(expected[f].begin(), expected[f].end(), [&](const Cue& c) {
                return c.from <= note.onset && note.onset < c.to;
            })) << note.onset.value;
    }
    EXPECT_GT(cues, 1000U);
}

}  // namespace
}  // namespace lw::exchange
