// SPDX-License-Identifier: GPL-3.0-or-later
//
// Files of every kind, and what is said when one cannot be heard. Written by libsndfile and ffmpeg, read by our door.
#include "workshop/listen/recording.hpp"

#include <gmock/gmock.h>
#include <sndfile.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <limits>

#include "workshop/audio/encode.hpp"

namespace lw::listen {
namespace {

namespace fs = std::filesystem;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

class Recordings : public ::testing::Test {
  protected:
    void SetUp() override {
        folder = fs::temp_directory_path() /
                 ("lickwright-listen-" +
                  std::string{::testing::UnitTest::GetInstance()->current_test_info()->name()});
        fs::remove_all(folder);
        fs::create_directories(folder);
    }
    void TearDown() override { fs::remove_all(folder); }

    /// A tone of 440 Hz; each channel has its own level.
    [[nodiscard]] fs::path tone(const std::string& name, std::vector<double> levels, double rate = 48000.0,
                                double seconds = 1.0, audio::Format format = audio::Format::wav) const {
        sound::Clip clip;
        clip.rate = Hz{rate};
        clip.channels = static_cast<int>(levels.size());
        for (int i = 0; i < static_cast<int>(seconds * rate); ++i)
            for (const double level : levels)
                clip.samples.push_back(
                    static_cast<float>(level * std::sin(6.283185307179586 * 440.0 * i / rate)));
        const auto bytes = audio::encode(clip, format);
        EXPECT_TRUE(files::write_file_atomically(
            folder / name, {reinterpret_cast<const char*>(bytes.data()), bytes.size()}));
        return folder / name;
    }
    static void make_film(const fs::path& sound, const fs::path& film) {
        const std::string make = "ffmpeg -v error -y -f lavfi -i color=c=black:s=64x64:d=30 -i '" +
                                 sound.string() + "' -shortest '" + film.string() + "' < /dev/null";
        ASSERT_EQ(std::system(make.c_str()), 0);
    }
    static double loudest(Recording& recording, std::size_t* count = nullptr) {
        std::vector<float> part(5000);
        double most = 0.0;
        std::size_t all = 0;
        while (const std::size_t got = recording.read(part)) {
            for (std::size_t i = 0; i < got; ++i)
                most = std::max(most, std::abs(static_cast<double>(part[i])));
            all += got;
        }
        if (count != nullptr) *count = all;
        return most;
    }
    static std::string why(const fs::path& file, const Cut& cut = {}, const std::string& ffmpeg = "ffmpeg") {
        const auto opened = Recording::open(file, cut, ffmpeg);
        return opened ? "opened" : opened.error().words;
    }
    fs::path folder;
};

TEST_F(Recordings, EveryFormatAndRateGivesItsSamples) {
    for (const auto format :
         {audio::Format::wav, audio::Format::flac, audio::Format::ogg, audio::Format::mp3}) {
        auto r =
            Recording::open(tone("t." + std::string{audio::name(format)}, {0.5, 0.5}, 44100.0, 1.0, format));
        ASSERT_TRUE(r);
        EXPECT_EQ(r->rate(), 44100.0);
        std::size_t count = 0;
        EXPECT_NEAR(loudest(*r, &count), 0.5, 0.05) << audio::name(format);
        EXPECT_NEAR(static_cast<double>(count), 44100.0, 3000.0);
        EXPECT_TRUE(r->complaints().empty());
    }
    for (const double rate : {8000.0, 192000.0}) {
        auto r = Recording::open(tone("r.wav", {0.3}, rate));
        ASSERT_TRUE(r);
        EXPECT_EQ(r->rate(), rate);
    }
}

TEST_F(Recordings, ADeadSideAndASideUpsideDownCostNothing) {
    for (const auto& levels : {std::vector{0.5, 0.0}, std::vector{0.0, 0.5}, std::vector{0.5, -0.5}}) {
        auto r = Recording::open(tone("two.wav", levels));
        ASSERT_TRUE(r);
        EXPECT_NEAR(loudest(*r), 0.5, 0.001);
    }
}

TEST_F(Recordings, ACutIsExact) {
    const fs::path file = tone("long.wav", {0.4}, 8000.0, 20.0);
    auto r = Recording::open(file, {Seconds{2.5}, Seconds{4.0}});
    ASSERT_TRUE(r);
    EXPECT_EQ(r->length(), 12000U);
    std::size_t count = 0;
    loudest(*r, &count);
    EXPECT_EQ(count, 12000U);
    EXPECT_TRUE(r->complaints().empty());
    EXPECT_THAT(why(file, {Seconds{21.0}, {}}), HasSubstr("ends before --from 21"));
}

TEST_F(Recordings, ATruncatedFileIsHeardAsFarAsItGoesAndSaysSo) {
    const fs::path file = tone("cut.wav", {0.4}, 48000.0, 4.0);
    fs::resize_file(file, fs::file_size(file) / 2);
    auto r = Recording::open(file);
    ASSERT_TRUE(r);
    std::size_t count = 0;
    loudest(*r, &count);
    EXPECT_NEAR(static_cast<double>(count), 2.0 * 48000.0, 100.0);
    EXPECT_THAT(r->complaints(), ElementsAre(HasSubstr("ends after 2.0 s of the 4.0 s it promises")));
    for (const auto format : {audio::Format::flac, audio::Format::mp3}) {
        const fs::path other = tone("half." + std::string{audio::name(format)}, {0.4}, 48000.0, 4.0, format);
        fs::resize_file(other, fs::file_size(other) / 2);
        auto f = Recording::open(other);
        ASSERT_TRUE(f);
        ::testing::internal::CaptureStderr();
        loudest(*f);
        EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");  // the MP3 reader warns by itself
        EXPECT_THAT(f->complaints(), ElementsAre(HasSubstr("ends after ")));
    }
}

TEST_F(Recordings, WhatCannotBeHeardIsSaidInOneLine) {
    EXPECT_THAT(why(folder / "none.wav"), HasSubstr("there is no file"));
    EXPECT_THAT(why(folder), HasSubstr("is a folder"));
    ASSERT_TRUE(files::write_file_atomically(folder / "empty.wav", ""));
    EXPECT_THAT(why(folder / "empty.wav"), HasSubstr("is empty"));
    ASSERT_TRUE(files::write_file_atomically(folder / "words.wav", "harp: C\n"));
    EXPECT_THAT(why(folder / "words.wav"), HasSubstr("neither a sound file nor a film"));
    EXPECT_THAT(why(folder / "words.wav", {}, "/nowhere/ffmpeg"), HasSubstr("cannot start"));
    const fs::path none = tone("no-samples.wav", {0.1}, 48000.0, 0.0);
    EXPECT_THAT(why(none), HasSubstr("holds no sound"));
    EXPECT_THAT(why(tone("slow.wav", {0.1}, 4000.0)), HasSubstr("4000 samples a second"));
}

TEST_F(Recordings, AFilmWithoutSoundSaysSo) {
    const std::string make = "ffmpeg -v error -y -f lavfi -i color=c=black:s=64x64:d=1 '" +
                             (folder / "mute.mp4").string() + "' < /dev/null";
    ASSERT_EQ(std::system(make.c_str()), 0);
    EXPECT_THAT(why(folder / "mute.mp4"), HasSubstr("has no sound"));
}

TEST_F(Recordings, TheSoundOfAFilmIsHeard) {
    const fs::path sound = tone("film.wav", {0.5});
    make_film(sound, folder / "film: one.mp4");
    auto r = Recording::open(folder / "film: one.mp4");
    ASSERT_TRUE(r) << why(folder / "film: one.mp4");
    EXPECT_EQ(r->rate(), 48000.0);
    std::size_t count = 0;
    EXPECT_NEAR(loudest(*r, &count), 0.42, 0.1);  // ffmpeg lays one channel on two 3 dB softer
    EXPECT_NEAR(static_cast<double>(count), 48000.0, 4000.0);
}

TEST_F(Recordings, ACutOfAnyFormatIsWhereItIsWithoutOne) {
    // A tone that begins in the middle of a file tells where a cut of it begins.
    sound::Clip clip;
    clip.rate = Hz{44100.0};
    clip.channels = 1;
    for (int i = 0; i < 10 * 44100; ++i)
        clip.samples.push_back(
            i < 5 * 44100 ? 0.0F
                          : static_cast<float>(0.5 * std::sin(6.283185307179586 * 440.0 * i / 44100.0)));
    const auto begins = [](Recording& r) {
        std::vector<float> all(static_cast<std::size_t>(10.0 * r.rate()));
        all.resize(r.read(all));
        const auto loud = std::find_if(all.begin(), all.end(), [](float x) { return std::abs(x) > 0.25F; });
        return static_cast<double>(loud - all.begin()) / r.rate();
    };
    const auto bytes_of = [&](audio::Format format) {
        const auto bytes = audio::encode(clip, format);
        return std::string{reinterpret_cast<const char*>(bytes.data()), bytes.size()};
    };
    std::vector<fs::path> all;
    for (const auto format :
         {audio::Format::wav, audio::Format::flac, audio::Format::ogg, audio::Format::mp3}) {
        all.push_back(folder / ("late." + std::string{audio::name(format)}));
        ASSERT_TRUE(files::write_file_atomically(all.back(), bytes_of(format)));
    }
    all.push_back(folder / "late.mp4");
    make_film(folder / "late.wav", all.back());
    for (const fs::path& file : all) {
        auto whole = Recording::open(file);
        auto cut = Recording::open(file, {Seconds{4.25}, Seconds{6.5}});
        ASSERT_TRUE(whole && cut) << file;
        EXPECT_NEAR(begins(*whole), begins(*cut) + 4.25, 0.002) << file;
    }
}

TEST_F(Recordings, AFilmThatIsNotReadToItsEndIsLeftAtOnce) {
    const fs::path film = folder / "film.mp4";
    make_film(tone("film.wav", {0.5}, 48000.0, 30.0), film);
    {
        auto r = Recording::open(film, {Seconds{8.5}, Seconds{13.4}});
        ASSERT_TRUE(r);
        std::size_t count = 0;
        loudest(*r, &count);
        EXPECT_EQ(count, static_cast<std::size_t>(4.9 * 48000.0));
        EXPECT_TRUE(r->complaints().empty());
    }
    // A program that will not be asked, never ends and has a child of its own.
    const fs::path stubborn = folder / "stubborn";
    ASSERT_TRUE(files::write_file_atomically(
        stubborn, "#!/bin/sh\ntrap '' TERM INT\n( trap '' TERM INT; cat /dev/zero )\n"));
    fs::permissions(stubborn, fs::perms::owner_all);
    auto r = Recording::open(film, {Seconds{0.0}, Seconds{6.0}}, stubborn);
    ASSERT_TRUE(r);
    std::vector<float> some(7 * 48000);
    EXPECT_EQ(r->read(some), 6U * 48000U);
    EXPECT_TRUE(r->complaints().empty());
}

TEST_F(Recordings, AFilmThatGivesNothingCanBeStopped) {
    ASSERT_TRUE(files::write_file_atomically(folder / "words.mp4", "no film"));
    const fs::path silent = folder / "silent";
    ASSERT_TRUE(files::write_file_atomically(silent, "#!/bin/sh\nsleep 1000\n"));
    fs::permissions(silent, fs::perms::owner_all);
    const std::atomic<bool> stop{true};
    const auto r = Recording::open(folder / "words.mp4", {}, silent, &stop);
    ASSERT_FALSE(r);
    EXPECT_EQ(r.error().words, "stopped");
}

TEST_F(Recordings, AFilmCutOffIsTold) {
    const fs::path film = folder / "film.mp4";
    make_film(tone("film.wav", {0.5}), film);
    fs::resize_file(film, fs::file_size(film) / 2);
    EXPECT_THAT(why(film), HasSubstr("is no whole film: it is cut off"));
}

TEST_F(Recordings, SamplesThatAreNoNumbersAreCountedAndSilent) {
    std::vector<float> samples(48000, 0.25F);
    std::fill_n(samples.begin() + 24000, 10, std::numeric_limits<float>::quiet_NaN());
    samples[30000] = std::numeric_limits<float>::infinity();
    const fs::path file = folder / "nan.wav";
    SF_INFO info{};
    info.samplerate = 48000;
    info.channels = 1;
    info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
    SNDFILE* out = sf_open(file.c_str(), SFM_WRITE, &info);
    ASSERT_NE(out, nullptr);
    EXPECT_EQ(sf_writef_float(out, samples.data(), 48000), 48000);
    sf_close(out);
    auto r = Recording::open(file);
    ASSERT_TRUE(r);
    EXPECT_EQ(loudest(*r), 0.25);
    EXPECT_THAT(
        r->complaints(),
        ElementsAre("the file is damaged: 11 samples from 0.50 s on are no numbers and taken as silence"));
}

}  // namespace
}  // namespace lw::listen
