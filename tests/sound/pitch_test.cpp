// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every note of the harp, heard by aubio: plain notes within 5 cents of the model, held bends within 10 (the
// bars that the project set itself).
#include <gtest/gtest.h>

#include <cmath>

#include "engine/sound/reed_voice.hpp"
#include "tests/sound/aubio_pitch.hpp"
#include "tests/sound/licks.hpp"

namespace lw::sound {
namespace {

using harp::Breath;
using test::bar;
using test::lick_of;
using test::note;
using test::tab;

struct Heard {
    double worst_plain = 0.0;
    double worst_bent = 0.0;
    int plain = 0;
    int bent = 0;
};

/// Plays all notes of a harp one after the other and asks aubio about the middle half of each.
Heard hear(const ReedTables& tables, const harp::Harp& harp, BeatsPerMinute tempo) {
    std::vector<lick::Bar> bars;
    std::vector<harp::HoleNote> notes;
    for (const harp::HoleNote& n : harp::every_note(harp)) {
        lick::Tab t = tab(n.hole, n.breath);
        t.overbend = n.overbend;
        t.bent_hole = n.bend_quarter_steps > 0 ? n.hole : 0;
        t.bend_quarter_steps = n.bend_quarter_steps;
        bars.push_back(bar({note(0, 2, t), test::rest(2, 2)}));
        notes.push_back(n);
    }
    lick::Lick l = lick_of(std::move(bars));
    l.head.harp = harp;
    l.head.tempo = tempo;
    const Performance p = perform(l, {.count_in = false, .click_through = false});
    const std::vector<float> sound = render_voice(tables, harp, p);
    Heard heard;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const SoundedNote& n = p.notes[i];
        const double length = (n.offset - n.onset).value;
        EXPECT_GE(length, 0.25);
        const auto from = static_cast<std::size_t>((n.onset.value + length / 4) * 48000.0);
        const auto count = static_cast<std::size_t>(length / 2 * 48000.0);
        const double meant = harp::frequency(harp, notes[i])->value;
        const double f = test::median_pitch(std::span{sound}.subspan(from, count), 48000.0, meant);
        const double off = std::abs(test::cents(f, meant));
        const bool plain = notes[i].bend_quarter_steps == 0;
        (plain ? heard.worst_plain : heard.worst_bent) =
            std::max(plain ? heard.worst_plain : heard.worst_bent, off);
        ++(plain ? heard.plain : heard.bent);
        EXPECT_LE(off, plain ? 5.0 : 10.0)
            << harp::name(harp) << " " << harp::to_text(notes[i]) << " heard " << f;
    }
    return heard;
}

class EveryHarp : public testing::TestWithParam<const char*> {};

TEST_P(EveryHarp, AubioHearsTheModel) {
    static const ReedTables tables;
    const Heard heard = hear(tables, *harp::harp_named(GetParam()), BeatsPerMinute{160.0});
    EXPECT_GE(heard.plain, 20);
    EXPECT_GE(heard.bent, 12);
    RecordProperty("worst_plain_cents", std::to_string(heard.worst_plain));
    RecordProperty("worst_bent_cents", std::to_string(heard.worst_bent));
    std::printf("%s: plain within %.2f cents, bends within %.2f\n", GetParam(), heard.worst_plain,
                heard.worst_bent);
}

INSTANTIATE_TEST_SUITE_P(LowCToHighG, EveryHarp,
                         testing::Values("low C", "low D", "low F", "G", "A", "Bb", "C", "D", "F", "F#",
                                         "high G"));

TEST(Pitch, TemperamentAndMasterPitchAreHeard) {
    const ReedTables tables;
    harp::Harp harp = *harp::harp_named("C");
    harp.a4 = Hz{443.0};
    for (const harp::Temperament& t : harp::known_temperaments()) {
        harp.temperament = t;
        const Heard heard = hear(tables, harp, BeatsPerMinute{240.0});
        EXPECT_GE(heard.plain, 20);
    }
}

TEST(Pitch, TheEarItselfIsRight) {
    // aubio on a bare sine, through the same path: what it is off by is not the voice's.
    for (const double f : {130.81, 440.0, 1046.5, 2093.0, 3135.96}) {
        std::vector<float> sine(12000);
        for (std::size_t i = 0; i < sine.size(); ++i) {
            sine[i] = static_cast<float>(
                0.3 * std::sin(2.0 * 3.14159265358979 * f * static_cast<double>(i) / 48000.0));
        }
        EXPECT_NEAR(test::cents(test::median_pitch(sine, 48000.0, f), f), 0.0, 1.5) << f;
    }
}

TEST(Pitch, AGlideIsHeardAsOne) {
    // 3d sinking three half steps through a two second note: the pitch falls all the way, without a step.
    const ReedTables tables;
    const lick::Lick l = lick_of(
        {bar({note(0, 2, tab(3, Breath::draw)), note(2, 2, tab(3, Breath::draw, 3), lick::Start::glide)})},
        "C", 60);
    const Performance p = perform(l, {.count_in = false});
    const std::vector<float> sound = render_voice(tables, l.head.harp, p);
    const std::vector<double> heard = test::pitches(std::span{sound}.subspan(0, 3 * 48000), 48000.0, 2048);
    const double start = harp::frequency(l.head.harp, harp::Reed{3, Breath::draw}).value;
    int compared = 0;
    for (std::size_t i = 40; i < heard.size(); ++i) {
        // aubio's window is 2048 samples and ends with the hop.
        const Seconds middle{(static_cast<double>(i + 1) * 256.0 - 1024.0) / 48000.0};
        const SoundedNote& n = middle < p.notes[1].onset ? p.notes[0] : p.notes[1];
        const double meant = start * std::exp2(-bend_at(n, middle).value / 12.0);
        EXPECT_NEAR(test::cents(heard[i], meant), 0.0, 15.0) << "at " << middle.value;
        ++compared;
    }
    EXPECT_GT(compared, 400);
}

TEST(Pitch, AJoinedBendIsThereInTime) {
    // From 4d' to 4d: heard arrived 60 ms after the join (a window of 2048 samples or less looks at it).
    const ReedTables tables;
    const lick::Lick l = lick_of(
        {bar({note(0, 2, tab(4, Breath::draw, 1)), note(2, 2, tab(4, Breath::draw), lick::Start::joined)})},
        "C", 120);
    const Performance p = perform(l, {.count_in = false});
    const std::vector<float> sound = render_voice(tables, l.head.harp, p);
    const double joined = p.notes[1].onset.value;
    const double low = harp::frequency(l.head.harp, harp::HoleNote{4, Breath::draw, 2})->value;
    const double high = harp::frequency(l.head.harp, harp::HoleNote{4, Breath::draw})->value;
    const auto at = [&](double from, double to) {
        return test::median_pitch(std::span{sound}.subspan(static_cast<std::size_t>(from * 48000.0),
                                                           static_cast<std::size_t>((to - from) * 48000.0)),
                                  48000.0, high);
    };
    EXPECT_NEAR(test::cents(at(joined - 0.3, joined), low), 0.0, 10.0);
    EXPECT_NEAR(test::cents(at(joined + 0.06, joined + 0.3), high), 0.0, 5.0);
    // No new attack: the level does not drop in between.
    double lowest = 1.0;
    for (double t = joined - 0.05; t < joined + 0.1; t += 0.005) {
        double peak = 0.0;
        for (int i = 0; i < 240; ++i) {
            peak = std::max(
                peak,
                std::abs(double{sound[static_cast<std::size_t>(t * 48000.0) + static_cast<std::size_t>(i)]}));
        }
        lowest = std::min(lowest, peak);
    }
    EXPECT_GT(lowest, 0.1);
}

}  // namespace
}  // namespace lw::sound
