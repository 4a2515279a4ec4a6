// SPDX-License-Identifier: Apache-2.0
//
// The written line as layout needs it: every note and hold in order, what it sounds, what goes on from it.
// Private to the room.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::draw {

struct Token {
    std::size_t bar = 0;
    std::size_t event = 0;
    const lick::Event* written = nullptr;
    const lick::Tab* tab = nullptr;  // what sounds: its own, or that of the note it holds
    int held = -1;                   // the note that a hold lengthens; -1 for a note
    int next = -1;       // the token that goes on from this one without an attack, when it is next
    int glides_to = -1;  // the gliding note at the end of this note and its holds
    const lick::Event* style =
        nullptr;  // whose shake, vibrato ... goes on here: its own or an earlier hold's
    // The part of the note and its holds that this token fills, for what travels through the whole of it.
    double from = 0.0;
    double to = 1.0;

    [[nodiscard]] bool note() const noexcept { return held < 0; }
};

/// Gestures that go on through the whole note.
[[nodiscard]] bool lasts(lick::Gesture gesture) noexcept;

/// Holds that lengthen nothing have no token. A second ending goes on from what sounded before the first.
[[nodiscard]] std::vector<Token> written_tokens(const lick::Lick& lick);

}  // namespace lw::draw
