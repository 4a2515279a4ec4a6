// SPDX-License-Identifier: Apache-2.0
//
// What else the count may be. Private to the room. A row of beats has a price, and prices are minus logarithms of
// chances: how much dearer the best row with another feel, or with beats of another length, is says how likely that row
// is. Tempos are mistaken by simple ratios only: a half, the double, two thirds, three halves.
#pragma once

#include <span>
#include <vector>

#include "engine/coach/beat.hpp"
#include "engine/coach/beat_row.hpp"
#include "engine/coach/fillings.hpp"

namespace lw::coach {

/// The cheapest row of one feel.
struct FeltRow {
    BeatFeel feel;
    BeatRow row;
};

/// Another feel at about the same tempo. `best` is one of `rows`. Nothing when no note of either row lies off its beat.
[[nodiscard]] std::optional<SecondGuess> other_feel(std::span<const FeltRow> rows, const FeltRow& best);

/// Another tempo, with any of the feels of `rows`. Cost: as much as finding `rows` was.
[[nodiscard]] std::optional<SecondGuess> other_tempo(std::span<const FeltRow> rows, const FeltRow& best,
                                                     std::span<const double> onsets);

}  // namespace lw::coach
