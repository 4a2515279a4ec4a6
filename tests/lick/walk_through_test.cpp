// SPDX-License-Identifier: GPL-3.0-or-later
//
// The wording is ours; what is held here is that it says what was written.
#include "engine/lick/walk_through.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

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

}  // namespace
}  // namespace lw::lick
