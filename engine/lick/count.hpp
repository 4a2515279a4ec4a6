// SPDX-License-Identifier: Apache-2.0
//
// How a bar is counted aloud: `1 and 2`, `1 trip let`, `1 e and a`, and in 12/8 `1 and a 2 and a`.
// The words are common practice, no source; the sheet, the walk-through and the run sheet all take them from
// here.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::lick {

struct CountWord {
    Beats at;          // in the bar, straight
    std::string word;  // never empty
    bool on_beat = false;
    bool starts_note = false;  // a note starts here
};

/// The word for a place in the beat: 0 has none (it is the beat's number), 1/2 is `and`, 1/3 `trip`, 1/4 `e`
/// ... Empty where the trade has no word (sixths, fifths).
[[nodiscard]] std::string_view offbeat_word(const Meter& meter, Fraction part) noexcept;

/// The number a beat has in its bar, from 1. A pickup is counted as the end of a full bar.
[[nodiscard]] int beat_number(const Lick& lick, std::size_t bar, Beats at) noexcept;

/// The count of one bar in order: every beat, and every place where a slot is cut and that has a word.
[[nodiscard]] std::vector<CountWord> count(const Lick& lick, std::size_t bar);

/// One place as it is said: `beat 2`, `the and of 3`, `the trip of 1`, or `five sixths into beat 4` without a
/// word.
[[nodiscard]] std::string say_place(const Lick& lick, std::size_t bar, Beats at);

}  // namespace lw::lick
