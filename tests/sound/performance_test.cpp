// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/sound/performance.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "engine/sound/habits.hpp"
#include "tests/sound/licks.hpp"

namespace lw::sound {
namespace {

using harp::Breath;
using lick::Start;
using test::bar;
using test::lick_of;
using test::note;
using test::rest;
using test::tab;

/// `1 2 3 4 | 1 > 2 3`: counted beats, bar lines, and `>` where the phrase begins to sound.
std::string clicks_as_text(const Performance& p) {
    std::string text;
    bool counting = true;
    for (const Click& click : p.clicks) {
        if (click.first_of_bar && !text.empty()) text += "| ";
        if (counting && !click.count_in) text += "> ";
        if (!counting && click.count_in) text += "< ";
        counting = click.count_in;
        text += std::to_string(click.number) + " ";
    }
    if (!text.empty()) text.pop_back();
    return text;
}

lick::Bar pickup(std::vector<lick::Event> events, Fraction length) {
    lick::Bar b = bar(std::move(events), length);
    b.pickup = true;
    return b;
}

const lick::Tab draw4 = tab(4, Breath::draw);
const lick::Tab blow4 = tab(4, Breath::blow);

TEST(CountIn, OneBarThenEveryBeatBeforeTheFirstNote) {
    struct Row {
        const char* what;
        lick::Lick lick;
        const char* count;
        double first_note;  // beats from the start of the clip
    };
    // The rule of the design, row by row: a full bar, then every beat before the first note.
    std::vector<Row> rows;
    rows.push_back({"on beat one", lick_of({bar({note(0, 4, draw4)})}), "1 2 3 4 | > 1 2 3 4", 4});
    rows.push_back(
        {"on beat two", lick_of({bar({rest(0, 1), note(1, 3, draw4)})}), "1 2 3 4 | 1 > 2 3 4", 5});
    rows.push_back({"off beat two", lick_of({bar({rest(0, Fraction{3, 2}), note({3, 2}, {5, 2}, draw4)})}),
                    "1 2 3 4 | 1 2 > 3 4", 5.5});
    rows.push_back({"pickup of one beat", lick_of({pickup({note(0, 1, draw4)}, 1), bar({note(0, 4, blow4)})}),
                    "1 2 3 4 | 1 2 3 > 4 | 1 2 3 4", 7});
    rows.push_back(
        {"pickup of half a beat",
         lick_of({pickup({rest(0, {1, 2}), note({1, 2}, {1, 2}, draw4)}, 1), bar({note(0, 4, blow4)})}),
         "1 2 3 4 | 1 2 3 4 | > 1 2 3 4", 7.5});
    rows.push_back({"a bar of rest first", lick_of({bar({rest(0, 4)}), bar({note(0, 4, draw4)})}),
                    "1 2 3 4 | 1 2 3 4 | > 1 2 3 4", 8});
    lick::Lick waltz = lick_of({bar({note(0, 3, draw4)}, 3)});
    waltz.head.meter = {3, 4};
    rows.push_back({"3/4", waltz, "1 2 3 | > 1 2 3", 3});
    lick::Lick twelve = lick_of({bar({rest(0, {2, 3}), note({2, 3}, {10, 3}, draw4)})});
    twelve.head.meter = {12, 8};
    rows.push_back({"12/8 counts four", twelve, "1 2 3 4 | 1 > 2 3 4", 4 + 2.0 / 3.0});
    lick::Lick six = lick_of({bar({note(0, 2, draw4)}, 2)});
    six.head.meter = {6, 8};
    rows.push_back({"6/8 counts two", six, "1 2 | > 1 2", 2});
    for (const Row& row : rows) {
        const Performance p = perform(row.lick);
        EXPECT_EQ(clicks_as_text(p), row.count) << row.what;
        ASSERT_FALSE(p.notes.empty()) << row.what;
        EXPECT_NEAR(p.notes.front().onset.value, row.first_note * 0.5, 1e-12) << row.what;
        EXPECT_EQ(p.clicks.front().at.value, 0.0) << row.what;
    }
}

TEST(CountIn, RepeatsHaveABarToBreatheAndKeepTheBar) {
    const lick::Lick plain = lick_of({bar({note(0, 4, draw4)})});
    EXPECT_EQ(clicks_as_text(perform(plain, {.repeats = 2})), "1 2 3 4 | > 1 2 3 4 | < 1 2 3 4 | > 1 2 3 4");
    const lick::Lick completed = lick_of({pickup({note(0, 1, draw4)}, 1), bar({note(0, 3, blow4)}, 3)});
    EXPECT_EQ(clicks_as_text(perform(completed, {.repeats = 2})),
              "1 2 3 4 | 1 2 3 > 4 | 1 2 3 < 4 | 1 2 3 > 4 | 1 2 3");
    // A full last bar after a pickup: the rest is longer than a bar, so that the pickup falls on four again.
    const lick::Lick full = lick_of({pickup({note(0, 1, draw4)}, 1), bar({note(0, 4, blow4)})});
    EXPECT_EQ(clicks_as_text(perform(full, {.repeats = 2})),
              "1 2 3 4 | 1 2 3 > 4 | 1 2 3 4 | < 1 2 3 4 | 1 2 3 > 4 | 1 2 3 4");
    const Performance p = perform(full, {.repeats = 2});
    EXPECT_NEAR((p.phrase_starts[1] - p.phrase_starts[0]).value, 12 * 0.5, 1e-12);
    for (std::size_t i = 1; i < p.clicks.size(); ++i) {
        EXPECT_NEAR((p.clicks[i].at - p.clicks[i - 1].at).value, 0.5, 1e-12);
    }
}

TEST(CountIn, ChoicesTurnTheClicksOff) {
    const lick::Lick l = lick_of({bar({rest(0, 1), note(1, 3, draw4)})});
    EXPECT_EQ(clicks_as_text(perform(l, {.click_through = false})), "1 2 3 4 | 1");
    EXPECT_EQ(clicks_as_text(perform(l, {.count_in = false})), "> 1 2 3 4");
    EXPECT_EQ(clicks_as_text(perform(l, {.count_in = false, .click_through = false})), "");
    EXPECT_NEAR(perform(l, {.count_in = false}).notes.front().onset.value, 0.5, 1e-12);
}

TEST(Performance, SwingPutsTheOffbeatAtTwoThirds) {
    lick::Bar b = bar({note(0, {1, 2}, draw4), note({1, 2}, {1, 2}, blow4), rest(1, 3)});
    b.groups.push_back({Beats{0}, Beats{1}, 2, 0, 1});
    for (const auto& [tempo, after] : {std::pair{120.0, 0.3333}, {100.0, 0.4}, {80.0, 0.5}}) {
        lick::Lick l = lick_of({b}, "C", tempo);
        l.head.feel = {Fraction{2}};
        const Performance p = perform(l, {.count_in = false});
        // Off-beat at 2/3 of the beat: 333.3 ms at 120, 400 at 100, 500 at 80 (from the definition of 2:1).
        EXPECT_NEAR(p.notes[1].onset.value, after, 1e-4);
        // The straight middle of the slot is a point of the time map of its own.
        const auto middle = std::find_if(p.beats.begin(), p.beats.end(), [](const BeatTime& t) {
            return t.beat == Beats{Fraction{1, 2}};
        });
        ASSERT_NE(middle, p.beats.end());
        EXPECT_NEAR(middle->at.value, after, 1e-4);
    }
}

TEST(Performance, BeatMapNeverGoesBack) {
    lick::Lick l = lick_of({pickup({note(0, 1, draw4)}, 1), bar({note(0, 4, blow4)})});
    l.head.feel = {Fraction{3, 2}};
    const Performance p = perform(l, {.repeats = 3});
    EXPECT_EQ(p.beats.front().at.value, 0.0);
    for (std::size_t i = 1; i < p.beats.size(); ++i) {
        EXPECT_GE(p.beats[i].at, p.beats[i - 1].at);
        if (p.beats[i].pass == p.beats[i - 1].pass) {
            EXPECT_GT(p.beats[i].beat, p.beats[i - 1].beat);
        } else {
            EXPECT_NEAR((p.beats[i].at - p.beats[i - 1].at).value, 0.0, 1e-12);
        }
    }
    for (int pass = 1; pass <= 3; ++pass) {
        const auto one = std::find_if(p.beats.begin(), p.beats.end(),
                                      [&](const BeatTime& t) { return t.pass == pass && t.beat == Beats{}; });
        ASSERT_NE(one, p.beats.end());
        EXPECT_NEAR((one->at - p.phrase_starts[static_cast<std::size_t>(pass) - 1]).value, 0.0, 1e-12);
    }
    EXPECT_GT(p.length, p.beats.back().at);
}

TEST(BendPath, JoinedBendArrivesWithinSixtyMilliseconds) {
    // `>` is there "within about 60 ms" (the lick language).
    const Performance p =
        perform(lick_of({bar({note(0, 1, tab(4, Breath::draw, 1)), note(1, 3, draw4, Start::joined)})}),
                {.count_in = false});
    const SoundedNote& released = p.notes[1];
    EXPECT_EQ(p.notes[0].offset, released.onset);
    EXPECT_DOUBLE_EQ(released.bend.front().depth.value, 1.0);
    EXPECT_DOUBLE_EQ(bend_at(released, released.onset + Seconds{0.060}).value, 0.0);
    EXPECT_GT(bend_at(released, released.onset + Seconds{0.010}).value, 0.5);
}

TEST(BendPath, GlideTravelsThroughTheWholeNoteBefore) {
    const Performance p = perform(
        lick_of({bar({note(0, 2, tab(3, Breath::draw)), note(2, 2, tab(3, Breath::draw, 3), Start::glide)})}),
        {.count_in = false});
    const SoundedNote& before = p.notes[0];
    double last = 0.0;
    for (int i = 1; i <= 20; ++i) {
        const double depth = bend_at(before, Seconds{i * 0.05}).value;
        EXPECT_GT(depth, last) << i;
        last = depth;
    }
    EXPECT_NEAR(last, 3.0, 1e-9);
    EXPECT_NEAR(bend_at(before, Seconds{0.5}).value, 1.5, 1e-9);
    EXPECT_DOUBLE_EQ(p.notes[1].bend.front().depth.value, 3.0);
    EXPECT_EQ(p.notes[1].bend.size(), 1u);  // it is already there
}

TEST(BendPath, GesturesStayWithinTheReedAndComeHome) {
    using lick::Gesture;
    const harp::Harp c = *harp::harp_named("C");
    for (int hole = 1; hole <= 10; ++hole) {
        for (const Breath breath : {Breath::blow, Breath::draw}) {
            for (const Gesture gesture : {Gesture::dip, Gesture::scoop, Gesture::fall, Gesture::vibrato}) {
                const Performance p =
                    perform(lick_of({bar({test::with(note(0, 4, tab(hole, breath)), gesture)})}));
                const SoundedNote& n = p.notes[0];
                double deepest = 0.0;
                for (const BendPoint& point : n.bend) {
                    EXPECT_GE(point.depth.value, 0.0);
                    EXPECT_LE(point.depth.value, harp::bend_floor(c, {hole, breath}).value + 1e-12);
                    deepest = std::max(deepest, point.depth.value);
                }
                EXPECT_GT(deepest, 0.02) << "something must be heard of the gesture on hole " << hole;
                if (gesture != Gesture::fall) {
                    EXPECT_NEAR(bend_at(n, n.onset + Seconds{0.3}).value, 0.0, 0.07);
                }
                if (gesture == Gesture::scoop) {
                    EXPECT_DOUBLE_EQ(n.bend.front().depth.value, deepest);
                }
                if (gesture == Gesture::fall) {
                    EXPECT_DOUBLE_EQ(n.bend.back().depth.value, deepest);
                }
            }
        }
    }
}

TEST(BendPath, ApproachStartsFromTheOtherBendOfTheHole) {
    lick::Event e = note(0, 4, tab(3, Breath::draw, 1));
    e.ornaments.push_back({lick::Gesture::approach, 0, tab(3, Breath::draw, 3)});
    const Performance p = perform(lick_of({bar({e})}), {.count_in = false});
    EXPECT_DOUBLE_EQ(p.notes[0].bend.front().depth.value, 3.0);
    EXPECT_DOUBLE_EQ(bend_at(p.notes[0], Seconds{0.081}).value, 1.0);
}

TEST(Performance, VibratoIsFourToSevenHertz) {
    const Performance p = perform(
        lick_of({bar({test::with(note(0, 4, tab(2, Breath::draw, 1)), lick::Gesture::vibrato)})}, "C", 60));
    int turns = 0;
    const auto& path = p.notes[0].bend;
    for (std::size_t i = 1; i + 1 < path.size(); ++i) {
        if (path[i].depth > path[i - 1].depth && path[i].depth >= path[i + 1].depth) ++turns;
    }
    const double seconds = (p.notes[0].offset - p.notes[0].onset).value - 0.12;
    EXPECT_GE(turns / seconds, 4.0);  // 4 to 7 Hz: common practice, no source
    EXPECT_LE(turns / seconds, 7.0);
}

TEST(Performance, BreathsShortsGapsAndJoinsShapeTheEnds) {
    lick::Event breathed = note(1, 1, draw4);
    breathed.breath_before = true;
    lick::Bar b = bar({note(0, 1, draw4), breathed, test::with(note(2, 1, draw4), lick::Gesture::brief),
                       note(3, 1, blow4)});
    b.breath_at_end = true;
    const Performance p = perform(lick_of({b}), {.count_in = false});
    const auto gap = [&](std::size_t i, double end) { return end - p.notes[i].offset.value; };
    EXPECT_NEAR(gap(0, 0.5), habits::catch_breath.value, 1e-12);
    EXPECT_NEAR(gap(1, 1.0), habits::tongue_gap.value, 1e-12);
    EXPECT_NEAR(gap(2, 1.5), 0.25, 1e-12);
    EXPECT_NEAR(gap(3, 2.0), habits::catch_breath.value, 1e-12);
}

TEST(Performance, AccentAndGhostMoveTheBreath) {
    const Performance p =
        perform(lick_of({bar({note(0, 1, draw4), test::with(note(1, 1, draw4), lick::Gesture::accent),
                              test::with(note(2, 1, draw4), lick::Gesture::ghost), note(3, 1, draw4)})}));
    EXPECT_GT(p.notes[1].strength, p.notes[0].strength);
    EXPECT_LT(p.notes[2].strength, p.notes[3].strength);
    EXPECT_GT(p.notes[0].strength, p.notes[3].strength);  // the downbeat leans
}

TEST(Performance, AnEmptyLickIsACountAndSilence) {
    const Performance p = perform(lick_of({bar({rest(0, 4)})}));
    EXPECT_TRUE(p.notes.empty());
    EXPECT_EQ(clicks_as_text(p), "1 2 3 4 | 1 2 3 4");
    EXPECT_NEAR(p.length.value, 4.0 + habits::last_tail.value, 1e-12);
    const Performance none = perform(lick_of({}));
    EXPECT_GE(none.length.value, 0.0);
}

TEST(Performance, TempoChoiceScalesEverything) {
    const lick::Lick l = lick_of({bar({note(0, 4, draw4)})}, "C", 100);
    EXPECT_EQ(perform(l).tempo.value, 100.0);
    const Performance slow = perform(l, {.tempo = BeatsPerMinute{60.0}});
    EXPECT_NEAR(slow.notes[0].onset.value, 4.0, 1e-12);
}

}  // namespace
}  // namespace lw::sound
