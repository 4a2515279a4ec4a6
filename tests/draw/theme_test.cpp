// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/draw/theme.hpp"

#include <gtest/gtest.h>

namespace {

using namespace lw::draw;

constexpr Colour white{255, 255, 255};
constexpr Colour black{0, 0, 0};
constexpr Look looks[] = {Look::sheet, Look::light, Look::dark, Look::black, Look::overlay};

Colour read(const char* text) {
    const auto colour = colour_from(text);
    EXPECT_TRUE(colour.has_value()) << text;
    return colour.value_or(black);
}

TEST(Colour, IsReadAndWritten) {
    EXPECT_EQ(read("#0f6e6e"), (Colour{15, 110, 110}));
    EXPECT_EQ(read("#ABC"), (Colour{170, 187, 204}));
    EXPECT_EQ(to_text(read("#B3770F")), "#b3770f");
    for (const char* bad : {"", "#", "b3770f", "#b3770", "#b3770ff", "#b3770g", "brass", "#12"})
        EXPECT_FALSE(colour_from(bad).has_value()) << bad;
}

// Contrast against white, computed from the definition in WCAG 2.2 (W3C) with the sRGB threshold 0.04045;
// #767676 is the palest grey that the W3C's own explanations call sufficient, #777777 the first that is not.
TEST(Contrast, HasTheValuesOfItsDefinition) {
    const struct {
        const char* colour;
        double ratio;
    } cases[] = {{"#000000", 21.000}, {"#767676", 4.542}, {"#777777", 4.478}, {"#949494", 3.033},
                 {"#959595", 2.995},  {"#0000ff", 8.592}, {"#ff0000", 3.998}, {"#008000", 5.137}};
    for (const auto& c : cases) {
        EXPECT_NEAR(contrast(read(c.colour), white), c.ratio, 0.0005) << c.colour;
        EXPECT_DOUBLE_EQ(contrast(read(c.colour), white), contrast(white, read(c.colour)));
    }
    EXPECT_DOUBLE_EQ(contrast(white, white), 1.0);
}

// WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1).
void expect_readable(const Theme& t, Colour under, const char* what) {
    const Colour on = under == white || under == black ? blend(t[Ink::ground], under) : under;
    const Colour band = blend(t[Ink::band], on);
    for (const Ink ink : {Ink::ink, Ink::soft, Ink::accent}) {
        EXPECT_GE(contrast(t[ink], on), 4.5) << what << " ink " << static_cast<int>(ink);
        EXPECT_GE(contrast(t[ink], band), 4.5) << what << " on a band, ink " << static_cast<int>(ink);
    }
    EXPECT_GE(contrast(t[Ink::take], on), 3.0) << what;
    // A number in a filled shape: paper on ink, and on the accent when the note is lit.
    EXPECT_GE(contrast(t[Ink::paper], t[Ink::ink]), 4.5) << what;
    EXPECT_GE(contrast(t[Ink::paper], t[Ink::accent]), 4.5) << what;
}

TEST(Theme, WordsCanBeReadInEveryLookWhateverTheHousesColour) {
    for (const Look look : looks) {
        for (int red = 0; red < 256; red += 51) {
            for (int green = 0; green < 256; green += 51) {
                for (int blue = 0; blue < 256; blue += 51) {
                    const Colour house{static_cast<std::uint8_t>(red), static_cast<std::uint8_t>(green),
                                       static_cast<std::uint8_t>(blue)};
                    const Theme t = theme(look, house);
                    const std::string what =
                        to_text(house) + " look " + std::to_string(static_cast<int>(look));
                    if (look == Look::overlay) {
                        expect_readable(t, white, what.c_str());
                        expect_readable(t, black, what.c_str());
                    } else {
                        expect_readable(t, t[Ink::paper], what.c_str());
                    }
                }
            }
        }
    }
}

TEST(Theme, KeepsAHousesColourThatCanBeReadAlready) {
    const Colour navy = read("#123a6f");
    EXPECT_EQ(theme(Look::sheet, navy)[Ink::accent], navy);
    // A yellow becomes a dark yellow, still a yellow: more red and green than blue.
    const Colour dark_yellow = theme(Look::sheet, read("#ffd400"))[Ink::accent];
    EXPECT_GT(dark_yellow.red, 2 * dark_yellow.blue + 40);
    EXPECT_GT(dark_yellow.green, 2 * dark_yellow.blue + 40);
}

TEST(Theme, BlackIsBlack) {
    const Theme t = theme(Look::black, read("#ff0000"));
    for (const Colour c : t.of) {
        EXPECT_EQ(c.red, c.green);
        EXPECT_EQ(c.green, c.blue);
    }
    EXPECT_EQ(t[Ink::accent], black);
}

TEST(Theme, PaperOfASheetIsWhiteAndNoneIsClear) {
    EXPECT_EQ(theme(Look::sheet)[Ink::paper], white);
    for (const Look look : looks) EXPECT_EQ(theme(look)[Ink::none].alpha, 0);
    EXPECT_LT(theme(Look::overlay)[Ink::ground].alpha, 255);
}

TEST(Blend, IsHalfWay) {
    EXPECT_EQ(blend({255, 255, 255, 51}, black), (Colour{51, 51, 51}));
    EXPECT_EQ(blend({10, 20, 30, 255}, white), (Colour{10, 20, 30}));
    EXPECT_EQ(blend({10, 20, 30, 0}, white), white);
}

}  // namespace
