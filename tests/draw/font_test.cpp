// SPDX-License-Identifier: GPL-3.0-or-later
//
// The baked tables against FreeType, which reads the font files by itself here, and UTF-8 against the Unicode
// Standard.
#include "engine/draw/font.hpp"

#include <ft2build.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include FT_FREETYPE_H
#include FT_OUTLINE_H
#include FT_TRUETYPE_TABLES_H

#include "engine/draw/music_glyphs.hpp"

namespace {

using namespace lw::draw;

// Another library's reading of the same file.
class FontFile {
  public:
    explicit FontFile(const char* file) {
        EXPECT_EQ(FT_Init_FreeType(&library_), 0);
        EXPECT_EQ(FT_New_Face(library_, file, 0, &face_), 0) << file;
    }
    ~FontFile() { FT_Done_FreeType(library_); }
    FontFile(const FontFile&) = delete;
    FontFile& operator=(const FontFile&) = delete;
    FT_Face face() const { return face_; }

    // Loads a character unscaled; false where the font has none.
    bool load(char32_t code) const {
        const FT_UInt index = FT_Get_Char_Index(face_, code);
        return index != 0 && FT_Load_Glyph(face_, index, FT_LOAD_NO_SCALE) == 0;
    }
    template <class See>
    void each_character(See see) const {
        FT_UInt index = 0;
        for (FT_ULong c = FT_Get_First_Char(face_, &index); index != 0;
             c = FT_Get_Next_Char(face_, c, &index))
            see(static_cast<char32_t>(c));
    }

  private:
    FT_Library library_ = nullptr;
    FT_Face face_ = nullptr;
};

const char* file_of(Face face) {
    return face == Face::bold ? LICKWRIGHT_TEXT_FONT_BOLD : LICKWRIGHT_TEXT_FONT_REGULAR;
}

std::string utf8(char32_t c) {
    std::string s;
    if (c < 0x80) {
        s += static_cast<char>(c);
    } else if (c < 0x800) {
        s += static_cast<char>(0xC0 | c >> 6);
        s += static_cast<char>(0x80 | (c & 0x3F));
    } else {
        s += static_cast<char>(0xE0 | c >> 12);
        s += static_cast<char>(0x80 | (c >> 6 & 0x3F));
        s += static_cast<char>(0x80 | (c & 0x3F));
    }
    return s;
}

// The area a closed path covers, by its polygon: 64 straight pieces a curve.
double area(const std::vector<Segment>& path) {
    double sum = 0;
    Point pen, start;
    const auto line = [&](Point to) {
        sum += pen.x * to.y - to.x * pen.y;
        pen = to;
    };
    for (const Segment& s : path) {
        switch (s.kind) {
            case Segment::Kind::move:
                pen = start = s.a;
                break;
            case Segment::Kind::line:
                line(s.a);
                break;
            case Segment::Kind::close:
                line(start);
                break;
            case Segment::Kind::cubic: {
                const Point from = pen;
                for (int i = 1; i <= 64; ++i) {
                    const double t = i / 64.0, u = 1 - t;
                    line({u * u * u * from.x + 3 * u * u * t * s.a.x + 3 * u * t * t * s.b.x +
                              t * t * t * s.c.x,
                          u * u * u * from.y + 3 * u * u * t * s.a.y + 3 * u * t * t * s.b.y +
                              t * t * t * s.c.y});
                }
            }
        }
    }
    return sum / 2;
}

// FreeType 2: advances and control boxes of every character, unscaled.
TEST(Font, AdvancesAndInkOfEveryCharacterAreFreeTypes) {
    for (const Face face : {Face::regular, Face::bold}) {
        const FontFile file(file_of(face));
        int seen = 0;
        file.each_character([&](char32_t c) {
            if (c < 0x20 || (c >= 0x300 && c <= 0x36F)) {  // combining marks are left out on purpose
                EXPECT_FALSE(has(face, c)) << std::hex << static_cast<unsigned>(c);
                return;
            }
            ASSERT_TRUE(has(face, c)) << std::hex << static_cast<unsigned>(c);
            ASSERT_TRUE(file.load(c));
            const FT_Glyph_Metrics& m = file.face()->glyph->metrics;
            EXPECT_DOUBLE_EQ(advance(face, c, 1000), static_cast<double>(m.horiAdvance));
            EXPECT_DOUBLE_EQ(width(face, utf8(c), 12.0), static_cast<double>(m.horiAdvance) * 0.012);
            // FreeType's own box is that of the handles, at most a few units wider than the ink.
            const Box ink = ink_box(face, utf8(c), {}, 1000, Anchor::start);
            if (m.width > 0) {
                EXPECT_GE(ink.x, static_cast<double>(m.horiBearingX) - 1.0);
                EXPECT_LE(ink.right(), static_cast<double>(m.horiBearingX + m.width) + 1.0);
                EXPECT_GE(ink.y, -static_cast<double>(m.horiBearingY) - 1.0);
                EXPECT_LE(ink.bottom(), static_cast<double>(m.height - m.horiBearingY) + 1.0);
                EXPECT_GT(ink.width, 0.6 * static_cast<double>(m.width))
                    << std::hex << static_cast<unsigned>(c);
            } else {
                EXPECT_EQ(ink.width, 0.0);
            }
            ++seen;
        });
        EXPECT_GT(seen, 300) << "Latin with its extensions, digits and signs";
    }
}

TEST(Font, ShapesCoverWhatFreeTypeSays) {
    for (const Face face : {Face::regular, Face::bold}) {
        const FontFile file(file_of(face));
        file.each_character([&](char32_t c) {
            if (!has(face, c)) return;
            ASSERT_TRUE(file.load(c));
            FT_Outline& outline = file.face()->glyph->outline;
            std::vector<Segment> shape;
            append_words(shape, face, utf8(c), {}, 1000, Anchor::start);
            // The contours as FreeType counts them, and a direction that tells inside from outside.
            EXPECT_EQ(std::count_if(shape.begin(), shape.end(),
                                    [](const Segment& s) { return s.kind == Segment::Kind::close; }),
                      outline.n_contours);
            if (outline.n_contours > 0) {
                const double covered = area(shape);  // y points down: clockwise is positive
                EXPECT_EQ(FT_Outline_Get_Orientation(&outline) == FT_ORIENTATION_TRUETYPE, covered > 0)
                    << std::hex << static_cast<unsigned>(c);
            }
            // The ink box of the table holds the whole shape and touches it on every side.
            const Box ink = ink_box(face, utf8(c), {}, 1000, Anchor::start);
            double left = 1e9, right = -1e9;
            for (const Segment& s : shape) {
                if (s.kind == Segment::Kind::close) continue;
                const Point end = s.kind == Segment::Kind::cubic ? s.c : s.a;
                left = std::min(left, end.x);
                right = std::max(right, end.x);
            }
            if (!shape.empty()) {
                EXPECT_GE(left, ink.x - 1.0);
                EXPECT_LE(right, ink.right() + 1.0);
            }
        });
    }
}

TEST(Font, HeightsAreTheFontsOwn) {
    const FontFile file(file_of(Face::regular));
    EXPECT_DOUBLE_EQ(ascent, file.face()->ascender / 1000.0);
    EXPECT_DOUBLE_EQ(descent, -file.face()->descender / 1000.0);
    const auto* os2 = static_cast<const TT_OS2*>(FT_Get_Sfnt_Table(file.face(), FT_SFNT_OS2));
    ASSERT_NE(os2, nullptr);
    EXPECT_DOUBLE_EQ(cap_height, os2->sCapHeight / 1000.0);
    EXPECT_DOUBLE_EQ(x_height, os2->sxHeight / 1000.0);
    for (const char* digit : {"1", "4", "7"})
        EXPECT_NEAR(ink_box(Face::bold, digit, {}, 1.0, Anchor::start).height, cap_height, 0.01) << digit;
}

TEST(Font, BothFacesHoldTheSameCharacters) {
    FontFile(file_of(Face::regular)).each_character([](char32_t c) {
        EXPECT_EQ(has(Face::regular, c), has(Face::bold, c)) << std::hex << static_cast<unsigned>(c);
    });
}

TEST(Font, AWordIsAsWideAsItsLettersAndAnchorsMoveIt) {
    const std::string word = "Naïve";
    const double w = width(Face::regular, word, 20);
    EXPECT_DOUBLE_EQ(w, width(Face::regular, "N", 20) + width(Face::regular, "a", 20) +
                            width(Face::regular, "ï", 20) + width(Face::regular, "v", 20) +
                            width(Face::regular, "e", 20));
    const Box start = ink_box(Face::regular, word, {100, 50}, 20, Anchor::start);
    const Box middle = ink_box(Face::regular, word, {100, 50}, 20, Anchor::middle);
    const Box end = ink_box(Face::regular, word, {100, 50}, 20, Anchor::end);
    EXPECT_NEAR(start.x - middle.x, w / 2, 1e-9);
    EXPECT_NEAR(start.x - end.x, w, 1e-9);
    EXPECT_DOUBLE_EQ(start.bottom(), middle.bottom());
    EXPECT_GT(start.bottom(), 49.9);  // letters stand on the baseline; round ones reach a little below
    EXPECT_LT(start.bottom(), 50.5);
}

TEST(Font, SpacesHaveAWidthAndNoInk) {
    const Box box = ink_box(Face::bold, "   ", {10, 10}, 12, Anchor::start);
    EXPECT_EQ(box.width, 0.0);
    EXPECT_EQ(box.x, 10.0);
    EXPECT_GT(width(Face::bold, "   ", 12), 6.0);
    EXPECT_EQ(width(Face::bold, "", 12), 0.0);
}

TEST(Font, SaysWhichCharacterCannotBePrinted) {
    EXPECT_FALSE(first_missing("Größe: “Façade” – Łódź, Dvořák, 4½ €").has_value());
    const auto missing = first_missing("Blues à la ブルース");
    ASSERT_TRUE(missing.has_value());
    EXPECT_EQ(missing->character, U'ブ');
    EXPECT_EQ(missing->at, 12U);
    EXPECT_EQ(missing->length, 3U);
    EXPECT_EQ(missing->column, 12U);
    const auto broken = first_missing("ab\xFF");
    ASSERT_TRUE(broken.has_value());
    EXPECT_EQ(broken->character, U'\uFFFD');
    EXPECT_EQ(broken->column, 3U);
    EXPECT_EQ(first_missing("tab\there")->character, U'\t');
    // A letter and its accent typed apart.
    EXPECT_EQ(first_missing("e\u0301")->character, char32_t{0x301});
}

TEST(Font, AMissingCharacterIsABoxAndNotNothing) {
    EXPECT_GT(width(Face::regular, "ブ", 10), 3.0);
    EXPECT_GT(ink_box(Face::regular, "ブ", {}, 10, Anchor::start).height, 3.0);
}

// The Unicode Standard 15.0, table 3-7 (well-formed UTF-8) and section 3.9, its examples of ill-formed bytes.
TEST(Font, ReadsUtf8AsUnicodeSaysAndBreaksNothing) {
    const auto all = [](std::string_view bytes) {
        std::u32string out;
        while (!bytes.empty()) out += next_character(bytes);
        return out;
    };
    EXPECT_EQ(all("\x4D\xD0\xB0\xE4\xBA\x8C\xF0\x90\x8C\x82"), U"\U0000004D\u0430\u4E8C\U00010302");
    EXPECT_EQ(all("\xC0\xAF"), U"\uFFFD\uFFFD");            // longer than it must be
    EXPECT_EQ(all("\xE0\x9F\x80"), U"\uFFFD\uFFFD\uFFFD");  // the same with three bytes
    EXPECT_EQ(all("\xED\xA0\x80"), U"\uFFFD\uFFFD\uFFFD");  // half of a surrogate pair
    EXPECT_EQ(all("\xF4\x90\x80\x80"), U"\uFFFD\uFFFD\uFFFD\uFFFD");
    EXPECT_EQ(all("\xE4\xBA"), U"\uFFFD\uFFFD");  // cut off
    EXPECT_EQ(all(std::string_view("\0A", 2)), (std::u32string{0, U'A'}));
}

TEST(Font, FittingCutsBetweenCharacters) {
    const std::string word = "Łódźkowanie";
    const double room = width(Face::regular, "Łódź", 12) + 0.01;
    EXPECT_EQ(fitting(Face::regular, word, 12, room), "Łódź");
    EXPECT_EQ(fitting(Face::regular, word, 12, 1000), word);
    EXPECT_EQ(fitting(Face::regular, word, 12, 1), "");
}

TEST(MusicFont, EveryNamedGlyphHasFreeTypesMeasures) {
    const FontFile file(LICKWRIGHT_MUSIC_FONT);
    std::vector<char32_t> glyphs = {music::bar_single,
                                    music::bar_double,
                                    music::bar_final,
                                    music::repeat_left,
                                    music::repeat_right,
                                    music::repeat_dots,
                                    music::g_clef,
                                    music::g_clef_8_below,
                                    music::g_clef_8_above,
                                    music::f_clef,
                                    music::head_whole,
                                    music::head_half,
                                    music::head_black,
                                    music::head_x,
                                    music::dot,
                                    music::stem,
                                    music::flag_8_up,
                                    music::flag_8_down,
                                    music::flag_16_up,
                                    music::flag_16_down,
                                    music::flag_32_up,
                                    music::flag_32_down,
                                    music::flat,
                                    music::natural,
                                    music::sharp,
                                    music::flat_down,
                                    music::natural_down,
                                    music::sharp_down,
                                    music::accent,
                                    music::staccato,
                                    music::tenuto,
                                    music::fermata,
                                    music::breath,
                                    music::caesura,
                                    music::rest_whole,
                                    music::rest_half,
                                    music::rest_quarter,
                                    music::rest_8,
                                    music::rest_16,
                                    music::rest_32,
                                    music::arrow_up,
                                    music::arrow_down,
                                    music::vibrato_wave,
                                    music::trill_wave,
                                    music::words_note,
                                    music::words_beam_part,
                                    music::words_beamed_eighth,
                                    music::words_triplet_start,
                                    music::words_triplet_3,
                                    music::words_triplet_end,
                                    music::beat_half,
                                    music::beat_quarter,
                                    music::beat_eighth,
                                    music::beat_dot};
    for (int i = 0; i < 10; ++i) {
        glyphs.push_back(music::time_digit(i));
        glyphs.push_back(music::tuplet_digit(i));
    }
    for (const char32_t g : glyphs) {
        SCOPED_TRACE(static_cast<unsigned>(g));
        ASSERT_TRUE(has_music(g));
        ASSERT_TRUE(file.load(g));
        const FT_Glyph_Metrics& m = file.face()->glyph->metrics;
        EXPECT_NEAR(music_width(g, 1000), static_cast<double>(m.horiAdvance), 1e-9);
        const Box box = music_box(g, {10, 20}, 1000);
        EXPECT_NEAR(box.x, 10.0 + static_cast<double>(m.horiBearingX), 25.0);
        EXPECT_NEAR(box.width, static_cast<double>(m.width), 50.0);
        EXPECT_GT(box.height, 0.0);
        std::vector<Segment> shape;
        append_music(shape, g, {}, 1000);
        EXPECT_EQ(std::count_if(shape.begin(), shape.end(),
                                [](const Segment& s) { return s.kind == Segment::Kind::close; }),
                  file.face()->glyph->outline.n_contours);
    }
}

// SMuFL 1.4: "one em is four staff spaces"; a black note head fills the space between two lines, a bar line
// four.
TEST(MusicFont, OneEmIsFourStaffSpaces) {
    EXPECT_NEAR(music_box(music::head_black, {}, 4.0).height, 1.0, 0.05);
    EXPECT_NEAR(music_box(music::bar_single, {}, 4.0).height, 4.0, 0.05);
    EXPECT_FALSE(has_music(U'A'));
    EXPECT_EQ(music_box(U'A', {3, 4}, 10).width, 0.0);
}

}  // namespace
