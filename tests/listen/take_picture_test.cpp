// SPDX-License-Identifier: GPL-3.0-or-later
//
// A take drawn over its lick: what is written can be read wherever the take runs, on a sheet and on a phone, and every
// slip that was planted is said in the picture.
#include <gmock/gmock.h>

#include "tests/coach/planted.hpp"
#include "workshop/listen/picture.hpp"

namespace lw::listen {
namespace {

using draw::Command;
using draw::Ink;
using draw::Part;

bool meet(const draw::Box& a, const draw::Box& b) {
    constexpr double touch = 0.4;  // points; glyph boxes are a little larger than their ink
    return a.x + touch < b.right() && b.x + touch < a.right() && a.y + touch < b.bottom() &&
           b.y + touch < a.bottom();
}

struct Slipped {
    lick::Lick lick;
    std::vector<hear::HeardNote> take;
    coach::Comparison told;
};

/// One note each: another tab, late, bent too little, left out; and one too many.
Slipped slipped(std::string_view text) {
    Slipped s;
    s.lick = test::typed(text);
    s.take = test::heard(s.lick);
    const auto bent = std::find_if(s.take.begin() + 3, s.take.end(),
                                   [](const hear::HeardNote& n) { return n.tab.bent_hole != 0; });
    if (bent != s.take.end()) test::bend_by(*bent, -0.4);
    test::play_instead(s.take[1], s.lick, {.holes = {6}, .breath = harp::Breath::draw});
    test::late(s.take[s.take.size() - 2], 0.08);
    hear::HeardNote more = s.take.back();
    test::shift(more, (more.offset - more.onset).value + 0.1);
    test::play_instead(more, s.lick, {.holes = {8}, .breath = harp::Breath::blow});
    s.take.push_back(more);
    s.take.erase(s.take.begin() + 6);
    s.told = coach::compare(s.lick, s.take);
    return s;
}

class TakePictures : public ::testing::TestWithParam<std::tuple<std::string_view, double>> {};

TEST_P(TakePictures, NothingWrittenIsCovered) {
    const Slipped s = slipped(std::get<0>(GetParam()));
    ASSERT_TRUE(s.told.same_lick);
    const draw::Picture p = picture_of(s.lick, s.take, s.told, std::get<1>(GetParam()));
    std::vector<std::string> said;
    for (std::size_t i = 0; i < p.commands.size(); ++i) {
        const Command& c = p.commands[i];
        EXPECT_GE(c.box.x, -0.5);
        EXPECT_LE(c.box.right(), p.width + 0.5);
        EXPECT_LE(c.box.bottom(), p.height + 0.5);
        if (c.stroke != Ink::take && c.fill != Ink::take) continue;
        const bool words = c.kind == Command::Kind::words;
        if (words) said.push_back(c.words);
        for (std::size_t k = 0; k < p.commands.size(); ++k) {
            const Command& other = p.commands[k];
            const bool number = other.part == Part::number || other.part == Part::number_shape;
            const bool read = number || (other.kind == Command::Kind::words && k != i);
            if (!read || !meet(c.box, other.box)) continue;
            // Words stand free of everything that is read; lines lie behind it, or under it as a short bar.
            EXPECT_FALSE(words) << c.words << " meets " << other.words;
            if (!words) {
                EXPECT_LT(i, k) << "a line over " << other.words;
            }
        }
    }
    EXPECT_THAT(said, ::testing::Contains("6d"));
    EXPECT_THAT(said, ::testing::Contains("+8b"));
    EXPECT_THAT(said, ::testing::Contains(::testing::ContainsRegex("^(7|8)[0-9] ms late$")));
}

INSTANTIATE_TEST_SUITE_P(Licks, TakePictures,
                         ::testing::Combine(::testing::Values(test::porch, test::gate, test::straight),
                                            ::testing::Values(760.0, 380.0)));

TEST(TakePicture, AFaithfulTakeSaysNothingButWhatTheColourIs) {
    const lick::Lick lick = test::typed(test::porch);
    const auto take = test::heard(lick);
    const draw::Picture p = picture_of(lick, take, coach::compare(lick, take), 760.0);
    std::size_t lines = 0;
    for (const Command& c : p.commands) {
        if (c.kind == Command::Kind::words && c.fill == Ink::take) {
            EXPECT_GT(c.at.y, p.systems.back().box.bottom()) << c.words;
        }
        lines += c.stroke == Ink::take ? 1U : 0U;
    }
    EXPECT_EQ(lines, 2 * take.size());  // where each sounded, and where it began
}

}  // namespace
}  // namespace lw::listen
