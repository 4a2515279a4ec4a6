// SPDX-License-Identifier: GPL-3.0-or-later
//
// A phrase by chance that a player could play: on a real harp, in a usual position, from neighbouring hole to
// neighbouring hole, with the repeated notes, bends, releases, slides and gestures of the instrument.
//
// It is written for the ear that is tested, not for a listener; how often each thing comes is our judgement of what
// lessons hold (common practice, no source). Glides through a whole note are left out: where the new note begins in one
// is a matter of taste, so no truth could be planted.
#pragma once

#include <cstdint>
#include <vector>

#include "engine/lick/lick.hpp"
#include "tests/hear/listening/rhythm.hpp"

namespace lw::listening {

struct PhraseNote {
    Beats at;
    Beats length;
    lick::Tab tab;
    lick::Start start = lick::Start::attack;
    std::vector<lick::Ornament> ornaments;  // at most one
    bool breath_before = false;
};

struct Phrase {
    harp::Harp harp;  // at A4 = 440 Hz, in equal temperament
    int position = 2;
    Groove groove;
    std::vector<PhraseNote> notes;
    Beats length;  // whole bars
};

struct PhraseWishes {
    int least_notes = 8;
    int most_notes = 24;
    bool several_holes = false;  // about half of the notes are double stops and octaves
    bool gestures = false;       // every note that is long enough for one has a gesture
};

[[nodiscard]] Phrase chance_phrase(std::uint64_t seed, const PhraseWishes& wishes = {});

}  // namespace lw::listening
