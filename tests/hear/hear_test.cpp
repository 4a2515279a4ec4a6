// SPDX-License-Identifier: GPL-3.0-or-later
//
// The whole ear on sounds whose truth is known because the project's reed voice made them, and on sounds that are no
// harp. Sound that this project did not make is in listening/.
#include <gtest/gtest.h>

#include <limits>

#include "tests/hear/heap_count.hpp"
#include "tests/hear/sounds.hpp"

namespace lw::hear {
namespace {

using harp::Breath;

Heard hear_it(const test::Played& p, double rate = 48000.0) {
    Given given;
    given.harp = p.harp;
    return listen(p.samples, rate, given);
}

/// `joins_wrong`: how many notes may be told joined that were attacked, or the other way round.
void expect_notes(const test::Played& p, const Heard& heard, double onset_within, int joins_wrong = 1) {
    ASSERT_EQ(heard.notes.size(), p.performance.notes.size()) << test::words(heard.notes);
    int joined_wrong = 0;
    std::string which;
    for (std::size_t i = 0; i < heard.notes.size(); ++i) {
        const sound::SoundedNote& want = p.performance.notes[i];
        const HeardNote& got = heard.notes[i];
        EXPECT_NEAR(got.onset.value, want.onset.value, onset_within) << i << ' ' << test::words(got);
        EXPECT_EQ(got.tab, want.tab) << i << ' ' << test::words(got) << " not " << text::to_text(want.tab);
        if (got.joined == (want.how != lick::Start::attack)) continue;
        ++joined_wrong;
        which += ' ' + test::words(got);
    }
    // One of the three joins swells enough to pass for an attack of its own.
    EXPECT_LE(joined_wrong, joins_wrong) << which;
}

constexpr std::string_view walk =
    "harp: C\nposition: 2\ntempo: 90\n\ntab | 2d 3d' 4b 4d' | >4d 4d 4d 3d | "
    ">3d'' 2d 2d'' >2d | 6b (5d 4d) 1b 2b | 6d' >6d 8b' 9b | 10b'' 10b . 4d |\n";

TEST(Listen, WalkWithBendsReleasesAndRepeatedNotes) {
    const test::Played p = test::play(walk);
    const Heard heard = hear_it(p);
    expect_notes(p, heard, 0.035);
    EXPECT_NEAR(heard.a4.value, 440.0, 0.7);
    EXPECT_EQ(heard.clipped, 0.0);
    for (std::size_t i = 0; i < heard.notes.size(); ++i)
        EXPECT_NEAR(heard.notes[i].bend.value, p.performance.notes[i].bend.back().depth.value, 0.10) << i;
}

TEST(Listen, AnyRate) {
    for (const double rate : {16000.0, 22050.0, 44100.0, 96000.0, 192000.0}) {
        const test::Played p = test::play(walk, rate);
        SCOPED_TRACE(rate);
        // At 16 kHz the reed voice is duller, and a soft attack next door passes for a slide.
        expect_notes(p, hear_it(p, rate), 0.035, rate < 20000.0 ? 2 : 1);
    }
}

// Every reed and every half-step bend of harps from the lowest to the highest that is made.
TEST(Listen, EveryPlainAndBentNoteOfLowMiddleAndHighHarps) {
    for (const std::string_view name : {"low C", "G", "C", "F#", "high G"}) {
        std::string lick = "harp: " + std::string{name} + "\ntempo: 100\n\ntab";
        int slots = 0;
        std::vector<harp::HoleNote> notes;
        for (const harp::HoleNote& n : harp::every_note(*harp::harp_named(name))) {
            if (n.overbend) continue;
            notes.push_back(n);
            lick += (slots++ % 4 == 0 ? " | " : " ") + harp::to_text(n);
        }
        while (slots++ % 4 != 0) lick += " .";
        const test::Played p = test::play(lick + " |\n");
        const Heard heard = hear_it(p);
        std::size_t right = 0;
        std::size_t j = 0;
        for (const sound::SoundedNote& want : p.performance.notes) {
            while (j < heard.notes.size() && heard.notes[j].onset.value < want.onset.value - 0.06) ++j;
            if (j < heard.notes.size() && std::abs(heard.notes[j].onset.value - want.onset.value) <= 0.06) {
                const lick::Tab& got = heard.notes[j].tab;
                // 2 draw and 3 blow are the same pitch on these harps (facts 1.1).
                const bool twins = want.tab.bent_hole == 0 && got.bent_hole == 0 && got.holes.size() == 1 &&
                                   ((want.tab.holes[0] == 2 && want.tab.breath == Breath::draw) ||
                                    (want.tab.holes[0] == 3 && want.tab.breath == Breath::blow)) &&
                                   ((got.holes[0] == 2 && got.breath == Breath::draw) ||
                                    (got.holes[0] == 3 && got.breath == Breath::blow));
                if (got == want.tab || twins) ++right;
            }
        }
        EXPECT_GE(right + 1, p.performance.notes.size()) << name << ": " << test::words(heard.notes);
        EXPECT_LE(heard.notes.size(), p.performance.notes.size() + 1)
            << name << ": " << test::words(heard.notes);
    }
}

TEST(Listen, WithoutAHarpThereArePitches) {
    const test::Played p = test::play("harp: A\ntempo: 90\n\ntab | 4b 4d 5b 5d | 6b 6d 7d 7b |\n");
    const Heard heard = listen(p.samples, 48000.0);
    ASSERT_EQ(heard.notes.size(), 8U) << test::words(heard.notes);
    for (std::size_t i = 0; i < 8; ++i) {
        EXPECT_TRUE(heard.notes[i].tab.holes.empty());
        EXPECT_NEAR(
            heard.notes[i].pitch.midi,
            harp::made_for(p.harp,
                           p.performance.notes[i].tab.note_of(p.performance.notes[i].tab.holes[0]).reed())
                .midi,
            0.1)
            << i;
    }
}

TEST(Listen, WhatIsNoHarpGivesNoNotes) {
    Given given;
    given.harp = harp::Harp{};
    EXPECT_TRUE(listen({}, 48000.0, given).notes.empty());
    EXPECT_TRUE(listen({}, 48000.0, given).frames.empty());
    const std::vector<float> silence(48000 * 2, 0.0F);
    EXPECT_TRUE(listen(silence, 48000.0, given).notes.empty());
    const std::vector<float> hiss = test::white_noise(4.0, 48000.0, 0.3F);
    const Heard noise = listen(hiss, 48000.0, given);
    EXPECT_TRUE(noise.notes.empty()) << test::words(noise.notes);
    EXPECT_GT(noise.noise, 0.8);
    std::vector<float> nothing(48000, std::numeric_limits<float>::quiet_NaN());
    EXPECT_TRUE(listen(nothing, 48000.0, given).notes.empty());
}

// A voice may hold a vowel for a moment; a lick it is not.
TEST(Listen, TalkIsMostlyNoise) {
    Given given;
    given.harp = harp::Harp{};
    for (const std::uint64_t seed : {7U, 99U, 5U}) {
        const Heard heard = listen(test::talk(8.0, 48000.0, seed), 48000.0, given);
        double sure = 0.0;
        for (const HeardNote& n : heard.notes)
            if (n.confidence > 0.7) sure += (n.offset - n.onset).value;
        EXPECT_LT(sure, 0.4) << seed << ' ' << test::words(heard.notes);
    }
}

TEST(Listen, SeveralHolesInOneBreath) {
    const test::Played p = test::play(
        "harp: C\ntempo: 80\n\ntab | 4+5d 2+3b 5+6b 3+4d | 1+4b 2+5b 3+6b 4+8d | 4+5+6b . 3d . |\n");
    const Heard heard = hear_it(p);
    ASSERT_EQ(heard.notes.size(), p.performance.notes.size()) << test::words(heard.notes);
    std::size_t right = 0;
    for (std::size_t i = 0; i < heard.notes.size(); ++i)
        if (heard.notes[i].tab == p.performance.notes[i].tab) ++right;
    // Octaves of the reed voice are pure: every harmonic of the upper reed falls on one of the lower reed's. Of the four
    // here three are taken for one hole; real reeds stand a little apart (listening/, double-stops).
    EXPECT_GE(right, p.performance.notes.size() - 3) << test::words(heard.notes);
}

TEST(Listen, GesturesAreThoseThatWerePlayed) {
    const test::Played p = test::play(
        "harp: A\ntempo: 70\n\ntab | 4d{dip} . 3d{scoop} . | 2d{fall} . 4d{shake 5} - | 3d'{vibrato} - 6d . "
        "| 2d . . . |\n");
    const Heard heard = hear_it(p);
    const lick::Gesture want[] = {lick::Gesture::dip, lick::Gesture::scoop, lick::Gesture::fall,
                                  lick::Gesture::shake, lick::Gesture::vibrato};
    std::vector<HeardNote> with, without;
    for (const HeardNote& n : heard.notes) (n.gestures.empty() ? without : with).push_back(n);
    ASSERT_EQ(with.size(), 5U) << test::words(heard.notes);
    for (std::size_t i = 0; i < 5; ++i) {
        ASSERT_EQ(with[i].gestures.size(), 1U) << i << ' ' << test::words(with[i]);
        EXPECT_EQ(with[i].gestures[0].gesture, want[i]) << i << ' ' << test::words(with[i]);
    }
    EXPECT_EQ(with[3].gestures[0].other_hole, 5);
    // The reed voice's shake begins on both holes at once, which is told as a double stop before it.
    EXPECT_LE(without.size(), 3U) << test::words(heard.notes);
}

// The player's harp stands elsewhere than at 440 Hz; the ear is told the harp, not the tuning.
TEST(Listen, LearnsTheTuningOfTheRecording) {
    for (const double a4 : {434.5, 442.0, 445.5}) {
        const test::Played p = test::play(walk, 48000.0, 0.3, Hz{a4});
        Given given;
        given.harp = harp::Harp{};
        const Heard heard = listen(p.samples, 48000.0, given);
        EXPECT_NEAR(heard.a4.value, a4, 0.8);
        expect_notes(p, heard, 0.035);
    }
}

TEST(Listen, ClippedSoundSaysSo) {
    test::Played p = test::play(walk);
    std::size_t full = 0;
    for (float& x : p.samples) {
        x = std::clamp(8.0F * x, -1.0F, 1.0F);
        if (std::abs(x) == 1.0F) ++full;
    }
    EXPECT_NEAR(hear_it(p).clipped, static_cast<double>(full) / static_cast<double>(p.samples.size()), 0.01);
}

struct Streamed {
    std::vector<Frame> frames;
    std::vector<HeardNote> notes;
    std::vector<double> told_at;  // seconds of sound pushed when the note came
};

Streamed stream(Listener& listener, const std::vector<float>& samples, double rate, std::uint64_t seed,
                int most) {
    test::Chance chance(seed);
    Streamed s;
    const auto take = [&](double at) {
        for (const Frame& f : listener.take_frames()) s.frames.push_back(f);
        for (const HeardNote& n : listener.take_notes()) {
            s.notes.push_back(n);
            s.told_at.push_back(at);
        }
    };
    for (std::size_t i = 0; i < samples.size();) {
        const std::size_t n =
            std::min<std::size_t>(1 + static_cast<std::size_t>(chance.below(most)), samples.size() - i);
        listener.push(std::span(samples).subspan(i, n));
        i += n;
        take(static_cast<double>(i) / rate);
    }
    listener.finish();
    take(static_cast<double>(samples.size()) / rate);
    return s;
}

TEST(Listener, FramesAreThoseOfTheWholeFileHoweverItIsCut) {
    const test::Played p = test::play(walk, 44100.0);
    Given given;
    given.harp = p.harp;
    const Heard whole = listen(p.samples, 44100.0, given);
    for (const auto& [seed, most] : {std::pair{1, 100}, std::pair{2, 3000}, std::pair{3, 50000}}) {
        Listener listener(44100.0, given);
        const Streamed s = stream(listener, p.samples, 44100.0, static_cast<std::uint64_t>(seed), most);
        ASSERT_EQ(s.frames.size(), whole.frames.size());
        for (std::size_t i = 0; i < s.frames.size(); ++i) {
            ASSERT_EQ(s.frames[i].at, whole.frames[i].at);
            ASSERT_EQ(s.frames[i].pitch, whole.frames[i].pitch);
            ASSERT_EQ(s.frames[i].confidence, whole.frames[i].confidence);
            ASSERT_EQ(s.frames[i].level, whole.frames[i].level);
            ASSERT_EQ(s.frames[i].onset, whole.frames[i].onset);
        }
    }
}

TEST(Listener, CalibratedItTellsTheNotesOfTheWholeFileInTime) {
    const test::Played p = test::play(walk);
    Given given;
    given.harp = p.harp;
    given.a4 = Hz{440.0};
    given.reeds.emplace();
    const Heard whole = listen(p.samples, 48000.0, given);
    Listener listener(48000.0, given);
    const Streamed s = stream(listener, p.samples, 48000.0, 4, 480);
    ASSERT_EQ(s.notes.size(), whole.notes.size());
    for (std::size_t i = 0; i < s.notes.size(); ++i) {
        EXPECT_EQ(s.notes[i].onset, whole.notes[i].onset);
        EXPECT_EQ(s.notes[i].tab, whole.notes[i].tab);
        const double due =
            std::min(s.notes[i].offset.value, i + 1 < s.notes.size() ? s.notes[i + 1].onset.value : 1e9);
        EXPECT_LE(s.told_at[i], due + 0.300 + 0.010) << test::words(s.notes[i]);
    }
}

TEST(Listener, TakesNothingFromTheHeapWhileItRuns) {
    const test::Played p = test::play(walk);
    Given given;
    given.harp = p.harp;
    Listener listener(48000.0, given);
    double sum = 0.0;
    test::HeapCount heap;
    for (std::size_t i = 0; i < p.samples.size(); i += 512) {
        listener.push(std::span(p.samples).subspan(i, std::min<std::size_t>(512, p.samples.size() - i)));
        sum += static_cast<double>(listener.take_frames().size() + listener.take_notes().size());
        sum += listener.guess().confidence;
    }
    listener.finish();
    sum += static_cast<double>(listener.take_notes().size());
    EXPECT_EQ(heap.stop(), 0);
    EXPECT_GT(sum, 1000.0);  // it did hear something
}

// 30 ms of a sound that has become periodic are enough for a first word: every key from low C to the top of a high G harp, with
// overtones that fall and with a second one nearly as loud as the first, as the top reeds of TimGM6mb's harmonica have it.
TEST(Listener, GuessesWithin30Milliseconds) {
    const std::vector<std::vector<double>> tones{{0.1, 0.05, 0.033, 0.025, 0.02}, {0.1, 0.063, 0.002}, {0.1}};
    for (int key = 48; key <= 103; ++key)
        for (const std::vector<double>& tone : tones) {
            const double hz = 440.0 * std::exp2((key - 68.97) / 12.0);
            std::vector<float> x(48000, 0.0F);
            for (std::size_t i = 24000; i < x.size(); ++i) {
                const double t = static_cast<double>(i - 24000) / 48000.0;
                for (std::size_t h = 0; h < tone.size(); ++h)
                    x[i] += static_cast<float>(
                        tone[h] * std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(h + 1) * t));
            }
            Listener listener(48000.0);
            listener.push(std::span(x).first(24000 + 1440));
            const Guess g = listener.guess();
            EXPECT_NEAR(1200.0 * std::log2(g.pitch.value / hz), 0.0, 40.0) << key << ' ' << tone.size();
            EXPECT_GT(g.confidence, 0.4) << key << ' ' << tone.size();
        }
}

}  // namespace
}  // namespace lw::hear
