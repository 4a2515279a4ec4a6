// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our PDF read by poppler (pdftotext, pdffonts, pdfinfo) and qpdf.
#include <gtest/gtest.h>

#include <iterator>
#include <set>
#include <sstream>

#include "tests/print/outside.hpp"
#include "tests/print/pixels.hpp"
#include "tests/print/samples.hpp"
#include "workshop/print/print.hpp"

namespace {

using namespace lw;

const print::About about{"Porch Light & “Łódź”", "Our own house", "2026-03-01"};

std::string two_pages() {
    const std::vector<draw::Picture> pages = {test::every_command(), test::chart("C", 2)};
    const auto bytes = print::pdf(pages, draw::theme(draw::Look::sheet), about);
    EXPECT_TRUE(bytes.has_value());
    return bytes.value_or("");
}

TEST(Pdf, IsCleanByQpdf) {
    const test::Folder folder;
    const std::string file = folder.write("a.pdf", two_pages());
    const test::Said said = test::run("qpdf --check '" + file + "'");
    EXPECT_EQ(said.status, 0) << said.words;  // 2 on errors, 3 on warnings (qpdf's manual, "Exit Status")
    EXPECT_NE(said.words.find("No syntax or stream encoding errors found"), std::string::npos) << said.words;
}

TEST(Pdf, WordsAndHoleNumbersAreFound) {
    const test::Folder folder;
    const std::string file = folder.write("a.pdf", two_pages());
    const std::string words = test::run("pdftotext -layout -enc UTF-8 '" + file + "' -").words;
    for (const char* wanted :
         {"Porch Light Walkdown", "Größe & <Maß>, “Łódź” – 4½", "middle", "at the end",
          "7 points are small print", "C harp", "2nd position, music in G", "3d'''", "10do"})
        EXPECT_NE(words.find(wanted), std::string::npos) << wanted;
    // The row of holes, in order.
    std::istringstream lines(words);
    bool row = false;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream cells(line);
        std::string all, cell;
        while (cells >> cell) all += cell + ' ';
        row = row || all == "1 2 3 4 5 6 7 8 9 10 ";
    }
    EXPECT_TRUE(row) << words;
    // Note names with their signs, so that a copy of the page tells no other note than the page.
    EXPECT_NE(words.find("Bb6"), std::string::npos) << words;
}

TEST(Pdf, TheHoleNumbersOfALickAreFoundInItsPage) {
    const test::Folder folder;
    const draw::Picture page = test::breath_lines(520, false);
    const auto bytes = print::pdf({&page, 1}, draw::theme(draw::Look::sheet), about);
    ASSERT_TRUE(bytes.has_value());
    const std::string file = folder.write("a.pdf", *bytes);
    const std::string words = test::run("pdftotext -enc UTF-8 '" + file + "' -").words;
    std::istringstream all(words);
    std::multiset<std::string> found{std::istream_iterator<std::string>(all), {}};
    for (const draw::Command& c : page.commands) {
        if (c.part != draw::Part::number || c.kind != draw::Command::Kind::words) continue;
        EXPECT_NE(words.find(c.words), std::string::npos) << c.words;
    }
    EXPECT_GE(found.count("2"), 3U) << words;  // 2d three times at least
    EXPECT_EQ(test::run("qpdf --check '" + file + "'").status, 0);
}

TEST(Pdf, FontsAreEmbeddedAndNoneIsTheSystems) {
    const test::Folder folder;
    const test::Said said = test::run("pdffonts '" + folder.write("a.pdf", two_pages()) + "'");
    ASSERT_EQ(said.status, 0);
    std::istringstream lines(said.words);
    std::string line;
    std::getline(lines, line);
    std::getline(lines, line);
    int fonts = 0;
    while (std::getline(lines, line)) {
        ++fonts;
        EXPECT_NE(line.find("AtkinsonHyperlegibleNext"), std::string::npos) << line;
        EXPECT_NE(line.find(" yes yes yes "), std::string::npos)
            << "embedded, subset, with a map to Unicode: " << line;
    }
    EXPECT_GE(fonts, 2);
}

TEST(Pdf, SaysWhatItIs) {
    const test::Folder folder;
    const std::string words =
        test::run("TZ=UTC pdfinfo -isodates -enc UTF-8 '" + folder.write("a.pdf", two_pages()) + "'").words;
    for (const char* wanted :
         {"Porch Light & “Łódź”", "Our own house", "2026-03-01T00:00:00Z", "Pages:           2"})
        EXPECT_NE(words.find(wanted), std::string::npos) << wanted << " in\n" << words;
}

TEST(Pdf, SameBytesEveryTime) {
    const std::string first = two_pages();
    EXPECT_EQ(first, two_pages());
    EXPECT_GT(first.size(), 10000U);
}

TEST(Pdf, AnAddressIsALink) {
    const test::Folder folder;
    draw::Picture page = test::every_command();
    page.commands.push_back(test::words_at("the full lesson: https://example.org/porch-light", {20, 110}, 9));
    const std::vector<draw::Picture> pages = {test::every_command(), page, page, test::every_command()};
    const auto bytes = print::pdf(pages, draw::theme(draw::Look::sheet), about);
    ASSERT_TRUE(bytes.has_value());
    EXPECT_EQ(*bytes, print::pdf(pages, draw::theme(draw::Look::sheet), about).value_or(""));
    const std::string file = folder.write("a.pdf", *bytes);
    EXPECT_NE(test::run("pdfinfo -url '" + file + "'").words.find("https://example.org/porch-light"),
              std::string::npos);
    EXPECT_EQ(test::run("qpdf --check '" + file + "'").status, 0);
}

// Poppler's picture of our page against our own PNG: words as a font's text and words as shapes stand alike.
TEST(Pdf, LooksLikeOurPng) {
    const test::Folder folder;
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    const draw::Picture page = test::every_command();
    const auto pdf = print::pdf({&page, 1}, theme, about);
    const auto png = print::png(page, theme, {.scale = 2.0});
    ASSERT_TRUE(pdf && png);
    const std::string file = folder.write("a.pdf", *pdf);
    ASSERT_EQ(
        test::run("pdftoppm -r 144 -png -singlefile '" + file + "' '" + (folder / "poppler") + "'").status,
        0);
    const double part = test::different(test::read_png(folder.write("own.png", *png)),
                                        test::read_png(folder / "poppler.png"));
    // Looser than for SVG: poppler thickens thin strokes and fills by its own rules of the Splash renderer.
    EXPECT_LE(part, 0.01);
    std::printf("%.3f %% of the pixels differ\n", 100 * part);
}

TEST(Pdf, LettersTheFontLacksAreBoxesAndBreakNothing) {
    const test::Folder folder;
    draw::Picture page = test::every_command();
    page.commands.push_back(test::words_at("ブルース \xFF tail", {20, 110}, 9));
    const auto bytes = print::pdf({&page, 1}, draw::theme(draw::Look::sheet), about);
    ASSERT_TRUE(bytes.has_value());
    const std::string file = folder.write("a.pdf", *bytes);
    EXPECT_EQ(test::run("qpdf --check '" + file + "'").status, 0);
    EXPECT_NE(test::run("pdftotext '" + file + "' -").words.find("tail"), std::string::npos);
}

}  // namespace
