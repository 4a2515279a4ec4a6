// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where swing puts a note. Swing is long-short 2:1 (the outer notes of a triplet): common practice, no
// source; a ratio a:b puts the off-beat at a / (a + b) of the beat: definition of `swing` in MusicXML 4.0
// (W3C). It moves the second part of a slot's two-part group and nothing else: our own rule.
#include <gtest/gtest.h>

#include "engine/lick/unfold.hpp"
#include "tests/lick/typed.hpp"

namespace lw::lick {
namespace {

using namespace typed;

/// Where the notes of a lick fall when it is played.
std::string places(const Lick& l) {
    const Unfolded u = unfold(l);
    std::string text;
    for (const PlayedNote& n : u.notes) text += (text.empty() ? "" : " ") + say(swung(l, u, n.start).value);
    return text;
}

TEST(Swing, TheSecondOfTwoFallsOnTheThirdOfThree) {
    EXPECT_EQ(places(lick({bar("(1d 2d) 3d (4d 5d) 6d")}, {4, 4}, 2)), "0 2/3 1 2 8/3 3");
    EXPECT_EQ(places(lick({bar("(1d 2d) 3d (4d 5d) 6d")}, {4, 4}, {3, 2})), "0 3/5 1 2 13/5 3");
    EXPECT_EQ(places(lick({bar("(1d 2d) 3d (4d 5d) 6d")}, {4, 4}, 1)), "0 1/2 1 2 5/2 3");
    EXPECT_EQ(places(lick({bar("(1d 2d) 3d 4d")}, {3, 4}, {5, 3})), "0 5/8 1 2");
}

TEST(Swing, OtherGroupsAreEven) {
    EXPECT_EQ(places(lick({bar("(1d 2d 3d) (4d 5d 6d 7d) (1d 2d 3d 4d 5d) .")}, {4, 4}, 2)),
              "0 1/3 2/3 1 5/4 3/2 7/4 2 11/5 12/5 13/5 14/5");
    // A group over two slots never swings, not even one of two parts or one that holds a pair.
    EXPECT_EQ(places(lick({bar("(1d 2d 3d)/2 (4d 5d)/2")}, {4, 4}, 2)), "0 2/3 4/3 2 3");
    EXPECT_EQ(places(lick({bar("(1d 2d 3d (4d 5d))/2 1d 1d")}, {4, 4}, 2)), "0 1/2 1 3/2 7/4 2 3");
}

TEST(Swing, WhatLiesInsideAPartIsStretchedEvenly) {
    // ((a b) c): a and b share the long part. (a (b c)): b and c share the short one.
    EXPECT_EQ(places(lick({bar("((1d 2d) 3d) (4d (5d 6d)) . .")}, {4, 4}, 2)), "0 1/3 2/3 1 5/3 11/6");
    EXPECT_EQ(places(lick({bar("(1d (2d 3d 4d)) . . .")}, {4, 4}, 2)), "0 2/3 7/9 8/9");
    // A two-part group inside a triplet is not the slot's own group.
    EXPECT_EQ(places(lick({bar("(1d (2d 3d) 4d) . . .")}, {4, 4}, 2)), "0 1/3 1/2 2/3");
}

TEST(Swing, CompoundMetersNeverSwing) {
    EXPECT_EQ(places(lick({bar("(1d 2d) (3d - 4d)")}, {6, 8}, 2)), "0 1/2 1 5/3");
    EXPECT_EQ(places(lick({bar("(1d 2d) (3d 4d) 5d 6d")}, {12, 8}, 2)), "0 1/2 1 3/2 2 3");
}

TEST(Swing, EveryPassAndThePickupSwing) {
    EXPECT_EQ(places(lick({pickup("(9d 8d)"), bar({true, 0, true}, "(1d 2d) . . .")}, {4, 4}, 2)),
              "-1 -1/3 0 2/3 4 14/3");
}

TEST(Swing, KeepsOrderAndBeatsAndLeavesTheOutsideAlone) {
    const Lick l = lick({bar("(1d 2d) (3d (4d 5d)) (1d 2d 3d) ((1d 2d) 3d)")}, {4, 4}, {7, 4});
    const Unfolded u = unfold(l);
    Beats last{-2};
    for (int i = -48; i <= 240; ++i) {
        const Beats straight{Fraction(i, 48)};
        const Beats moved = swung(l, u, straight);
        EXPECT_LT(last, moved);
        last = moved;
        const bool outside = straight < u.start || u.end < straight;
        EXPECT_TRUE(moved == straight || !(outside || straight.value.whole()));
        EXPECT_EQ(moved.value.floor(), straight.value.floor());
    }
}

}  // namespace
}  // namespace lw::lick
