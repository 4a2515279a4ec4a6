// SPDX-License-Identifier: Apache-2.0
//
// Repeats and endings played out, holds added to what they hold: the lick as one line of time.
//
// Beat 0 is the first downbeat, the start of the first full bar; a pickup lies before it, at negative beats.
// All times here are still straight; `swung` moves a straight place to where the feel puts it.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::lick {

/// One written bar as it comes by.
struct PlayedBar {
    std::size_t bar = 0;  // index into Lick::bars
    Beats start;
    Beats length;
    int pass = 1;  // 1 the first time through, 2 the second ...
};

/// An ornament and where in the note it begins.
struct PlayedOrnament {
    Ornament ornament;
    Beats at;  // on the line of time, not inside the note
};

/// Which written token a stretch of a played note comes from: the note itself, then its holds.
struct Stretch {
    std::size_t bar = 0;    // index into Lick::bars
    std::size_t event = 0;  // index into Bar::events
    Beats start;
    Beats length;
};

struct PlayedNote {
    Beats start;
    Beats length;
    Tab tab;
    Start how = Start::attack;
    bool breath_before = false;
    std::vector<PlayedOrnament> ornaments;
    std::vector<Stretch> stretches;  // never empty
};

struct PlayedChord {
    Beats start;
    Beats length;
    std::string symbol;
};

struct Unfolded {
    std::vector<PlayedBar> bars;
    std::vector<PlayedNote> notes;
    std::vector<PlayedChord> chords;  // neighbours with the same symbol are one
    std::vector<Beats> breaths;       // every `,`
    Beats start;                      // 0, or the negative length of the pickup
    Beats end;
};

/// Plays out a lick. `:|` without `|:` goes back to the first full bar, or to behind the repeat that closed
/// last. A last ending that closes with `:|` is played once: no ending follows that one would go back for.
/// Holds at the very start of an ending continue what sounded before the first ending. Cost: linear in what
/// is played; a lick of n bars with an m-fold repeat plays at most n * m bars.
[[nodiscard]] Unfolded unfold(const Lick& lick);

/// Where a straight place falls when the lick swings: in a slot cut into two, the second part begins at
/// ratio / (ratio + 1) and what lies inside each part is stretched evenly; everywhere else nothing moves.
/// Compound meters and groups over several slots never swing. Exact.
[[nodiscard]] Beats swung(const Lick& lick, const Unfolded& played, Beats straight);

}  // namespace lw::lick
