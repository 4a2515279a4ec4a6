// SPDX-License-Identifier: GPL-3.0-or-later
//
// The wording is ours; what is held here is that it says what was written.
#include "engine/lick/walk_through.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

#include "engine/lick/say.hpp"

namespace lw::lick {
namespace {

using ::testing::ElementsAre;

Event note(Fraction at, Fraction length, Tab tab, Start start = Start::attack) {
    Event e;
    e.kind = Event::Kind::note;
    e.at = Beats{at};
    e.length = Beats{length};
    e.tab = std::move(tab);
    e.start = start;
    return e;
}
Event silent(Event::Kind kind, Fraction at, Fraction length) {
    Event e;
    e.kind = kind;
    e.at = Beats{at};
    e.length = Beats{length};
    return e;
}

Lick turnaround() {
    Lick lick;
    lick.head.title = "Turnaround";
    lick.head.position = 2;
    lick.head.tempo = BeatsPerMinute{92};
    lick.head.feel.ratio = 2;
    Bar bar;
    bar.length = Beats{4};
    bar.events = {silent(Event::Kind::rest, 0, 1),
                  note(1, {1, 3}, {{2}, Breath::draw}),
                  note({4, 3}, {1, 3}, {{3}, Breath::draw, 3, 2}),
                  note({5, 3}, {1, 3}, {{1, 4}, Breath::blow}),
                  note(2, 1, {{4}, Breath::draw, 4, 2}),
                  note(3, 1, {{4}, Breath::draw}, Start::joined)};
    bar.groups = {{Beats{1}, Beats{1}, 3, 0, 1}};
    bar.chords = {{Beats{0}, Beats{4}, "G7", {}}};
    lick.bars.push_back(bar);
    return lick;
}

TEST(WalkThrough, TellsHoleBreathBendAndPlace) {
    const WalkThrough told = walk_through(turnaround());
    EXPECT_EQ(told.what,
              "Harp in C, 2nd position, so the music is in G. 4/4, 92 beats a minute, swung long and short.");
    EXPECT_EQ(told.count, "Count: 1 2 3 4, 1; then play.");
    EXPECT_THAT(
        told.bars,
        ElementsAre(
            "Bar 1, over G7. Beat 2: 2 draw. The trip of 2: 3 draw bent a half step. The let of 2: 1 and 4 "
            "blow, tongue on 2 and 3. Beat 3: 4 draw bent a half step. Beat 4: without a new attack, let "
            "the bend up to 4 draw."));
}

// Design rule: one full bar, then every beat before the first note; a pickup counts the missing beats of its
// bar.
TEST(CountIn, FullBarThenTheBeatsBeforeTheFirstNote) {
    EXPECT_EQ(say_count_in(turnaround()), "1 2 3 4, 1");

    Lick pickup = turnaround();
    Bar bar;
    bar.length = Beats{1};
    bar.pickup = true;
    bar.events = {silent(Event::Kind::rest, 0, {2, 3}), note({2, 3}, {1, 3}, {{3}, Breath::draw})};
    pickup.bars.insert(pickup.bars.begin(), bar);
    EXPECT_EQ(say_count_in(pickup), "1 2 3 4, 1 2 3 4")
        << "the pickup's own beat sounds before its note falls";

    Lick on_one = turnaround();
    on_one.bars[0].events = {note(0, 4, {{2}, Breath::draw})};
    EXPECT_EQ(say_count_in(on_one), "1 2 3 4");

    Lick waltz = on_one;
    waltz.head.meter = {3, 4};
    EXPECT_EQ(say_count_in(waltz), "1 2 3");
    Lick slow = on_one;
    slow.head.meter = {12, 8};
    EXPECT_EQ(say_count_in(slow), "1 2 3 4");
    Lick six = on_one;
    six.head.meter = {6, 8};
    EXPECT_EQ(say_count_in(six), "1 2");
}

TEST(Say, EveryBendHasWords) {
    EXPECT_EQ(say(Tab{{5}, Breath::draw, 5, 1}), "5 draw bent a quarter step");
    EXPECT_EQ(say(Tab{{3}, Breath::draw, 3, 2}), "3 draw bent a half step");
    EXPECT_EQ(say(Tab{{3}, Breath::draw, 3, 3}), "3 draw bent a half step and a quarter");
    EXPECT_EQ(say(Tab{{2}, Breath::draw, 2, 4}), "2 draw bent a whole step");
    EXPECT_EQ(say(Tab{{3}, Breath::draw, 3, 6}), "3 draw bent a step and a half");
    EXPECT_EQ(say(Tab{{6}, Breath::blow, 0, 0, true}), "6 overblow");
    EXPECT_EQ(say(Tab{{7}, Breath::draw, 0, 0, true}), "7 overdraw");
    EXPECT_EQ(say(Tab{{3, 4}, Breath::draw, 3, 2}), "3 and 4 draw, 3 bent a half step");
}

TEST(Say, EveryGestureHasWords) {
    const std::array<std::pair<Gesture, std::string>, 10> words = {
        {{Gesture::dip, "with a dip"},
         {Gesture::scoop, "scooped up from below"},
         {Gesture::fall, "falling off at its end"},
         {Gesture::vibrato, "with vibrato"},
         {Gesture::wah, "with a wah of the hands"},
         {Gesture::flutter, "with a flutter of the tongue"},
         {Gesture::slap, "with a tongue slap"},
         {Gesture::accent, "accented"},
         {Gesture::brief, "cut short"},
         {Gesture::ghost, "barely there"}}};
    for (const auto& [gesture, said] : words) EXPECT_EQ(say(Ornament{gesture, 0, {}}), said);
    EXPECT_EQ(say(Ornament{Gesture::shake, 5, {}}), "shaken with 5");
    EXPECT_EQ(say(Ornament{Gesture::approach, 0, {{3}, Breath::draw, 3, 2}}),
              "quickly from 3 draw bent a half step");
    EXPECT_EQ(say(Tab{}), "") << "no hole, nothing to say";
    EXPECT_EQ(say_bend(8), "8 quarter steps") << "past what a harp of known tunings bends";
}

TEST(WalkThrough, TellsRepeatsEndingsBreathsAndWhatIsHeld) {
    Lick lick;
    lick.head.meter = {12, 8};
    lick.head.tempo = BeatsPerMinute{60.5};
    lick.head.harp.tuning = *harp::tuning_named("natural minor");
    Bar pickup;
    pickup.pickup = true;
    pickup.length = Beats{1};
    pickup.events = {note(0, 1, {{3}, Breath::draw, 3, 2})};
    Bar repeated;
    repeated.length = Beats{4};
    repeated.opens_repeat = true;
    repeated.events = {note(0, {3, 2}, {{3}, Breath::draw, 3, 4}, Start::joined),
                       note({3, 2}, {1, 2}, {{3}, Breath::draw, 3, 4}, Start::joined),
                       note(2, 2, {{4}, Breath::draw}, Start::glide)};
    repeated.chords = {
        {Beats{0}, Beats{2}, "C7", {}}, {Beats{2}, Beats{1}, "", {}}, {Beats{3}, Beats{1}, "F7", {}}};
    Bar first;
    first.length = Beats{4};
    first.ending = 1;
    first.closes_repeat = true;
    first.events = {silent(Event::Kind::hold, 0, 1), silent(Event::Kind::hold, 1, 2),
                    note(3, 1, {{4}, Breath::blow})};
    first.events[1].ornaments = {{Gesture::shake, 5, {}}};
    first.events[2].breath_before = true;
    Bar second;
    second.length = Beats{4};
    second.ending = 2;
    second.events = {note(0, 4, {{2}, Breath::draw}, Start::joined)};
    second.events[0].ornaments = {{Gesture::vibrato, 0, {}}};
    second.breath_at_end = true;
    Bar rest;
    rest.length = Beats{4};
    rest.events = {silent(Event::Kind::rest, 0, 4)};
    lick.bars = {pickup, repeated, first, second, rest};
    const WalkThrough told = walk_through(lick);
    EXPECT_EQ(told.what,
              "Harp in C, tuned natural minor. 12/8, 4 slow beats to the bar, each of them three, 60.5 beats "
              "a minute.");
    EXPECT_THAT(
        told.bars,
        ElementsAre(
            "Pickup. Beat 4: 3 draw bent a half step.",
            "Bar 1, the repeat begins here, over C7, then F7. Beat 1: without a new attack, bend on down "
            "to 3 draw bent a whole step, held for 1 1/2 beats. Half way into beat 2: without a new attack, "
            "stay "
            "on 3 draw bent a whole step. Beat 3: gliding all the way, slide to 4 draw, held for 2 beats.",
            "Bar 2, 1st ending. The last note holds on, held for 3 beats. From beat 2 on, shaken with 5. "
            "Take a breath. Beat 4: 4 blow. Go back to the repeat.",
            "Bar 3, 2nd ending. Beat 1: without a new attack, slide to 2 draw, with vibrato, held for 4 "
            "beats. Take a breath.",
            "Bar 4. Rest for the whole bar."));
}

TEST(WalkThrough, TellsTheFeel) {
    Lick lick = turnaround();
    lick.head.feel.ratio = 1;
    EXPECT_NE(walk_through(lick).what.find("a minute, straight."), std::string::npos);
    lick.head.feel.ratio = {3, 2};
    EXPECT_NE(walk_through(lick).what.find("a minute, swung 3 to 2."), std::string::npos);
}

}  // namespace
}  // namespace lw::lick
