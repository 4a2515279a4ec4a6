// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our files read by others: flac, ogginfo, ffmpeg and ffprobe.
#include "workshop/audio/encode.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <thread>

#include "tests/audio/clips.hpp"
#include "workshop/audio/ogg_serial.hpp"

namespace lw::audio {
namespace {

using test::clip_of;
using test::phrase;
using test::run;
using test::TempFile;
using testing::HasSubstr;
using testing::Not;

constexpr std::array every_format = {Format::wav, Format::flac, Format::mp3, Format::ogg};
const Tags tags{"Porch Walk, 96 beats a minute", "A Teacher", ""};

const sound::Clip& clip() {
    static const sound::Clip c = clip_of(phrase());
    return c;
}

std::string text_of(const std::vector<std::uint8_t>& bytes) {
    return {bytes.begin(), bytes.end()};
}

TEST(Encode, NamesGoBothWays) {
    for (const Format f : every_format) EXPECT_EQ(format_named(name(f)), f);
    EXPECT_FALSE(format_named("aiff"));
}

TEST(Encode, SameBytesOnEveryRun) {
    std::vector<std::vector<std::uint8_t>> first;
    for (const Format f : every_format) first.push_back(encode(clip(), f, tags));
    // Past a full second, so that a clock in a file would show.
    std::this_thread::sleep_for(std::chrono::milliseconds{1001});
    for (const Format f : every_format) {
        EXPECT_EQ(first[static_cast<std::size_t>(f)], encode(clip(), f, tags)) << name(f);
    }
}

TEST(Encode, WavHasNoDatedChunk) {
    const std::string wav = text_of(encode(clip(), Format::wav, tags));
    EXPECT_EQ(wav.substr(0, 4), "RIFF");
    EXPECT_THAT(wav.substr(0, 400), Not(HasSubstr("PEAK")));
    // 16 bit, two channels: 4 bytes a frame.
    EXPECT_NEAR(static_cast<double>(wav.size()), static_cast<double>(clip().frames() * 4), 400.0);
}

TEST(Encode, FlacPassesItsOwnTest) {
    const TempFile file{"a.flac", encode(clip(), Format::flac, tags)};
    const test::Ran ran = run("flac -t " + file.path());
    EXPECT_EQ(ran.status, 0) << ran.output;
    const test::Ran named = run("metaflac --list --block-type=VORBIS_COMMENT " + file.path());
    EXPECT_THAT(named.output, HasSubstr("title=" + tags.title));
    EXPECT_THAT(named.output, HasSubstr("artist=" + tags.artist));
}

TEST(Encode, OgginfoFindsNothingWrong) {
    const TempFile file{"a.ogg", encode(clip(), Format::ogg, tags)};
    const test::Ran ran = run("ogginfo " + file.path());
    EXPECT_EQ(ran.status, 0) << ran.output;
    EXPECT_THAT(ran.output, Not(HasSubstr("WARNING")));
    EXPECT_THAT(ran.output, HasSubstr("serial: 6b63696c"));
    EXPECT_THAT(ran.output, HasSubstr("TITLE=" + tags.title));
}

TEST(Encode, FfmpegDecodesEveryFormatToTheRightLength) {
    for (const Format f : every_format) {
        const TempFile file{"a." + std::string{name(f)}, encode(clip(), f, tags)};
        const test::Ran ran = run("ffmpeg -v error -xerror -i " + file.path() + " -f s16le - | wc -c");
        ASSERT_EQ(ran.status, 0) << ran.output;
        const double frames = std::stod(ran.output) / 4.0;
        // An MP3 frame is 1152 samples; the encoder's delay is in its head and is taken off by readers.
        const double slack = f == Format::mp3 ? 1152.0 : 0.0;
        EXPECT_NEAR(frames, static_cast<double>(clip().frames()), slack) << name(f);
        const test::Ran probe =
            run("ffprobe -v error -show_entries "
                "stream=sample_rate,channels:format_tags=title:stream_tags=title -of "
                "default=nk=1:nw=1 " +
                file.path());
        EXPECT_THAT(probe.output, HasSubstr("48000\n2\n")) << name(f);
        EXPECT_THAT(probe.output, HasSubstr(tags.title)) << name(f);
    }
}

TEST(Encode, WhatComesBackIsWhatWentIn) {
    for (const Format f : every_format) {
        const sound::Clip back = decode(encode(clip(), f, tags));
        ASSERT_EQ(back.channels, 2);
        ASSERT_NEAR(static_cast<double>(back.frames()), static_cast<double>(clip().frames()), 1152.0);
        double signal = 0.0;
        double error = 0.0;
        for (std::size_t i = 0; i < std::min(back.samples.size(), clip().samples.size()); ++i) {
            signal += std::pow(clip().samples[i], 2);
            error += std::pow(clip().samples[i] - back.samples[i], 2);
        }
        const double ratio_db = 10.0 * std::log10(signal / error);
        const bool exact = f == Format::wav || f == Format::flac;
        EXPECT_GT(ratio_db, exact ? 75.0 : 12.0) << name(f);  // aligned, at the very least
    }
}

TEST(Encode, SizesAreTheUsualOnes) {
    const double seconds = clip().length().value;
    const auto kbits = [&](Format f) {
        return static_cast<double>(encode(clip(), f).size()) * 8.0 / seconds / 1000.0;
    };
    EXPECT_LT(kbits(Format::mp3), 230.0);
    EXPECT_GT(kbits(Format::mp3), 60.0);
    EXPECT_LT(kbits(Format::ogg), 200.0);
    EXPECT_LT(kbits(Format::flac), 0.7 * kbits(Format::wav));
}

TEST(Encode, AnEmptyClipIsStillAFile) {
    for (const Format f : {Format::wav, Format::flac}) {
        const TempFile file{"e." + std::string{name(f)}, encode(sound::Clip{}, f)};
        EXPECT_EQ(run("ffprobe -v error " + file.path()).status, 0) << name(f);
    }
}

TEST(Encode, AnImpossibleClipIsRefusedWithWords) {
    sound::Clip odd = clip();
    odd.rate = Hz{12345.0};  // no MP3 has it
    try {
        (void)encode(odd, Format::mp3);
        FAIL() << "taken";
    } catch (const EncodingFailed& e) {
        EXPECT_THAT(e.what(), HasSubstr("mp3"));
    }
    EXPECT_THROW((void)decode({1, 2, 3}), EncodingFailed);
}

TEST(OggSerial, RefusesWhatIsNotOgg) {
    std::vector<std::uint8_t> bytes = encode(clip(), Format::ogg);
    std::vector<std::uint8_t> cut{bytes.begin(), bytes.end() - 10};
    const std::vector<std::uint8_t> before = cut;
    EXPECT_FALSE(set_ogg_serial(cut, 1));
    EXPECT_EQ(cut, before);
    ASSERT_TRUE(set_ogg_serial(bytes, 7));
    EXPECT_EQ(bytes[14], 7);
}

}  // namespace
}  // namespace lw::audio
