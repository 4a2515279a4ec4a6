// SPDX-License-Identifier: Apache-2.0
//
// A lick's notes as the follower needs them: places in swung beats, and what counts as the same sound. Private to
// the room.
#pragma once

#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/lick/lick.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::coach {

struct WrittenNote {
    double beat = 0.0;      // where it begins, as the feel puts it
    double end = 0.0;       // where it ends
    bool off_beat = false;  // the second part of a slot cut in two
    double slot = 0.0;      // the beat such a slot begins on
    lick::Tab tab;
    lick::Start how = lick::Start::attack;
    bool goes_on = false;  // the note before sounds right up to it, on a reed that sounds in both
    Pitch pitch;           // of the lead hole
};

[[nodiscard]] std::vector<WrittenNote> written_notes(const lick::Lick& lick, const lick::Unfolded& played);

/// How a heard note stands to a written one.
struct Likeness {
    bool same_holes = false;   // or holes that sound the same pitch
    bool same_breath = false;  // true too where the same pitch came from the other breath
    Semitones bend_off;        // of the depth: the nearest that the heard note reaches
    double cost = 0.0;         // 0 the same, 1 a note with a wrong bend, 2 and more another note
};
[[nodiscard]] Likeness likeness(const harp::Harp& harp, const WrittenNote& written,
                                const hear::HeardNote& heard);

/// One reed sounds on through both.
[[nodiscard]] bool same_reed(const lick::Tab& a, const lick::Tab& b) noexcept;

}  // namespace lw::coach
