// SPDX-License-Identifier: GPL-3.0-or-later
//
// A draw note pulled down further than the lick asks lies between its own bend and the blow reed under it. It is a bend
// too deep, and neither another reed out of tune nor nothing at all.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/hear/listening/take.hpp"

namespace lw::hear {
namespace {

// The reeds are Debian's FluidR3. 6 draw comes pulled down by one and a half semitones: half of one past its floor, half of
// one over 6 blow.
TEST(Rival, ABendTooDeepIsThatHolesBend) {
    auto maker = listening::TakeMaker::open(*listening::instrument_named("fluid-harmonica"));
    ASSERT_TRUE(maker) << "tools/setup --tests brings the soundfonts";
    for (const char* key : {"G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F"}) {
        listening::Phrase phrase;
        phrase.harp = *harp::harp_named(key);
        phrase.groove.tempo = BeatsPerMinute{88.0};
        const auto add = [&](int hole, harp::Breath breath, int quarter_steps) {
            listening::PhraseNote note;
            note.at = Beats{Fraction{static_cast<int>(phrase.notes.size())}};
            note.length = Beats{Fraction{9, 10}};
            note.tab.holes.push_back(hole);
            note.tab.breath = breath;
            note.tab.bent_hole = quarter_steps > 0 ? hole : 0;
            note.tab.bend_quarter_steps = quarter_steps;
            phrase.notes.push_back(note);
        };
        add(4, harp::Breath::draw, 0);
        add(5, harp::Breath::draw, 0);
        add(6, harp::Breath::draw, 3);
        add(6, harp::Breath::draw, 0);
        add(6, harp::Breath::blow, 0);
        add(5, harp::Breath::draw, 0);
        add(6, harp::Breath::draw, 3);
        add(5, harp::Breath::blow, 0);
        phrase.length = Beats{Fraction{8}};
        const listening::Take take = maker->make({.seed = 1}, phrase);
        const Heard heard =
            listen(take.samples, listening::take_rate, {.harp = phrase.harp, .a4 = {}, .reeds = {}});
        for (const auto& truth : take.truth) {
            bool found = false;
            for (const HeardNote& n : heard.notes)
                found =
                    found || (std::abs((n.onset - truth.note.onset).value) < 0.05 &&
                              n.tab.holes == truth.note.tab.holes && n.tab.breath == truth.note.tab.breath &&
                              std::abs((n.bend - truth.note.bend).value) < 0.25);
            EXPECT_TRUE(found) << key << " harp, note at " << truth.note.onset.value << " s";
        }
    }
}

}  // namespace
}  // namespace lw::hear
