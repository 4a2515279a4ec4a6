// SPDX-License-Identifier: GPL-3.0-or-later
//
// A pitch, and every way to play it. Computed from the layout: the only pitches that two ways share are 2
// draw = 3 blow and, with overbends, 2 overblow = 3''' draw, 3 overblow = 4 blow, 8 overdraw = 9 draw.
#include <gtest/gtest.h>

#include <cmath>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

std::string ways(const Harp& harp, double midi) {
    std::string text;
    for (const HoleNote& n : ways_to_play(harp, Pitch{midi})) text += (text.empty() ? "" : " ") + to_text(n);
    return text;
}

TEST(Ways, EveryHalfStepOfTheCHarpAndOnlyFourAreShared) {
    const Harp c;
    std::string shared;
    for (int midi = 59; midi <= 98; ++midi) {
        const std::string found = ways(c, midi);
        EXPECT_EQ(found.empty(), midi < 60 || midi > 97) << midi;
        if (found.find(' ') != std::string::npos) shared += found + "; ";
    }
    EXPECT_EQ(shared, "2d 3b; 3d''' 2bo; 4b 3bo; 9d 8do; ");
}

TEST(Ways, APitchWithinTwentyFiveCentsIsTheSameNote) {
    const Harp c;
    EXPECT_EQ(ways(c, 67.25), "2d 3b 3d'''q");
    EXPECT_EQ(ways(c, 66.75), "2d 3b 2dq");
    EXPECT_EQ(ways(c, 71.25), "3d");
    EXPECT_EQ(ways(c, 71.26), "");
    EXPECT_EQ(ways(c, 76.5), "5dq");
    EXPECT_EQ(ways(c, 83.5), "7bq");
    EXPECT_EQ(ways(c, 67.5), "3d'''q");
    EXPECT_EQ(ways(c, 59.5), "");
}

TEST(Ways, AgreesWithTheFullListOnEveryHarpAndTuning) {
    // The list of all notes, searched the slow way.
    for (const Tuning& t : known_tunings()) {
        for (int k = 0; k < 12; ++k) {
            Harp h;
            h.key = Key{k};
            h.tuning = t;
            for (int midi = 50; midi <= 110; ++midi) {
                std::size_t expected = 0;
                for (const HoleNote& n : every_note(h)) expected += pitch(h, n)->midi == midi ? 1 : 0;
                const std::vector<HoleNote> found = ways_to_play(h, Pitch{double(midi)});
                EXPECT_EQ(found.size(), expected);
                for (const HoleNote& n : found) EXPECT_EQ(pitch(h, n)->midi, midi);
            }
        }
    }
}

}  // namespace
}  // namespace lw::harp
