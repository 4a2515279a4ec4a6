// SPDX-License-Identifier: Apache-2.0
//
// A whole lick in words: which hole, which breath, which bend, on which part of the beat, as a teacher says
// it at the shoot and as a learner who cannot see the sheet needs it.
#pragma once

#include <string>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::lick {

/// One lick told from beginning to end.
struct WalkThrough {
    std::string what;   // `Harp in C, 2nd position, so the music is in G. Four beats to the bar ...`
    std::string count;  // `Count: 1 2 3 4, 1; then play.`
    std::vector<std::string> bars;  // one paragraph a written bar, repeats and endings said where they stand
};
[[nodiscard]] WalkThrough walk_through(const Lick& lick);

}  // namespace lw::lick
