// SPDX-License-Identifier: GPL-3.0-or-later
//
// Files of every kind, and what is said when one cannot be heard. Written by libsndfile and ffmpeg, read by our door.
#include "workshop/listen/recording.hpp"

#include <gmock/gmock.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "workshop/audio/encode.hpp"

namespace lw::listen {
namespace {

namespace fs = std::filesystem;
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
        EXPECT_EQ(r->complaint(), "");
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
    EXPECT_EQ(r->complaint(), "");
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
    // libsndfile sees the shorter length itself; what it cannot see (a FLAC cut in two) it complains of.
    const fs::path flac = tone("cut.flac", {0.4}, 48000.0, 4.0, audio::Format::flac);
    fs::resize_file(flac, fs::file_size(flac) / 2);
    auto f = Recording::open(flac);
    ASSERT_TRUE(f);
    loudest(*f);
    EXPECT_NE(f->complaint(), "");
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
    const std::string make = "ffmpeg -v error -y -f lavfi -i color=c=black:s=64x64:d=1 -i '" +
                             sound.string() + "' -shortest '" + (folder / "film: one.mp4").string() +
                             "' < /dev/null";
    ASSERT_EQ(std::system(make.c_str()), 0);
    auto r = Recording::open(folder / "film: one.mp4");
    ASSERT_TRUE(r) << why(folder / "film: one.mp4");
    EXPECT_EQ(r->rate(), 48000.0);
    std::size_t count = 0;
    EXPECT_NEAR(loudest(*r, &count), 0.42, 0.1);  // ffmpeg lays one channel on two 3 dB softer
    EXPECT_NEAR(static_cast<double>(count), 48000.0, 4000.0);
}

}  // namespace
}  // namespace lw::listen
