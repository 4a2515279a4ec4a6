// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/draw/harp_chart.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <sstream>

#include "engine/draw/font.hpp"

namespace {

using namespace lw;
using namespace lw::draw;

HarpChart chart_of(const char* harp, int position) {
    return harp_chart(harp::harp_named(harp).value(), position);
}

// Reeds: OEIS A291810, "Diatonic harmonica standard Richter tone layout" (H. Skjerning, 2017). Bends by the
// rule of the hole's gap less one (player mailing list archive, Sept 1994); overbends a semitone above the
// higher reed (common practice, no source); octaves computed from the reeds.
TEST(HarpChart, TextOfACHarpIsThePublishedLayout) {
    EXPECT_EQ(harp_chart_text(chart_of("C", 2)),
              R"(C harp, standard tuning, 2nd position: the music is in G

note in hole            1    2    3    4    5    6    7    8    9    10
overblow                Eb4  Ab4  C5   Eb5  F#5  Bb5
blow bend, 2 half steps                                              Bb6
blow bend, 1 half step                                     Eb6  F#6  B6
blow                    C4   E4   G4   C5   E5   G5   C6   E6   G6   C7
draw                    D4   G4   B4   D5   F5   A5   B5   D6   F6   A6
draw bend, 1 half step  Db4  F#4  Bb4  Db5       Ab5
draw bend, 2 half steps      F4   A4
draw bend, 3 half steps           Ab4
overdraw                                              Db6  F6   Ab6  Db7

degree in G             1    2    3    4    5    6    7    8    9    10
overblow                b6   b2   4    b6   7    b3
blow bend, 2 half steps                                              b3
blow bend, 1 half step                                     b6   7    3
blow                    4    6    1    4    6    1    4    6    1    4
draw                    5    1    3    5    b7   2    3    5    b7   2
draw bend, 1 half step  b5   7    b3   b5        b2
draw bend, 2 half steps      b7   2
draw bend, 3 half steps           b2
overdraw                                              b5   b7   b2   b5

octaves, blow           1+4 2+5 3+6 4+7 5+8 6+9 7+10
octaves, draw           1+4 3+7 4+8 5+9 6+10
)");
}

// A chromatic check that needs no table: plain notes, bends and the overbends of holes 1 4 5 6 7 9 fill three
// octaves.
TEST(HarpChart, EverySemitoneOfThreeOctavesIsThereOnEveryKey) {
    for (const char* key :
         {"G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#", "low C", "high G"}) {
        const HarpChart chart = chart_of(key, 1);
        EXPECT_EQ(chart.notes.size(), 42U) << key;  // 20 reeds, 12 bends, 10 overbends
        std::set<int> pitches;
        for (const ChartNote& n : chart.notes) pitches.insert(static_cast<int>(n.pitch.midi));
        for (int step = 0; step <= 36; ++step)
            EXPECT_EQ(pitches.count(*pitches.begin() + step), 1U) << key << " step " << step;
        EXPECT_EQ(chart.octaves.size(), 12U) << key;
    }
}

// Computed from the layout: degrees of the bends of hole 3 in the usual positions on a C harp.
TEST(HarpChart, DegreesFollowThePosition) {
    const std::map<int, std::vector<std::string>> wanted = {{1, {"7", "b7", "6", "b6"}},
                                                            {2, {"3", "b3", "2", "b2"}},
                                                            {3, {"6", "b6", "5", "b5"}},
                                                            {12, {"b5", "4", "3", "b3"}}};
    for (const auto& [position, degrees] : wanted) {
        std::vector<std::string> found;
        for (const ChartNote& n : chart_of("C", position).notes)
            if (n.note.hole == 3 && n.note.breath == harp::Breath::draw) found.emplace_back(n.degree);
        EXPECT_EQ(found, degrees) << position;
    }
    EXPECT_EQ(chart_of("C", 99).position, 12);
    EXPECT_EQ(chart_of("C", -3).position, 1);
}

// The degree names the letter: the seventh of D is C sharp, the flat third of E flat is G flat (Benward & Saker, Music in
// Theory and Practice, on spelling by scale degree; from memory).
TEST(HarpChart, NotesAreSpelledForTheKeyOfTheMusic) {
    const auto name_of = [](const char* key, int position, std::string_view token) {
        for (const ChartNote& n : chart_of(key, position).notes)
            if (n.token == token) return n.name;
        return std::string{"not there"};
    };
    EXPECT_EQ(name_of("low D", 1, "3d"), "C#4");
    EXPECT_EQ(name_of("low D", 1, "2b"), "F#3");
    EXPECT_EQ(name_of("A", 2, "3d"), "G#4");
    EXPECT_EQ(name_of("A", 2, "3d'"), "G4");
    EXPECT_EQ(name_of("Ab", 2, "3d'"), "Gb4");
    EXPECT_EQ(name_of("F#", 1, "3d"), "E#5");
    EXPECT_EQ(name_of("C", 2, "1d'"), "Db4");
}

TEST(HarpChart, LinesFitATerminal) {
    for (const harp::Tuning& tuning : harp::known_tunings()) {
        harp::Harp harp = harp::harp_named("F#").value();
        harp.tuning = tuning;
        for (int position = 1; position <= 12; ++position) {
            std::istringstream text(harp_chart_text(harp_chart(harp, position)));
            for (std::string line; std::getline(text, line);) {
                EXPECT_LE(line.size(), 79U) << line;
                EXPECT_TRUE(line.empty() || line.back() != ' ') << line;
            }
        }
    }
}

bool inside(const Box& in, const Box& out) {
    return in.x >= out.x && in.y >= out.y && in.right() <= out.right() && in.bottom() <= out.bottom();
}
bool meet(const Box& a, const Box& b) {
    return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

// Every key, tuning and position: nothing off the page, words inside their cells, cells apart, no small
// print.
TEST(HarpChart, PictureKeepsItsInkApart) {
    for (const harp::Tuning& tuning : harp::known_tunings()) {
        for (const char* key : {"G", "Bb", "F#", "low C"}) {
            harp::Harp harp = harp::harp_named(key).value();
            harp.tuning = tuning;
            for (int position = 1; position <= 12; ++position) {
                const HarpChart chart = harp_chart(harp, position);
                const Picture picture = harp_chart_picture(chart);
                SCOPED_TRACE(title(chart));
                EXPECT_EQ(picture.spoken, harp_chart_text(chart));
                std::map<int, Box> cells;
                std::vector<Box> loose;
                std::set<int> numbered;
                for (const Command& c : picture.commands) {
                    EXPECT_TRUE(inside(c.box, {0, 0, picture.width, picture.height})) << c.words;
                    if (c.kind == Command::Kind::words) {
                        EXPECT_GE(c.size, 12.0) << c.words;
                        EXPECT_FALSE(first_missing(c.words).has_value()) << c.words;
                    }
                    if (c.part == Part::number_shape && c.owner >= 0) cells.try_emplace(c.owner, c.box);
                    if (c.kind == Command::Kind::words && c.owner >= 0) {
                        EXPECT_TRUE(inside(c.box, cells.at(c.owner))) << c.words;
                        numbered.insert(c.owner);
                    }
                    if (c.kind == Command::Kind::words && c.owner < 0) loose.push_back(c.box);
                }
                EXPECT_EQ(cells.size(), chart.notes.size());
                EXPECT_EQ(numbered.size(), chart.notes.size());
                for (const auto& [i, a] : cells) {
                    for (const auto& [k, b] : cells) EXPECT_TRUE(i == k || !meet(a, b)) << i << " and " << k;
                    for (const Box& w : loose) EXPECT_FALSE(meet(a, w));
                }
                for (std::size_t i = 0; i < loose.size(); ++i)
                    for (std::size_t k = 0; k < i; ++k) EXPECT_FALSE(meet(loose[i], loose[k]));
            }
        }
    }
}

// Who cannot tell the colours apart: breath and way each have their own shape, and the key note a ring.
TEST(HarpChart, ShapesSayWhatColoursSay) {
    const HarpChart chart = chart_of("C", 2);
    const Picture picture = harp_chart_picture(chart);
    std::map<std::string, std::set<std::string>> shapes_of_kind;
    for (std::size_t i = 0; i < chart.notes.size(); ++i) {
        std::string shape;
        bool ring = false;
        for (const Command& c : picture.commands) {
            if (c.owner != static_cast<int>(i)) continue;
            if (c.part == Part::mark) ring = true;
            if (c.part != Part::number_shape) continue;
            const double corner = c.segments.front().a.x - c.box.x;
            shape +=
                std::string(corner > 10 ? "round" : "square") + (c.fill == Ink::ink ? "-full " : "-open ");
        }
        EXPECT_EQ(ring, chart.notes[i].key_note) << chart.notes[i].token;
        const ChartNote& n = chart.notes[i];
        shapes_of_kind[std::to_string(static_cast<int>(n.note.breath)) +
                       std::to_string(static_cast<int>(n.way))]
            .insert(shape);
    }
    EXPECT_EQ(shapes_of_kind.size(), 6U);
    for (const auto& [kind, shapes] : shapes_of_kind) EXPECT_EQ(shapes.size(), 1U) << kind;
    EXPECT_NE(shapes_of_kind["00"], shapes_of_kind["10"]);  // blow and draw
    EXPECT_NE(shapes_of_kind["01"], shapes_of_kind["02"]);  // bend and overbend
    EXPECT_NE(shapes_of_kind["11"], shapes_of_kind["12"]);
}

}  // namespace
