// SPDX-License-Identifier: GPL-3.0-or-later
//
// Talk is no lick: five sentences by four voices of flite, the speech synthesiser within Debian's ffmpeg. And a take with a
// sentence before it is still a take.
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <memory>
#include <string>
#include <vector>

#include "tests/hear/listening/take.hpp"
#include "workshop/listen/listening.hpp"

namespace lw::listen {
namespace {

/// Mono, 16 kHz; empty when ffmpeg cannot.
std::vector<float> said(const std::string& sentence, const std::string& voice) {
    const std::string command = "ffmpeg -loglevel error -f lavfi -i \"flite=text='" + sentence +
                                "':voice=" + voice + "\" -ac 1 -ar 16000 -f f32le - 2>/dev/null";
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe{popen(command.c_str(), "r"), pclose};
    std::vector<float> samples;
    std::array<float, 4096> block{};
    while (const std::size_t n = pipe ? std::fread(block.data(), sizeof(float), block.size(), pipe.get()) : 0)
        samples.insert(samples.end(), block.begin(), block.begin() + static_cast<std::ptrdiff_t>(n));
    return samples;
}

const std::array<const char*, 5> sentences = {
    "Hello and welcome to this weeks lesson we play three licks today", "Take the second hole and draw",
    "One two three four now you", "Let us slow it down and listen to the bend once more",
    "Good morning how are you where were you all year long"};

TEST(Talk, IsNoLick) {
    int notes = 0;
    for (const char* voice : {"awb", "kal", "rms", "slt"})
        for (const char* sentence : sentences) {
            const auto samples = said(sentence, voice);
            ASSERT_GT(samples.size(), 10000U) << "ffmpeg has no flite";
            const hear::Heard heard = hear::listen(samples, 16000.0);
            notes += static_cast<int>(heard.notes.size());
            EXPECT_TRUE(no_harp(heard, "talk")) << voice << ": " << sentence;
        }
    EXPECT_GT(notes, 20);  // vowels are notes to the ear: it is not by hearing nothing that talk is known
}

TEST(Talk, BeforeATakeIsLetPass) {
    auto maker = listening::TakeMaker::open(*listening::instrument_named("fluid-harmonica"));
    ASSERT_TRUE(maker) << "tools/setup --tests brings the soundfonts";
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        auto samples = said(sentences[seed], seed % 2 == 0 ? "slt" : "awb");
        const listening::Take take = maker->make({.seed = seed});
        samples.insert(samples.end(), take.samples.begin(), take.samples.end());
        const auto why = no_harp(hear::listen(samples, listening::take_rate), "take");
        EXPECT_FALSE(why) << why->words;
    }
}

}  // namespace
}  // namespace lw::listen
