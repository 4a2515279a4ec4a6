// SPDX-License-Identifier: GPL-3.0-or-later
//
// Runs while the project is built and turns the three font files into C++ tables, so that the engine measures
// and draws words and music without a font library, a file or a system font, on any machine and in
// WebAssembly alike.
//
//     bake_fonts TEXT_REGULAR.ttf TEXT_BOLD.ttf MUSIC.otf OUT_FOLDER
//
// It writes text_metrics.cpp (advance and ink of every character), text_outlines.cpp (their shapes) and
// music_glyphs.cpp (both, for the music glyphs that a sheet needs). Values are the font's own units, unscaled
// and unhinted (FT_LOAD_NO_SCALE), y upwards. engine/draw/baked.hpp says how the tables read.
#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_OUTLINE_H
#include FT_BBOX_H

#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <map>
#include <string>
#include <vector>

namespace {

[[noreturn]] void stop(const std::string& words) {
    std::cerr << "bake_fonts: " << words << '\n';
    std::exit(1);
}

struct Glyph {
    long advance = 0;
    FT_BBox ink{};
    std::vector<long> outline;
};

// The letters of the outline's stream; engine/draw/outline.cpp reads them.
enum Step : long { move = 0, line = 1, conic = 2, cubic = 3, close = 4 };

struct Pen {
    std::vector<long>& out;
    bool open = false;
    void put(Step step, std::initializer_list<const FT_Vector*> points) {
        out.push_back(step);
        for (const FT_Vector* p : points) {
            out.push_back(p->x);
            out.push_back(p->y);
        }
    }
    void end() {
        if (open) out.push_back(close);
        open = false;
    }
};

Glyph read_glyph(FT_Face face, FT_UInt index) {
    if (FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE) != 0) stop("a glyph of the font cannot be read");
    Glyph glyph;
    glyph.advance = face->glyph->metrics.horiAdvance;
    FT_Outline& outline = face->glyph->outline;
    if (outline.n_points == 0) return glyph;
    FT_Outline_Get_BBox(&outline, &glyph.ink);  // of the ink itself, not of the handles
    Pen pen{glyph.outline};
    FT_Outline_Funcs funcs{};
    funcs.move_to = [](const FT_Vector* to, void* p) {
        static_cast<Pen*>(p)->end();
        static_cast<Pen*>(p)->put(move, {to});
        static_cast<Pen*>(p)->open = true;
        return 0;
    };
    funcs.line_to = [](const FT_Vector* to, void* p) { return static_cast<Pen*>(p)->put(line, {to}), 0; };
    funcs.conic_to = [](const FT_Vector* c, const FT_Vector* to, void* p) {
        return static_cast<Pen*>(p)->put(conic, {c, to}), 0;
    };
    funcs.cubic_to = [](const FT_Vector* a, const FT_Vector* b, const FT_Vector* to, void* p) {
        return static_cast<Pen*>(p)->put(cubic, {a, b, to}), 0;
    };
    if (FT_Outline_Decompose(&outline, &funcs, &pen) != 0) stop("an outline of the font cannot be read");
    pen.end();
    return glyph;
}

using Glyphs = std::map<char32_t, Glyph>;

FT_Face open_face(FT_Library library, const char* file) {
    FT_Face face = nullptr;
    if (FT_New_Face(library, file, 0, &face) != 0) stop(std::string("cannot read the font ") + file);
    // Both tables share one scale; a font with another one would be set in the wrong size without a word.
    if (face->units_per_EM != 1000) stop(std::string(file) + " has not 1000 units to the em");
    return face;
}

// Combining marks have a place only beside another letter, which needs the font's mark tables; a title is
// printed from whole characters, so a mark that stands alone counts as missing and is reported.
bool combining(FT_ULong code) {
    return code >= 0x300 && code <= 0x36F;
}

// Every character of the font, and under 0 its box for a missing one.
Glyphs all_characters(FT_Face face) {
    Glyphs glyphs;
    glyphs[0] = read_glyph(face, 0);
    FT_UInt index = 0;
    for (FT_ULong code = FT_Get_First_Char(face, &index); index != 0;
         code = FT_Get_Next_Char(face, code, &index)) {
        if (code >= 0x20 && code != 0x7F && !combining(code))
            glyphs[static_cast<char32_t>(code)] = read_glyph(face, index);
    }
    return glyphs;
}

// What a breath line, a staff, a chord symbol and a tempo mark need, by the ranges of SMuFL 1.4.
struct Range {
    FT_ULong first, last;
};
constexpr Range music_ranges[] = {
    {0xE030, 0xE033},  // bar lines
    {0xE040, 0xE048},  // repeats, segno, coda
    {0xE050, 0xE053},  // G clefs, with an 8 below and above
    {0xE062, 0xE062},  // F clef
    {0xE080, 0xE08B},  // time signatures
    {0xE0A2, 0xE0A4},  // note heads: whole, half, black
    {0xE0A9, 0xE0A9},  // note head x
    {0xE0F5, 0xE0F6},  // brackets round a note head
    {0xE1D2, 0xE1DC},  // single notes
    {0xE1E7, 0xE1E7},  // dot
    {0xE1F0, 0xE203},  // notes among words, the swing mark is made of them
    {0xE210, 0xE210},  // stem
    {0xE220, 0xE222},  // tremolo strokes
    {0xE240, 0xE249},  // flags to the 128th
    {0xE260, 0xE264},  // accidentals
    {0xE26A, 0xE26B},  // brackets round an accidental
    {0xE270, 0xE275},  // accidentals of a quarter step, with arrows
    {0xE280, 0xE283},  // the same, after Stein and Zimmermann
    {0xE4A0, 0xE4A7},  // articulations
    {0xE4C0, 0xE4C1},  // fermata
    {0xE4CE, 0xE4D1},  // breath mark, caesura
    {0xE4E3, 0xE4EA},  // rests to the 128th
    {0xE500, 0xE501},  // repeat of a bar
    {0xE566, 0xE56F},  // trill, mordents, turns
    {0xE5D0, 0xE5E3},  // scoops and falls
    {0xE5F4, 0xE5F9},  // closed and open
    {0xE870, 0xE874},  // chord symbols
    {0xE880, 0xE88A},  // tuplet digits
    {0xEAA4, 0xEAA4},  // trill wave
    {0xEAB0, 0xEAB0},  // vibrato wave
    {0xEB60, 0xEB67},  // arrows
    {0xECA2, 0xECB7},  // metronome notes
};

Glyphs music_glyphs(FT_Face face) {
    Glyphs glyphs;
    for (const Range& range : music_ranges) {
        for (FT_ULong code = range.first; code <= range.last; ++code) {
            const FT_UInt index = FT_Get_Char_Index(face, code);
            if (index == 0 && range.first == range.last)
                stop("the music font lacks a glyph that a sheet needs");
            if (index != 0) glyphs[static_cast<char32_t>(code)] = read_glyph(face, index);
        }
    }
    return glyphs;
}

constexpr const char* opening =
    "// Made by tools/bake/bake_fonts.cpp from the font files; not kept in the repository.\n"
    "#include \"engine/draw/baked.hpp\"\n\nnamespace lw::draw::baked {\n\n";

void write_metrics(std::ostream& out, const std::string& name, const Glyphs& glyphs) {
    out << "const Metrics " << name << "_table[] = {\n";
    for (const auto& [code, g] : glyphs) {
        out << '{' << static_cast<std::uint32_t>(code) << ',' << g.advance << ',' << g.ink.xMin << ','
            << g.ink.yMin << ',' << g.ink.xMax << ',' << g.ink.yMax << "},\n";
    }
    out << "};\nconstinit const std::span<const Metrics> " << name << "{" << name << "_table};\n\n";
}

void write_outlines(std::ostream& out, const std::string& name, const Glyphs& glyphs) {
    out << "const std::int16_t " << name << "_steps[] = {\n";
    std::vector<std::size_t> starts;
    std::size_t at = 0;
    for (const auto& [code, g] : glyphs) {
        starts.push_back(at);
        for (const long value : g.outline) out << value << ',';
        out << '\n';
        at += g.outline.size();
    }
    out << "};\nconst std::uint32_t " << name << "_starts[] = {\n";
    for (const std::size_t start : starts) out << start << ',';
    out << at << "};\nconstinit const Outlines " << name << "{" << name << "_steps, " << name
        << "_starts};\n\n";
}

}  // namespace

int main(int count, char** words) {
    if (count != 5) stop("four arguments wanted: regular face, bold face, music font, folder");
    FT_Library library = nullptr;
    if (FT_Init_FreeType(&library) != 0) stop("FreeType does not start");
    const Glyphs regular = all_characters(open_face(library, words[1]));
    const Glyphs bold = all_characters(open_face(library, words[2]));
    const Glyphs music = music_glyphs(open_face(library, words[3]));
    const std::string folder = std::string(words[4]) + "/";

    std::ofstream metrics(folder + "text_metrics.cpp");
    metrics << opening;
    write_metrics(metrics, "regular", regular);
    write_metrics(metrics, "bold", bold);
    metrics << "}  // namespace lw::draw::baked\n";

    std::ofstream outlines(folder + "text_outlines.cpp");
    outlines << opening;
    write_outlines(outlines, "regular_outlines", regular);
    write_outlines(outlines, "bold_outlines", bold);
    outlines << "}  // namespace lw::draw::baked\n";

    std::ofstream signs(folder + "music_glyphs.cpp");
    signs << opening;
    write_metrics(signs, "music", music);
    write_outlines(signs, "music_outlines", music);
    signs << "}  // namespace lw::draw::baked\n";

    metrics.close();
    outlines.close();
    signs.close();
    if (!metrics || !outlines || !signs) stop("cannot write into " + folder);
    return 0;
}
