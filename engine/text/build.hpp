// SPDX-License-Identifier: Apache-2.0
//
// Bars of nodes into the bars of a lick: places in the beat, sums of bars, what holds and joined notes find
// before them, repeats and endings. Private to the room.
#pragma once

#include "engine/lick/lick.hpp"
#include "engine/text/syntax.hpp"

namespace lw::text {

/// The tab lane as bars. Every bar comes out well formed, full and without gaps, whatever was told about it.
[[nodiscard]] std::vector<lick::Bar> build_bars(const LaneSyntax& tab, const lick::Meter& meter,
                                                Report& report);

/// Repeats and endings that do not close, open or count as they should.
void check_form(const LaneSyntax& tab, Report& report);

/// Lays the chords lane over the bars.
void add_chords(const LaneSyntax& chords, const LaneSyntax& tab, const lick::Meter& meter,
                std::vector<lick::Bar>& bars, Report& report);

/// What only shows when repeats are played out, and what a teacher would like to know. For a lick without
/// errors.
void check_played(const lick::Lick& lick, Report& report);

/// `3 slots`, `1 slot`.
[[nodiscard]] std::string slots_text(int slots);

}  // namespace lw::text
