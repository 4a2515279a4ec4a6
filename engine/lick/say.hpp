// SPDX-License-Identifier: Apache-2.0
//
// A lick in words, as a teacher says it: for the run sheet, for captions, for learners who cannot see the
// sheet. One place for the wording, so that the page, the video and the paper speak alike.
#pragma once

#include <string>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::lick {

/// `half step`, `whole step`, `step and a half`, `quarter step`, `half step and a quarter` ... for 1 to 7 quarter
/// steps.
[[nodiscard]] std::string say_bend(int quarter_steps);
/// `4 draw`, `3 draw bent a half step`, `2 and 3 draw`, `1 and 4 blow, tongue on 2 and 3`, `6 overblow`.
[[nodiscard]] std::string say(const Tab& tab);
/// `with a dip`, `shaken with 5`, `from 3 draw bent a half step`.
[[nodiscard]] std::string say(const Ornament& ornament);
/// One spoken beat of the count-in: one full bar, then every beat before the first note.
struct CountInBeat {
    int number = 1;
    bool first_of_bar = false;
};
[[nodiscard]] std::vector<CountInBeat> count_in(const Lick& lick);
/// `1 2 3 4, 1`.
[[nodiscard]] std::string say_count_in(const Lick& lick);

}  // namespace lw::lick
