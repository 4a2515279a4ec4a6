// SPDX-License-Identifier: Apache-2.0
//
// The cheapest row of beats through the onsets of a phrase, for one feel. Private to the room.
//
// Beats begin and end on a lattice of 10 ms. A state is where a beat begins and how long it is; a step goes to the next
// beat, of nearly the same length. Every beat takes the filling that is cheapest for the onsets in it. All states are
// walked, so nothing has to be guessed first: the tempo comes out of the row.
#pragma once

#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "engine/coach/clicks.hpp"
#include "engine/coach/fillings.hpp"

namespace lw::coach {

/// What limits the row.
struct RowWishes {
    double shortest = 0.27;           // of a beat, seconds: 222 a minute
    double longest = 1.58;            // 38 a minute
    std::optional<double> usual;      // a beat's length that was given
    std::optional<ClickTrack> click;  // beats fall on it
};

struct RowNote {
    std::int64_t beat = 0;  // from the first beat of the row
    Fraction part;          // in the beat, as written
    double off = 0.0;       // seconds late
    bool forced = false;    // no filling had room for all onsets of this beat
};

struct BeatRow {
    double price = std::numeric_limits<double>::infinity();
    std::vector<double> beats;   // seconds, the end of the last one too
    std::vector<RowNote> notes;  // beside the onsets
};

/// `onsets` rising, in seconds, over at most `longest_row`; at least one.
[[nodiscard]] BeatRow cheapest_row(const BeatFeel& feel, std::span<const double> onsets,
                                   const RowWishes& wishes);
inline constexpr double longest_row = 100.0;

}  // namespace lw::coach
