// SPDX-License-Identifier: Apache-2.0
//
// What sounds now, as a learner wants to see it: which hole, blow or draw, how deep. A pitch alone cannot tell, so the
// lick helps: what it asks for is taken before what it does not.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "engine/harp/harp.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::coach {

struct LiveNote {
    harp::Reed reed;
    bool overbend = false;
    Semitones depth;  // under the player's own unbent reed; for an overbend, under its own pitch
    /// Written notes that ask for this reed (or this overbend); the nearest in depth. Nothing when none does.
    std::optional<std::size_t> note;  // index into Unfolded::notes
};

/// The likeliest way to make this frequency on the harp; nothing farther than 60 cents from all of them. `reeds` are the
/// player's own against the harp as made, as in hear::Heard. Cost: holes plus notes.
[[nodiscard]] std::optional<LiveNote> live_note(
    const harp::Harp& harp, Hz frequency, const lick::Unfolded& played,
    const std::array<std::optional<Cents>, 2 * harp::hole_count>& reeds = {});

}  // namespace lw::coach
