// SPDX-License-Identifier: GPL-3.0-or-later
//
// The breath line and the sheet on a thousand licks made by chance: no ink meets that should not, nothing
// leaves the page, nothing is set too small, and the maps from time to place hold.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/sheet.hpp"
#include "engine/draw/svg.hpp"
#include "tests/draw/ink_rules.hpp"
#include "tests/support/random_lick.hpp"

namespace {

using namespace lw;
using namespace lw::test;
using draw::LineChoices;
using lick::Event;
using lick::Lick;

constexpr int lick_count = 1000;

text::SheetChoices random_choices(support::Dice& dice) {
    text::SheetChoices c;
    c.paper = dice.chance(50) ? text::Paper::a4 : text::Paper::letter;
    c.large_print = dice.chance(30);
    c.spelling = static_cast<text::Spelling>(dice.roll(0, 3));
    c.staff = dice.chance(50);
    return c;
}

void expect_on_page(const Picture& p, double margin) {
    for (const Command& c : p.commands) {
        if (draw::empty(c.box)) continue;
        ASSERT_GE(c.box.x, margin - slack) << describe(c);
        ASSERT_GE(c.box.y, margin - slack) << describe(c);
        ASSERT_LE(c.box.right(), p.width - margin + slack) << describe(c);
        ASSERT_LE(c.box.bottom(), p.height - margin + slack) << describe(c);
    }
}

void expect_legible(const Picture& p) {
    for (const Command& c : p.commands) {
        if (c.kind == Command::Kind::words) {
            ASSERT_GE(c.size, 7.0) << describe(c);
        }
    }
}

/// Boxes that layout keeps must be the ink of the commands as they are now, after all moves.
void expect_true_boxes(const Picture& p) {
    for (const Command& c : p.commands) {
        const Box now = draw::ink_of(c);
        ASSERT_NEAR(now.x, c.box.x, 1e-6) << describe(c);
        ASSERT_NEAR(now.y, c.box.y, 1e-6) << describe(c);
        ASSERT_NEAR(now.width, c.box.width, 1e-6) << describe(c);
        ASSERT_NEAR(now.height, c.box.height, 1e-6) << describe(c);
    }
}

/// Every written note has exactly its holes as numbers, in order, and its place in the map.
void expect_numbers(const Lick& lick, const Picture& p) {
    std::map<int, std::vector<std::string>> numbers;
    for (const Command& c : p.commands)
        if (c.part == Part::number) numbers[c.owner].push_back(c.words);
    std::map<std::pair<std::size_t, std::size_t>, int> token_of;
    for (std::size_t i = 0; i < p.tokens.size(); ++i) {
        const bool fresh =
            token_of.emplace(std::pair{p.tokens[i].bar, p.tokens[i].event}, static_cast<int>(i)).second;
        ASSERT_TRUE(fresh) << "a token stands twice";
    }
    std::size_t notes = 0;
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        for (std::size_t e = 0; e < lick.bars[b].events.size(); ++e) {
            const Event& event = lick.bars[b].events[e];
            if (event.kind != Event::Kind::note) continue;
            ++notes;
            const auto place = token_of.find({b, e});
            ASSERT_NE(place, token_of.end()) << "bar " << b << " event " << e;
            std::vector<std::string> want;
            for (const int hole : event.tab.holes) want.push_back(std::to_string(hole));
            ASSERT_EQ(numbers[place->second], want) << "bar " << b << " event " << e;
        }
    }
    ASSERT_EQ(numbers.size(), notes);
}

/// Blown numbers stay above the breath line, drawn ones below, however deep they bend.
void expect_halves(const Lick& lick, const Picture& p) {
    std::vector<double> line;
    for (const Command& c : p.commands)
        if (c.part == Part::breath_line) line.push_back(c.box.y + c.box.height / 2.0);
    ASSERT_EQ(line.size(), p.systems.size());
    for (const Command& c : p.commands) {
        if (c.part != Part::number_shape && c.part != Part::tail) continue;
        const auto& token = p.tokens[static_cast<std::size_t>(c.owner)];
        const Event& event = lick.bars[token.bar].events[token.event];
        if (event.kind != Event::Kind::note) continue;
        const double y = line[token.system];
        if (event.tab.breath == harp::Breath::blow) {
            ASSERT_LT(c.box.bottom(), y) << describe(c);
        } else {
            ASSERT_GT(c.box.y, y) << describe(c);
        }
    }
}

void expect_monotone(const Lick& lick, const Picture& p) {
    for (std::size_t i = 1; i < p.beats.size(); ++i) {
        const auto& a = p.beats[i - 1];
        const auto& b = p.beats[i];
        ASSERT_TRUE(a.bar < b.bar || (a.bar == b.bar && a.at <= b.at));
        if (a.system == b.system) {
            ASSERT_LE(a.x, b.x + 1e-9);
            if (a.bar == b.bar && a.at < b.at) {
                ASSERT_LT(a.x, b.x);
            }
        } else {
            ASSERT_EQ(a.system + 1, b.system);
        }
    }
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        for (const Event& e : lick.bars[b].events) {
            const draw::Spot spot = draw::spot_at(p, b, e.at);
            const bool known = std::any_of(p.beats.begin(), p.beats.end(), [&](const draw::BeatPlace& place) {
                return place.bar == b && place.at == e.at && std::abs(place.x - spot.x) < 1e-9 &&
                       place.system == spot.system;
            });
            ASSERT_TRUE(known) << "bar " << b;
        }
    }
}

TEST(BreathLine, AThousandLicksKeepTheirInkApart) {
    int failed = 0;
    for (int seed = 0; seed < lick_count && failed < 3; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        support::Dice dice{static_cast<std::uint64_t>(seed) + 77};
        const Lick lick = support::random_lick(static_cast<std::uint64_t>(seed));
        LineChoices c;
        c.width = dice.chance(15) ? 0.0 : dice.roll(330, 900);
        c.spelling = static_cast<text::Spelling>(dice.roll(0, 3));
        c.staff = dice.chance(50);
        c.scale = dice.chance(30) ? 1.45 : 1.0;
        c.labels = dice.chance(80);
        const Picture p = draw::breath_line(lick, c);
        const std::vector<std::string> found = clashes(p);
        EXPECT_THAT(found, testing::IsEmpty());
        expect_on_page(p, 0.0);
        expect_legible(p);
        expect_true_boxes(p);
        expect_numbers(lick, p);
        expect_halves(lick, p);
        expect_monotone(lick, p);
        if (testing::Test::HasFailure()) ++failed;
    }
}

TEST(Sheet, AThousandLicksStayOnTheirPages) {
    for (int seed = 0; seed < lick_count && !HasFailure(); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        support::Dice dice{static_cast<std::uint64_t>(seed) + 991};
        const Lick lick = support::random_lick(static_cast<std::uint64_t>(seed) + 5000);
        const Lick other = support::random_lick(static_cast<std::uint64_t>(seed) + 9000, {4, 4});
        std::vector<const Lick*> licks{&lick};
        if (dice.chance(40)) licks.push_back(&other);
        draw::SheetHead head;
        if (licks.size() > 1) head.title = lick.head.title + " and " + other.head.title;
        if (dice.chance(60)) head.house = "Towpath Harp Lessons";
        if (dice.chance(60)) head.site = "https://example.org/towpath/a-rather-long-address/that-goes-on";
        if (dice.chance(60)) head.date = "2026-03-06";
        if (dice.chance(50)) head.logo_shape = dice.roll(1, 8) / 2.0;
        const std::vector<Picture> pages = draw::sheet(licks, head, random_choices(dice));
        std::size_t tokens = 0;
        for (const Picture& p : pages) {
            EXPECT_THAT(clashes(p), testing::IsEmpty());
            expect_on_page(p, 18.0);  // 6 mm: what an office printer leaves white
            expect_legible(p);
            EXPECT_FALSE(p.spoken.empty());
            tokens += p.tokens.size();
            for (const Command& c : p.commands) {
                if (c.part != Part::number) continue;
                const auto& t = p.tokens.at(static_cast<std::size_t>(c.owner));
                const auto& holes = licks.at(t.lick)->bars.at(t.bar).events.at(t.event).tab.holes;
                EXPECT_THAT(holes, testing::Contains(std::stoi(c.words)));
            }
        }
        std::size_t notes = 0;
        for (const Lick* l : licks)
            for (const lick::Bar& b : l->bars)
                for (const Event& e : b.events) notes += e.kind == Event::Kind::note;
        EXPECT_GE(tokens, notes);
    }
}

TEST(BreathLine, TheSameLickGivesTheSamePicture) {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const Lick lick = support::random_lick(seed);
        LineChoices c;
        c.width = 480.0;
        const auto theme = draw::theme(draw::Look::sheet);
        EXPECT_EQ(draw::svg(draw::breath_line(lick, c), theme), draw::svg(draw::breath_line(lick, c), theme));
    }
}

TEST(BreathLine, SpokenWordsNameEveryHole) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const Lick lick = support::random_lick(seed);
        const std::string spoken = draw::breath_line(lick).spoken;
        for (const lick::Bar& bar : lick.bars)
            for (const Event& e : bar.events)
                for (const int hole : e.tab.holes)
                    EXPECT_THAT(spoken, testing::HasSubstr(std::to_string(hole)));
    }
}

// A whole line reaches the right edge: no gap is left there (our own rule).
TEST(BreathLine, LinesAreFilledToTheRight) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        LineChoices c;
        c.width = 515.0;
        const Picture p = draw::breath_line(support::random_lick(seed), c);
        for (std::size_t s = 0; s + 1 < p.systems.size(); ++s)
            EXPECT_NEAR(p.systems[s].box.right(), c.width - 1.0, 0.2) << "seed " << seed << " line " << s;
    }
}

// On a phone 320 px wide, in large print, the feel goes into a second row and nothing of the head is cut off (our own rule).
TEST(BreathLine, TheHeadStaysInANarrowPicture) {
    Lick lick = support::random_lick(1);
    lick.head.feel.ratio = Fraction{2};
    const auto heads = [&](double width) {
        LineChoices c;
        c.width = width;
        c.scale = 1.5;
        const Picture p = draw::breath_line(lick, c);
        std::vector<Box> marks;
        for (const Command& command : p.commands)
            if (command.part == Part::mark) marks.push_back(command.box);
        EXPECT_THAT(marks, testing::Each(testing::Field(&Box::width, testing::Gt(0.0))));
        double right = 0.0;
        for (const Box& b : marks) right = std::max(right, b.right());
        EXPECT_LE(right, width) << "at " << width << " pt";
        return p.systems.front().top;
    };
    // 195 pt are the 260 px that a 320 px page leaves; the second row takes its own height.
    EXPECT_GT(heads(195.0), heads(480.0) + 10.0);
}

TEST(InkRules, TouchingInkIsSeen) {
    Picture p;
    Command a;
    a.part = Part::count;
    a.box = {0, 0, 10, 10};
    Command b = a;
    b.part = Part::chord;
    b.box = {9, 9, 10, 10};
    p.commands = {a, b};
    EXPECT_EQ(clashes(p).size(), 1u);
    p.commands[1].box.x = 10;
    EXPECT_THAT(clashes(p), testing::IsEmpty());
}

}  // namespace
