// SPDX-License-Identifier: GPL-3.0-or-later
#include <gtest/gtest.h>

#include <cmath>

#include "tests/print/outside.hpp"
#include "tests/print/pixels.hpp"
#include "tests/print/samples.hpp"
#include "workshop/print/print.hpp"

namespace {

using namespace lw;

TEST(Png, HasTheSizeOfThePictureTimesTheScale) {
    const test::Folder folder;
    draw::Picture picture = test::every_command();
    picture.height = 299.2;
    for (const double scale : {0.5, 1.0, 2.5}) {
        const auto bytes = print::png(picture, draw::theme(draw::Look::light), {.scale = scale});
        ASSERT_TRUE(bytes.has_value());
        const test::Pixels p = test::read_png(folder.write("a.png", *bytes));
        EXPECT_EQ(p.width, static_cast<int>(420 * scale));
        EXPECT_EQ(p.height, static_cast<int>(std::ceil(299.2 * scale)));
        const draw::Colour paper = draw::theme(draw::Look::light)[draw::Ink::paper];
        EXPECT_EQ(p.at(0, 0)[0], paper.blue);
        EXPECT_EQ(p.at(0, 0)[1], paper.green);
        EXPECT_EQ(p.at(0, 0)[2], paper.red);
    }
}

TEST(Png, CanBeClearBehindItsInk) {
    const test::Folder folder;
    const auto bytes = print::png(test::every_command(), draw::theme(draw::Look::overlay),
                                  {.scale = 1, .transparent = true});
    ASSERT_TRUE(bytes.has_value());
    const test::Pixels p = test::read_png(folder.write("a.png", *bytes));
    EXPECT_EQ(p.at(0, 0)[3], 0);
    EXPECT_GT(test::inked(p), 0.02);
}

TEST(Png, SameBytesEveryTime) {
    const auto once = print::png(test::every_command(), draw::theme(draw::Look::sheet));
    const auto again = print::png(test::every_command(), draw::theme(draw::Look::sheet));
    ASSERT_TRUE(once && again);
    EXPECT_EQ(*once, *again);
}

TEST(Png, RefusesASizeNobodyCanUse) {
    for (const double scale : {0.0, -1.0, 100.0, 1e12}) {
        const auto bytes =
            print::png(test::every_command(), draw::theme(draw::Look::sheet), {.scale = scale});
        ASSERT_FALSE(bytes.has_value()) << scale;
        EXPECT_NE(bytes.error().words.find("pixels is too"), std::string::npos) << bytes.error().words;
    }
}

std::string small_logo() {
    draw::Picture picture = test::every_command();
    return print::png(picture, draw::theme(draw::Look::dark), {.scale = 0.5}).value();
}

TEST(Logo, IsPaintedInItsBoxWithoutStretching) {
    const test::Folder folder;
    const auto logo = print::read_logo(small_logo(), "logo.png");
    ASSERT_TRUE(logo.has_value());
    EXPECT_EQ(logo->width, 210);
    EXPECT_EQ(logo->height, 150);
    draw::Picture picture;
    picture.width = 100;
    picture.height = 60;
    draw::Command c;
    c.kind = draw::Command::Kind::image;
    c.part = draw::Part::logo;
    c.box = {20, 10, 60, 30};  // twice as wide as high: the logo is 42 wide, in the middle
    picture.commands = {c};
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    const auto with = print::png(picture, theme, {.scale = 1, .logo = &*logo});
    const auto without = print::png(picture, theme, {.scale = 1});
    ASSERT_TRUE(with && without);
    const test::Pixels p = test::read_png(folder.write("with.png", *with));
    EXPECT_EQ(test::inked(test::read_png(folder.write("without.png", *without))), 0.0);
    EXPECT_NEAR(test::inked(p) * 6000, 42 * 30, 100);
    EXPECT_EQ(p.at(25, 25)[0], 255);
    EXPECT_LT(p.at(31, 25)[0], 100);
}

TEST(Logo, EveryBadFileHasOneClearLine) {
    const std::string good = small_logo();
    std::string huge = good;
    huge[16] = '\x7f';
    std::string damaged = good;
    damaged.resize(damaged.size() / 2);
    const struct {
        std::string bytes;
        const char* words;
    } cases[] = {{"", "is not a PNG picture"},
                 {"\xFF\xD8\xFF\xE0 a photograph of some kind", "is not a PNG picture"},
                 {"<?xml version=\"1.0\"?><svg xmlns=\"http://www.w3.org/2000/svg\"/>", "is an SVG file"},
                 {"  <svg xmlns=\"http://www.w3.org/2000/svg\"></svg>", "is an SVG file"},
                 {good.substr(0, 20), "is not a PNG picture"},
                 {huge, "pixels"},
                 {damaged, "is damaged"}};
    for (const auto& c : cases) {
        const auto logo = print::read_logo(c.bytes, "house/logo.png");
        ASSERT_FALSE(logo.has_value()) << c.words;
        EXPECT_NE(logo.error().words.find(c.words), std::string::npos) << logo.error().words;
        EXPECT_NE(logo.error().words.find("house/logo.png"), std::string::npos);
        EXPECT_EQ(logo.error().words.find('\n'), std::string::npos);
        EXPECT_FALSE(logo.error().remedy.empty());
    }
}

}  // namespace
