// SPDX-License-Identifier: Apache-2.0
//
// What a page asks of the engine, as bytes: text or JSON for people and scripts, MIDI and samples for ears.
// Each function takes the text of one lick (or of a lesson) and translates; nothing is decided here. The same
// functions are compiled natively for the test that holds WebAssembly against native code.
//
// JSON is UTF-8 (broken input bytes become U+FFFD), its keys stand in a fixed order, lengths are points and
// seconds, beats are exact and written as text (`5/3`).
#pragma once

#include <string>
#include <string_view>

namespace lw::binding {

/// An answer and whether it is a good one: 0, or 1 when the text has errors (the answer then says as much as
/// could be understood, or is empty where nothing can be made of such a text).
struct Answer {
    int status = 0;
    std::string bytes;
};

/// What the harp of this name plays in half steps: `{harp, notes: [{tab, hole, breath, bend, overbend, note,
/// midi, hz, degree}]}`; degrees are of the key of the music in `position` (1 to 12). Status 1 and one
/// sentence for a harp that is not made.
[[nodiscard]] Answer harp(std::string_view name, int position);

}  // namespace lw::binding
