// SPDX-License-Identifier: GPL-3.0-or-later
//
// Positions and degrees. Positions by fifths: player mailing list, July 1994; that 2nd position is cross harp
// and lies on the fifth: folk encyclopedia page "Positions". The 12 x 12 table is computed from the rule and
// agrees with the published chart. Degrees are computed from the layout.
#include <gtest/gtest.h>

#include <sstream>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr std::array<std::string_view, 12> chart = {
    "G D A E B F# Db Ab Eb Bb F C", "Ab Eb Bb F C G D A E B F# Db", "A E B F# Db Ab Eb Bb F C G D",
    "Bb F C G D A E B F# Db Ab Eb", "B F# Db Ab Eb Bb F C G D A E", "C G D A E B F# Db Ab Eb Bb F",
    "Db Ab Eb Bb F C G D A E B F#", "D A E B F# Db Ab Eb Bb F C G", "Eb Bb F C G D A E B F# Db Ab",
    "E B F# Db Ab Eb Bb F C G D A", "F C G D A E B F# Db Ab Eb Bb", "F# Db Ab Eb Bb F C G D A E B"};

TEST(Positions, TwelveHarpsTwelvePositions) {
    for (const std::string_view row : chart) {
        std::istringstream words{std::string{row}};
        std::string harp_name;
        std::string music_name;
        for (int n = 1; n <= 12; ++n) {
            words >> music_name;
            if (n == 1) harp_name = music_name;
            const Key harp = *key_named(harp_name);
            const Key music = *key_named(music_name);
            EXPECT_EQ(name(key_of_music(harp, n)), music_name) << harp_name << " " << n;
            EXPECT_EQ(name(key_of_harp(music, n)), harp_name) << music_name << " " << n;
            EXPECT_EQ(position(harp, music), n) << harp_name << " " << music_name;
        }
    }
}

TEST(Positions, UnbentScalesAreTheModes) {
    // Mode of each position: positions table, harpinanawhinin.com. The scale: blow and draw of holes 4 to 7,
    // where the layout is complete.
    const std::array<std::pair<int, std::string_view>, 7> modes = {{{1, "1 2 3 4 5 6 7"},
                                                                    {2, "1 2 3 4 5 6 b7"},
                                                                    {3, "1 2 b3 4 5 6 b7"},
                                                                    {4, "1 2 b3 4 5 b6 b7"},
                                                                    {5, "1 b2 b3 4 5 b6 b7"},
                                                                    {6, "1 b2 b3 4 b5 b6 b7"},
                                                                    {12, "1 2 3 b5 5 6 7"}}};
    const Harp c;
    for (const auto& [n, mode] : modes) {
        const Key tonic = key_of_music(c.key, n);
        std::array<bool, 12> there{};
        for (int hole = 4; hole <= 7; ++hole)
            for (const Breath b : {Breath::blow, Breath::draw})
                there[static_cast<std::size_t>(
                    (static_cast<int>(made_for(c, {hole, b}).midi) - tonic.pitch_class + 12) % 12)] = true;
        std::string scale;
        for (int step = 0; step < 12; ++step) {
            if (!there[static_cast<std::size_t>(step)]) continue;
            scale += (scale.empty() ? "" : " ");
            scale += degree(tonic, Pitch{60.0 + tonic.pitch_class + step});
        }
        EXPECT_EQ(scale, mode) << n;
    }
}

TEST(Positions, DegreesOfEveryBendInFourPositions) {
    struct Row {
        int hole;
        Breath breath;
        std::array<std::string_view, 4> degrees;  // 1st (C), 2nd (G), 3rd (D), 12th (F)
    };
    constexpr Breath blow = Breath::blow;
    constexpr Breath draw = Breath::draw;
    const std::array<Row, 9> table = {{{1, draw, {"2 b2", "5 b5", "1 7", "6 b6"}},
                                       {2, draw, {"5 b5 4", "1 7 b7", "4 3 b3", "2 b2 1"}},
                                       {3, draw, {"7 b7 6 b6", "3 b3 2 b2", "6 b6 5 b5", "b5 4 3 b3"}},
                                       {4, draw, {"2 b2", "5 b5", "1 7", "6 b6"}},
                                       {5, draw, {"4", "b7", "b3", "1"}},
                                       {6, draw, {"6 b6", "2 b2", "5 b5", "3 b3"}},
                                       {8, blow, {"3 b3", "6 b6", "2 b2", "7 b7"}},
                                       {9, blow, {"5 b5", "1 7", "4 3", "2 b2"}},
                                       {10, blow, {"1 7 b7", "4 3 b3", "b7 6 b6", "5 b5 4"}}}};
    const std::array<int, 4> positions = {1, 2, 3, 12};
    const Harp c;
    for (const Row& row : table) {
        for (std::size_t p = 0; p < positions.size(); ++p) {
            const Key tonic = key_of_music(c.key, positions[p]);
            std::string degrees;
            for (int depth = 0;; ++depth) {
                const auto sound = pitch(c, {row.hole, row.breath, 2 * depth, false});
                if (!sound) break;
                degrees += (depth > 0 ? " " : "") + std::string{degree(tonic, *sound)};
            }
            EXPECT_EQ(degrees, row.degrees[p]) << row.hole << " in position " << positions[p];
        }
    }
}

TEST(Positions, BluesScaleInSecondPosition) {
    // 1 b3 4 b5 5 b7 in G on a C harp = 2D 3D' 4B 4D' 4D 5D 6B, computed from the layout.
    const Harp c;
    const Key g = key_of_music(c.key, 2);
    std::string degrees;
    for (const HoleNote& n : {HoleNote{2, Breath::draw, 0, false}, HoleNote{3, Breath::draw, 2, false},
                              HoleNote{4, Breath::blow, 0, false}, HoleNote{4, Breath::draw, 2, false},
                              HoleNote{4, Breath::draw, 0, false}, HoleNote{5, Breath::draw, 0, false},
                              HoleNote{6, Breath::blow, 0, false}})
        degrees += std::string{degree(g, *pitch(c, n))} + " ";
    EXPECT_EQ(degrees, "1 b3 4 b5 5 b7 1 ");
}

TEST(Positions, Ordinals) {
    const std::array<std::string_view, 12> words = {"1st", "2nd", "3rd", "4th",  "5th",  "6th",
                                                    "7th", "8th", "9th", "10th", "11th", "12th"};
    for (int n = 1; n <= 12; ++n) EXPECT_EQ(ordinal(n), words[static_cast<std::size_t>(n - 1)]);
    EXPECT_EQ(ordinal(21), "21st");
    EXPECT_EQ(ordinal(112), "112th");
}

}  // namespace
}  // namespace lw::harp
