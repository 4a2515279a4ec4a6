// SPDX-License-Identifier: GPL-3.0-or-later
//
// The spoken count. The words (`and`, `trip let`, `e and a`, `1 and a` in compound time): common practice, no
// source.
#include "engine/lick/count.hpp"

#include <gtest/gtest.h>

#include "tests/lick/typed.hpp"

namespace lw::lick {
namespace {

using namespace typed;

/// The words of a bar; those where a note starts in capitals and with a star, as the sheet sets them strong.
std::string spoken(const Lick& l, std::size_t b = 0) {
    std::string text;
    for (const CountWord& w : count(l, b))
        text += (text.empty() ? "" : " ") + w.word + (w.starts_note ? "*" : "");
    return text;
}

TEST(Count, TheFourWaysToCutABeat) {
    EXPECT_EQ(spoken(lick({bar("1d 2d . 4d")})), "1* 2* 3 4*");
    EXPECT_EQ(spoken(lick({bar("(1d 2d) (. 3d) (4d -) .")})), "1* and* 2 and* 3* and 4");
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d) . (. - 4d) .")})), "1* trip* let* 2 3 trip let* 4");
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d 4d) (1d (2d 3d)) ((. 2d) 3d) .")})),
              "1* e* and* a* 2* and* a* 3 e* and* 4");
}

TEST(Count, CompoundBeatsAreThree) {
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d) (4d - 5d) 1d -")}, {12, 8})), "1* and* a* 2* and a* 3* 4");
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d) (4d 5d)")}, {6, 8})), "1* and* a* 2*");  // a duplet has no word
}

TEST(Count, GroupsWithoutAWordAreCountedWhereTheyHaveOne) {
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d 4d 5d) (1d 2d 3d 4d 5d 6d) . .")})), "1* 2* trip* and* let* 3 4");
    EXPECT_EQ(spoken(lick({bar("(1d 2d 3d)/2 3d 4d")})), "1* let* 2 trip* 3* 4*");
}

TEST(Count, APickupIsTheEndOfAFullBar) {
    const Lick l = lick({pickup("(4b 5b)"), bar("1d 2d 3d"), bar("1d 2d")}, {3, 4});
    EXPECT_EQ(spoken(l), "3* and*");
    EXPECT_EQ(spoken(l, 1), "1* 2* 3*");
    EXPECT_EQ(spoken(l, 2), "1* 2*");
    EXPECT_EQ(beat_number(l, 0, Beats{Fraction(1, 2)}), 3);
    EXPECT_EQ(beat_number(l, 1, Beats{Fraction(5, 2)}), 3);
}

TEST(Count, OneLineSaysWhereTheWordsStand) {
    const Lick l = lick({bar("1d (2d 3d) . .")});
    const std::vector<CountWord> words = count(l, 0);
    ASSERT_EQ(words.size(), 5U);
    EXPECT_EQ(words[2].at, Beats{Fraction(3, 2)});
    EXPECT_FALSE(words[2].on_beat);
    EXPECT_TRUE(words[1].on_beat);
}

TEST(Count, PlacesAreSaidInWords) {
    const Lick l = lick({bar("1d 2d 3d 4d")});
    EXPECT_EQ(say_place(l, 0, Beats{1}), "beat 2");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(5, 2)}), "the and of 3");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(1, 3)}), "the trip of 1");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(2, 3)}), "the let of 1");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(13, 4)}), "the e of 4");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(15, 4)}), "the a of 4");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(1, 6)}), "one sixth into beat 1");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(13, 5)}), "three fifths into beat 3");
    EXPECT_EQ(say_place(l, 0, Beats{Fraction(19, 24)}), "19/24 into beat 1");
    const Lick c = lick({bar("1d 2d 3d 4d")}, {12, 8});
    EXPECT_EQ(say_place(c, 0, Beats{Fraction(4, 3)}), "the and of 2");
    EXPECT_EQ(say_place(c, 0, Beats{Fraction(5, 3)}), "the a of 2");
    EXPECT_EQ(say_place(c, 0, Beats{Fraction(1, 2)}), "half way into beat 1");
}

}  // namespace
}  // namespace lw::lick
