// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a file to a draft, whole and phrase by phrase, and what is refused. The sound here is our own reed voice: it
// shows that the parts hold together. How well real reeds are heard is measured in tests/hear and bench/hear.
#include "workshop/listen/listening.hpp"

#include <gmock/gmock.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "engine/sound/mix.hpp"
#include "engine/text/text.hpp"
#include "workshop/audio/encode.hpp"
#include "workshop/listen/json.hpp"
#include "workshop/listen/picture.hpp"

namespace lw::listen {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

constexpr std::string_view phrase =
    "title: Test\nharp: C\nposition: 2\nmeter: 4/4\ntempo: 100\nfeel: straight\n"
    "tab | 2d (3d 4b) 4d 5d | 4d' (4b 3d) 2d - | (2b 2d) 3d 4d 4b | 3d 2d - . |\n";

class Listenings : public ::testing::Test {
  protected:
    void SetUp() override {
        folder = fs::temp_directory_path() /
                 ("lickwright-hear-" +
                  std::string{::testing::UnitTest::GetInstance()->current_test_info()->name()});
        fs::remove_all(folder);
        fs::create_directories(folder);
        lick = text::read_lick(phrase).lick;
    }
    void TearDown() override { fs::remove_all(folder); }

    [[nodiscard]] fs::path played(int repeats = 1) const {
        const auto p = sound::perform(
            lick, {.tempo = {}, .repeats = repeats, .count_in = false, .click_through = false});
        const auto bytes = audio::encode(sound::render_clip(lick.head.harp, p), audio::Format::wav);
        EXPECT_TRUE(files::write_file_atomically(
            folder / "take.wav", {reinterpret_cast<const char*>(bytes.data()), bytes.size()}));
        return folder / "take.wav";
    }
    [[nodiscard]] files::Result<Listened> heard(const fs::path& file, const Wishes& wishes,
                                                const Longer* longer = nullptr) const {
        auto recording = Recording::open(file);
        EXPECT_TRUE(recording);
        return listen(*recording, "take.wav", wishes, {}, stop, longer);
    }
    fs::path folder;
    lick::Lick lick;
    std::atomic<bool> stop{false};
};

/// How many notes of a lick stand in another at the same place.
double alike(const lick::Lick& a, const lick::Lick& b) {
    const auto x = lick::unfold(a).notes, y = lick::unfold(b).notes;
    double same = 0.0;
    for (const auto& n : x)
        same += std::any_of(y.begin(), y.end(),
                            [&](const auto& m) { return m.start == n.start && m.tab == n.tab; });
    return same / static_cast<double>(std::max(x.size(), y.size()));
}

TEST_F(Listenings, ATakeBecomesItsLick) {
    Wishes wishes;
    wishes.harp = lick.head.harp;
    const auto l = heard(played(), wishes);
    ASSERT_TRUE(l);
    EXPECT_TRUE(l->whole);
    EXPECT_NEAR(l->beat.tempo.value, 100.0, 2.0);
    EXPECT_GE(alike(lick, l->draft.lick), 0.8) << coach::write_draft(l->draft);
    EXPECT_TRUE(text::read_lick(coach::write_draft(l->draft)).ok());
    const draw::Picture picture = picture_of(*l);
    EXPECT_GT(picture.commands.size(), 50U);
    for (const draw::Command& c : picture.commands) {
        EXPECT_GE(c.box.x, -1.0);
        EXPECT_LE(c.box.bottom(), picture.height + 1.0);
    }
}

TEST_F(Listenings, TheHarpIsGuessedWithItsChances) {
    const auto l = heard(played(), {});
    ASSERT_TRUE(l);
    double sum = 0.0;
    for (const auto& g : l->harps) sum += g.probability;
    EXPECT_NEAR(sum, 1.0, 1e-6);
    EXPECT_EQ(harp::name(l->harp), "C");
}

TEST_F(Listenings, ALongRecordingIsHeardPhraseByPhraseWithTheSameNotes) {
    Wishes wishes;
    wishes.harp = lick.head.harp;
    const fs::path file = played(3);
    const auto whole = heard(file, wishes);
    ASSERT_TRUE(whole);
    wishes.whole_up_to = Seconds{12.0};
    EXPECT_THAT(heard(file, wishes).error().words, HasSubstr("longer than"));
    int begins = 0;
    std::size_t frames = 0;
    std::vector<hear::HeardNote> notes;
    std::vector<Beats> places;
    Longer longer;
    longer.begin = [&](const Listened&) { ++begins; };
    longer.frames = [&](std::span<const hear::Frame> f) { frames += f.size(); };
    longer.phrase = [&](std::span<const hear::HeardNote> n, const coach::BeatMap& map) {
        ASSERT_EQ(n.size(), map.notes.size());
        for (std::size_t i = 0; i < n.size(); ++i) {
            notes.push_back(n[i]);
            places.push_back(map.notes[i].at);
        }
    };
    const auto first = heard(file, wishes, &longer);
    ASSERT_TRUE(first);
    EXPECT_FALSE(first->whole);
    EXPECT_EQ(begins, 1);
    EXPECT_NEAR(static_cast<double>(frames), static_cast<double>(whole->heard.frames.size()), 3.0);
    EXPECT_TRUE(std::is_sorted(places.begin(), places.end()));
    std::size_t same = 0;  // the whole knows its tuning from the beginning, so a note may differ
    for (const auto& n : notes)
        same += std::any_of(whole->heard.notes.begin(), whole->heard.notes.end(), [&](const auto& m) {
            return std::abs((m.onset - n.onset).value) < 0.03 && m.tab == n.tab;
        });
    EXPECT_GE(static_cast<double>(same), 0.95 * static_cast<double>(whole->heard.notes.size()));
}

TEST_F(Listenings, TheJsonIsWhole) {
    Wishes wishes;
    wishes.harp = lick.head.harp;
    const auto l = heard(played(), wishes);
    ASSERT_TRUE(l);
    std::FILE* file = std::tmpfile();
    HearingJson json{file};
    json.begin(*l);
    json.notes(l->heard.notes, l->beat);
    json.frames(l->heard.frames);
    ASSERT_TRUE(json.finish(&*l));
    std::rewind(file);
    std::string text(1 << 22, '\0');
    text.resize(std::fread(text.data(), 1, text.size(), file));
    std::fclose(file);
    const auto j = nlohmann::json::parse(text);
    EXPECT_EQ(j["command"], "listen");
    EXPECT_EQ(j["ok"], true);
    EXPECT_EQ(j["position"], l->position);
    EXPECT_EQ(j["meter"], "4/4");
    EXPECT_EQ(j["check"].size(), l->draft.checks.size());
    EXPECT_EQ(j["harp_key"], "C");
    EXPECT_EQ(j["harps"][0][0], "C");
    EXPECT_EQ(j["harps"][0][1], 1.0);
    ASSERT_EQ(j["notes"].size(), l->heard.notes.size());
    EXPECT_EQ(j["f0"].size(), l->heard.frames.size());
    const auto& n = j["notes"][0];
    for (const char* key : {"onset", "offset", "hole", "holes", "breath", "bend", "bend_start", "bend_path",
                            "joined", "midi", "beat", "gestures", "confidence"})
        EXPECT_TRUE(n.contains(key)) << key;
    EXPECT_EQ(n["beat"], "0");
    EXPECT_EQ(n["breath"], "draw");
}

TEST_F(Listenings, AStopIsObeyed) {
    const fs::path file = played();
    stop = true;
    const auto l = heard(file, {});
    ASSERT_FALSE(l);
    EXPECT_EQ(l.error().words, "stopped");
}

/// Notes that are loudest at once, as a string is, or after 60 ms, as a reed.
hear::Heard sounding(std::size_t notes, double slope_db_a_second, double confidence = 0.9, int speaks = 0) {
    hear::Heard h;
    for (std::size_t k = 0; k < notes; ++k) {
        hear::HeardNote n;
        n.onset = Seconds{0.5 * static_cast<double>(k)};
        n.offset = n.onset + Seconds{0.45};
        n.confidence = confidence;
        h.notes.push_back(n);
        for (int f = 0; f < 50; ++f)
            h.frames.push_back({n.onset + Seconds{0.01 * f}, Hz{440.0}, 0.9,
                                Decibels{-12.0 + (f < 45 ? 0.01 * f * slope_db_a_second : -60.0) -
                                         4.0 * std::max(speaks - f, 0)},
                                0.0});
    }
    return h;
}

TEST(NoHarp, StringsAreToldFromReeds) {
    EXPECT_THAT(no_harp(sounding(10, -25.0), "x")->words, HasSubstr("plucked"));
    EXPECT_FALSE(no_harp(sounding(10, 0.0), "x"));
    EXPECT_FALSE(no_harp(sounding(10, -14.0, 0.9, 6), "x"));  // a player who lets every note fade
    EXPECT_FALSE(no_harp(sounding(10, -25.0, 0.9, 6), "x"));  // no string takes 60 ms to speak
    EXPECT_THAT(no_harp(sounding(10, -12.0), "x")->words, HasSubstr("plucked"));  // an electric guitar
    EXPECT_THAT(no_harp(sounding(2, -45.0), "x")->words, HasSubstr("plucked"));
    EXPECT_FALSE(no_harp(sounding(3, -25.0), "x"));  // three notes prove nothing
    hear::Heard mixed = sounding(10, -25.0);
    const hear::Heard held = sounding(2, 0.0);
    for (auto n : held.notes) {
        n.onset += Seconds{5.0};
        n.offset += Seconds{5.0};
        mixed.notes.push_back(n);
    }
    for (auto f : held.frames) {
        f.at += Seconds{5.0};
        mixed.frames.push_back(f);
    }
    EXPECT_FALSE(no_harp(mixed, "x"));  // strings do not hold two notes in ten
}

TEST(NoHarp, SilenceAndNothingAreSaid) {
    hear::Heard silent;
    silent.frames.assign(100, {Seconds{}, Hz{}, 0.0, Decibels{-90.0}, 0.0});
    EXPECT_THAT(no_harp(silent, "x")->words, HasSubstr("silent"));
    silent.frames.assign(100, {Seconds{}, Hz{}, 0.0, Decibels{-20.0}, 0.0});
    EXPECT_THAT(no_harp(silent, "x")->words, HasSubstr("no harmonica"));
}

}  // namespace
}  // namespace lw::listen
