// SPDX-License-Identifier: Apache-2.0
//
// Does the player run out of air? A signed running volume of the lungs through the played line: blowing
// empties them, drawing fills them, chords cost more, rests and `,` bring them back to the middle. Constants
// are common practice, no source; they stand with their reasons in breath_budget.cpp.
#pragma once

#include <vector>

#include "engine/lick/unfold.hpp"

namespace lw::lick {

/// A note during which the lungs run empty (breath blow) or full (breath draw).
struct OutOfBreath {
    std::size_t note = 0;  // index into Unfolded::notes
    Breath breath = Breath::blow;
};

/// The volume after each played note, as a part of the comfortable range: -1 is empty, +1 is full, 0 the
/// middle.
[[nodiscard]] std::vector<double> lung_volume(const Lick& lick, const Unfolded& played);
/// The first note of each stretch that runs out.
[[nodiscard]] std::vector<OutOfBreath> out_of_breath(const Lick& lick, const Unfolded& played);

}  // namespace lw::lick
