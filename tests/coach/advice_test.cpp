// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a teacher would say first, and how it is said. Takes without sound (planted.hpp).
#include <gmock/gmock.h>

#include "engine/coach/compare.hpp"
#include "tests/coach/planted.hpp"

namespace lw::coach {
namespace {

using test::heard;
using test::typed;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST(Advice, StraightOffBeatsInASwingLickAreOneRemark) {
    lick::Lick lick = typed(
        "harp: C\ntempo: 92\nfeel: swing\n"
        "tab | (4b 4d) (5b 4d) (4b 4d) 5b | (4b 4d) (5b 4d) 4b . |\n");
    lick::Lick straight = lick;
    straight.head.feel = {};
    const Comparison c = compare(lick, heard(straight, {.scatter = 0.005}));
    ASSERT_TRUE(c.swing);
    EXPECT_NEAR(*c.swing, 1.0, 0.1);
    ASSERT_EQ(c.advice.size(), 1U);
    EXPECT_EQ(c.advice.front().about, Advice::About::swing);
    const Comparison faithful = compare(lick, heard(lick, {.scatter = 0.005}));
    EXPECT_NEAR(*faithful.swing, 2.0, 0.25);
    EXPECT_THAT(faithful.advice, IsEmpty());
}

TEST(Advice, TheListSaysWhatCostsMostFirst) {
    const lick::Lick lick = typed(test::straight);
    auto take = heard(lick);
    test::late(take[4], 0.06);
    test::play_instead(take[8], lick, lick::Tab{.holes = {9}, .breath = lick::Breath::draw});
    const Comparison c = compare(lick, take);
    ASSERT_EQ(c.advice.size(), 2U);
    EXPECT_EQ(c.advice[0].about, Advice::About::wrong_note);
    EXPECT_EQ(c.advice[1].about, Advice::About::timing);
    EXPECT_GT(c.advice[0].weight, c.advice[1].weight);
    EXPECT_EQ(c.advice[1].words, "Late by 60 ms: bar 1, beat 4.");
}

TEST(Advice, APlaceIsSaidOnceAndTheEndIsNoPlaceBefore) {
    const lick::Lick lick = typed(test::straight);
    auto take = heard(lick);
    hear::HeardNote after = take.back();
    test::shift(after, (after.offset - after.onset).value + 0.05);
    test::play_instead(after, lick, lick::Tab{.holes = {9}, .breath = lick::Breath::draw});
    take.push_back(after);
    const auto of_extras = [](const Comparison& c) {
        for (const Advice& a : c.advice)
            if (a.about == Advice::About::extra) return a.words;
        return std::string{};
    };
    EXPECT_EQ(of_extras(compare(lick, take)), "9 draw is not in the lick, after the last note.");
    take = heard(lick);
    hear::HeardNote& broad = take[4];  // two others take the rest of its time
    const Seconds third = (broad.offset - broad.onset) / 3.0, first = broad.onset;
    broad.offset = first + third;
    broad.bend_path.clear();
    for (int k = 1; k < 3; ++k) {
        hear::HeardNote more = take[4];
        test::shift(more, k * third.value);
        test::play_instead(more, lick, lick::Tab{.holes = {8 + k}, .breath = lick::Breath::draw});
        take.insert(take.begin() + 4 + k, more);
    }
    EXPECT_EQ(of_extras(compare(lick, take)), "2 notes are not in the lick, before bar 1, the and of 4.");
}

// Who pulls a note down by accident pulls it down differently each time; a reed that is flat is flat every time.
TEST(Advice, ANoteThatIsFlatAlikeEachTimeMayBeTheReed) {
    const lick::Lick lick =
        test::typed("harp: C\nposition: 2\ntempo: 90\n\ntab | 4d 5d 4d 3d | 4d 5d 4d 2d |\n");
    const auto first_words = [&](const std::array<double, 4>& depths) {
        auto take = test::heard(lick);
        std::size_t next = 0;
        for (hear::HeardNote& n : take)
            if (n.tab.lead_hole() == 4) test::bend_by(n, depths[next++]);
        const Comparison c = compare(lick, take);
        return c.advice.empty() ? std::string{} : c.advice.front().words;
    };
    EXPECT_THAT(first_words({0.38, 0.39, 0.37, 0.38}), testing::HasSubstr("if it does, that reed is flat"));
    const std::string by_accident = first_words({0.38, 0.0, 0.39, 0.0});
    EXPECT_THAT(by_accident, testing::HasSubstr("Let it ring open."));
    EXPECT_THAT(by_accident, testing::Not(testing::HasSubstr("reed")));
}

TEST(Advice, FaultsHaveOneName) {
    NoteGrade g;
    EXPECT_THAT(faults(g), IsEmpty());
    g.wrong_hole = g.wrong_breath = g.wrong_bend = g.late = g.early = g.cut_short = g.too_long = g.flat =
        g.sharp = true;
    g.gestures_missed = {lick::Gesture::dip, lick::Gesture::shake};
    EXPECT_THAT(faults(g), ElementsAre("wrong hole", "wrong breath", "wrong bend", "late", "early", "short",
                                       "long", "flat", "sharp", "no dip", "no shake"));
}

}  // namespace
}  // namespace lw::coach
