// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our SVG through two renderers that share no code with ours or with each other (resvg, librsvg), against our own PNG.
// At most 0.5 % of the pixels may differ by more than 32 of 255.
#include <gtest/gtest.h>

#include <cmath>

#include "engine/draw/svg.hpp"
#include "tests/print/outside.hpp"
#include "tests/print/pixels.hpp"
#include "tests/print/samples.hpp"
#include "workshop/print/print.hpp"

namespace {

using namespace lw;

constexpr double pixels_a_point = 2.0;
constexpr double most_different = 0.005;

void expect_agreement(const test::Folder& folder, const std::string& name, draw::Picture picture,
                      draw::Look look) {
    SCOPED_TRACE(name);
    // Whole points: renderers stretch a broken size to whole pixels, each in its own way.
    picture.width = std::ceil(picture.width);
    picture.height = std::ceil(picture.height);
    const draw::Theme theme = draw::theme(look);
    const auto ours = print::png(picture, theme, {.scale = pixels_a_point});
    ASSERT_TRUE(ours.has_value());
    const std::string png = folder.write(name + ".png", *ours);
    const std::string svg = folder.write(name + ".svg", draw::svg(picture, theme, {.title = name}));
    // Both take a CSS pixel as 1/96 inch, so a point is 4/3 of one.
    const std::string zoom = std::to_string(pixels_a_point * 72 / 96);
    const std::string by_resvg = folder / (name + "-resvg.png");
    const std::string by_librsvg = folder / (name + "-librsvg.png");
    const test::Said one = test::run("node " LICKWRIGHT_SOURCE_DIR "/tests/print/resvg.mjs '" + svg + "' '" +
                                     by_resvg + "' " + zoom);
    ASSERT_EQ(one.status, 0) << one.words << "Run tools/setup --tests; it installs this renderer.";
    const test::Said two = test::run("rsvg-convert --dpi-x 96 --dpi-y 96 --zoom " + zoom + " -o '" +
                                     by_librsvg + "' '" + svg + "'");
    ASSERT_EQ(two.status, 0) << two.words;

    const test::Pixels own = test::read_png(png);
    EXPECT_GT(test::inked(own), 0.02) << "there is something on it";
    const double first = test::different(own, test::read_png(by_resvg));
    const double second = test::different(own, test::read_png(by_librsvg));
    EXPECT_LE(first, most_different) << "resvg";
    EXPECT_LE(second, most_different) << "librsvg";
    std::printf("%-24s %.3f %% (resvg) %.3f %% (librsvg) of the pixels differ\n", name.c_str(), 100 * first,
                100 * second);
}

TEST(Renderers, AgreeOnEveryCommand) {
    const test::Folder folder;
    expect_agreement(folder, "every-command", test::every_command(), draw::Look::sheet);
    expect_agreement(folder, "every-command-dark", test::every_command(), draw::Look::dark);
}

TEST(Renderers, AgreeOnHarpCharts) {
    const test::Folder folder;
    expect_agreement(folder, "c-second", test::chart("C", 2), draw::Look::sheet);
    expect_agreement(folder, "low-f-third", test::chart("low F", 3), draw::Look::black);
}

TEST(Renderers, AgreeOnBreathLines) {
    const test::Folder folder;
    expect_agreement(folder, "porch-light", test::breath_lines(520, false), draw::Look::sheet);
    expect_agreement(folder, "porch-light-phone", test::breath_lines(260, false), draw::Look::dark);
    expect_agreement(folder, "porch-light-staff", test::breath_lines(520, true, text::Spelling::arrows),
                     draw::Look::black);
}

// librsvg reads through libxml2, which accepts well-formed XML only.
TEST(Renderers, FindTheFileWellFormedWhateverTheWords) {
    const test::Folder folder;
    draw::Picture picture = test::every_command();
    picture.spoken = "]]> <!-- -- \x01 \xFF & &amp; </desc>";
    for (const char* words : {"</svg>", "&bad;", "\"'<>", "\x08\x0B", "\xC3", "\uFFFE", "ブルース 🎵"})
        picture.commands.push_back(test::words_at(words, {20, 110}, 9));
    for (const auto mode : {draw::SvgChoices::Words::shapes, draw::SvgChoices::Words::text}) {
        const std::string text = draw::svg(picture, draw::theme(draw::Look::sheet),
                                           {.words = mode, .title = "<&>\" \x02", .id = "a\"b<c"});
        const test::Said said =
            test::run("rsvg-convert -o '" + (folder / "out.png") + "' '" + folder.write("a.svg", text) + "'");
        EXPECT_EQ(said.status, 0) << said.words;
    }
    // The judge must see a fault: one stray ampersand.
    EXPECT_NE(
        test::run(
            "rsvg-convert -o '" + (folder / "out.png") + "' '" +
            folder.write("b.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"><desc>a & b</desc></svg>") + "'")
            .status,
        0);
}

// The measure itself must see a fault: one letter missing from a title is more than the limit allows here.
TEST(Renderers, TheMeasureSeesAFault) {
    const test::Folder folder;
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    draw::Picture picture = test::every_command();
    const auto whole = print::png(picture, theme, {.scale = pixels_a_point});
    std::erase_if(picture.commands,
                  [](const draw::Command& c) { return c.kind == draw::Command::Kind::music; });
    const auto without = print::png(picture, theme, {.scale = pixels_a_point});
    const double part = test::different(test::read_png(folder.write("whole.png", *whole)),
                                        test::read_png(folder.write("without.png", *without)));
    EXPECT_GT(part, most_different);
}

}  // namespace
