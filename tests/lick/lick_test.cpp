// SPDX-License-Identifier: GPL-3.0-or-later
//
// The small questions a lick answers about itself.
#include "engine/lick/lick.hpp"

#include <gtest/gtest.h>

#include <set>

namespace lw::lick {
namespace {

TEST(LickModel, MetersHaveFeltBeats) {
    EXPECT_EQ(Meter(4, 4).beats(), 4);
    EXPECT_EQ(Meter(3, 4).beats(), 3);
    EXPECT_EQ(Meter(6, 8).beats(), 2);
    EXPECT_EQ(Meter(12, 8).beats(), 4);
    EXPECT_EQ(Meter(12, 8).quarters_per_beat(), Fraction(3, 2));
    EXPECT_EQ(Meter(4, 4).quarters_per_beat(), Fraction(1));
}

TEST(LickModel, TheMelodyLiesInTheBentHoleElseInTheHighest) {
    EXPECT_EQ((Tab{{1, 4}, Breath::draw}).lead_hole(), 4);
    EXPECT_EQ((Tab{{3, 4}, Breath::draw, 3, 2}).lead_hole(), 3);
    EXPECT_EQ(Tab{}.lead_hole(), 0);
    const Tab bent{{3, 4}, Breath::draw, 3, 2};
    EXPECT_EQ(bent.note_of(3), (harp::HoleNote{3, Breath::draw, 2, false}));
    EXPECT_EQ(bent.note_of(4), (harp::HoleNote{4, Breath::draw, 0, false}));
}

TEST(LickModel, PlacesInTheTextNeverMakeTwoLicksDiffer) {
    Lick a;
    a.bars.emplace_back();
    Lick b = a;
    b.bars[0].place = {7, 3, 2};
    EXPECT_EQ(a, b);
    b.bars[0].ending = 1;
    EXPECT_NE(a, b);
}

TEST(LickModel, TheKeyOfTheMusicNeedsAPosition) {
    Head head;
    head.harp.key = harp::Key{0};
    EXPECT_FALSE(key_of_music(head));
    head.position = 2;
    EXPECT_EQ(key_of_music(head), harp::Key{7});  // cross harp on C is G
}

TEST(LickModel, EveryGestureHasItsOwnWord) {
    std::set<std::string_view> words;
    for (int g = 0; g <= static_cast<int>(Gesture::ghost); ++g) words.insert(word(static_cast<Gesture>(g)));
    EXPECT_EQ(words.size(), 12U);
    EXPECT_EQ(word(Gesture::approach), "from");
    EXPECT_EQ(word(Gesture::brief), "short");
    EXPECT_EQ(word(Gesture::ghost), "ghost");
}

}  // namespace
}  // namespace lw::lick
