// SPDX-License-Identifier: Apache-2.0
//
// The ways people fill a beat, and what each costs. Private to the room. A filling is the set of places in the beat
// where notes begin; its price is minus the logarithm of how common it is in phrases of that feel. All numbers: common
// practice, no source.
#pragma once

#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::coach {

struct Place {
    Fraction written;     // in the beat, straight: 1/2
    double played = 0.0;  // where the feel puts it: 0.667
};

struct Filling {
    std::vector<Place> places;  // in order
    double price = 0.0;
};

/// One way to feel the beat.
struct BeatFeel {
    lick::Feel feel;
    bool compound = false;  // three in a beat by nature: 6/8, 12/8
    double price = 0.0;     // of choosing it for a phrase
    /// Fillings by how many notes they have, 0 to 6; cheap ones first.
    std::vector<std::vector<Filling>> fillings;
};

/// Straight, swung at 2:1 and 3:2, compound.
[[nodiscard]] std::vector<BeatFeel> known_feels();
[[nodiscard]] BeatFeel straight_feel();
[[nodiscard]] BeatFeel swung_feel(lick::Feel feel);
[[nodiscard]] BeatFeel compound_feel();

}  // namespace lw::coach
