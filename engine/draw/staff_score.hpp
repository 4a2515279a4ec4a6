// SPDX-License-Identifier: Apache-2.0
//
// What stands on the staff: the rhythm with heads on their lines, accidentals, stems and beams chosen for the
// whole lick, before lines are made. Private to the room.
#pragma once

#include <string>
#include <vector>

#include "engine/draw/sizes.hpp"
#include "engine/draw/staff_rhythm.hpp"

namespace lw::draw {

/// A pitch as it is written. `step` counts lines and spaces up from C4, which is 0; `quarters` is the
/// accidental in quarter steps: -2 a flat, 2 a sharp, -1 a natural pulled down by a quarter.
struct StaffPitch {
    int step = 0;
    int quarters = 0;
    friend constexpr auto operator<=>(const StaffPitch&, const StaffPitch&) noexcept = default;
};
/// Spelled as a degree of the key: 1 b2 2 b3 3 4 b5 5 b6 6 b7 7. What would need a double flat, or a flat on C or
/// F, takes the letter below instead. A pitch between two half steps is the upper one, pulled down.
[[nodiscard]] StaffPitch spelled_pitch(Pitch pitch, harp::Key key) noexcept;
/// The same as a name with its octave, middle C being C4: `C#5` in D, `Db5` in Ab. Rounded to the nearest half step.
[[nodiscard]] std::string spelled_name(Pitch pitch, harp::Key key);

struct StaffHead {
    int line = 0;  // from the middle line, upwards, in steps
    int quarters = 0;
    char32_t accidental = 0;  // drawn before it, 0 for none
    double x = 0.0;           // of its middle, from the column
    double accidental_x = 0.0;
};

/// Beside StaffRhythm::notes.
struct StaffSet {
    std::vector<StaffHead> heads;  // from low to high; none for a rest
    bool up = true;                // the stem
    int beam = -1;                 // notes with the same number stand under one beam
    double left = 0.0, right = 0.0;
};

/// From first to last note, without a new attack between.
struct StaffSlur {
    std::size_t first = 0, last = 0;
};

struct StaffScore {
    StaffRhythm rhythm;
    std::vector<StaffSet> sets;
    std::vector<StaffSlur> slurs;
    int octave = 0;  // of the clef: 1 sounds an octave above what the lines say, -1 below
};
[[nodiscard]] StaffScore staff_score(const lick::Lick& lick, const std::vector<Token>& tokens,
                                     const Sizes& sizes);

// Measures of a staff in staff spaces, as the music font's own metadata gives them (Bravura's
// engravingDefaults, SMuFL 1.4).
inline constexpr double staff_line = 0.13, staff_stem = 0.12, staff_beam = 0.5, staff_beam_step = 0.75,
                        staff_ledger = 0.16, staff_ledger_reach = 0.4;

/// The glyph of an accidental of -3 to 2 quarter steps.
[[nodiscard]] char32_t accidental_glyph(int quarters) noexcept;

}  // namespace lw::draw
