// SPDX-License-Identifier: Apache-2.0
//
// A performance sorted by reeds: which reed sounds from when to when, and why it begins and ends. Private to
// the room. A reed that sounds on through joined notes is one strand, so its cycle never breaks.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/sound/performance.hpp"

namespace lw::sound {

struct Piece {
    Seconds from;
    std::size_t note = 0;  // index into Performance::notes
    bool leads = false;    // the note's bend path is this reed's
};

struct Strand {
    enum class Begin { attack, slide };
    harp::HoleNote reed;  // unbent
    Seconds start;
    Seconds end;   // where the breath lets go or the mouth has moved away
    Seconds rise;  // how long it takes to speak (10 to 90 %) or to slide in
    Seconds fade;  // how long it takes to die after `end`
    Begin begin = Begin::attack;
    double share = 1.0;         // of the air, in a chord
    double bite = 1.0;          // of the noise at the attack
    Hz highest;                 // it ever gets
    std::vector<Piece> pieces;  // by time, never empty
    int shake = 0;              // 0: steady; 1: the written hole of a shake; 2: its other hole
    Seconds shake_from;
};

/// By start.
[[nodiscard]] std::vector<Strand> strands_of(const harp::Harp& harp, const Performance& performance);

}  // namespace lw::sound
