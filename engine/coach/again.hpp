// SPDX-License-Identifier: Apache-2.0
//
// Notes that ran together in the ear, told apart by what is written. Private to the room. A reed that is tongued again
// within a few hundredths of a second hardly stops, and one that is left rings into the next: an ear that knows nothing
// of the lick hears one note for two, or a chord. Where the lick says what is meant, much less evidence is enough.
#pragma once

#include <span>

#include "engine/coach/align.hpp"

namespace lw::coach {

/// Adds a match for each written note that repeats the one before (or sounds like it from the other breath), was not
/// found, and shows in the frames inside the heard note of the one before, near the time it was due. It has that heard note and is `shared`.
void find_again(Alignment& alignment, std::span<const WrittenNote> written,
                std::span<const hear::HeardNote> take, std::span<const hear::Frame> frames);

/// A chord that the ear is not sure of and that is only the note before, still ringing, with the one that is wanted.
[[nodiscard]] bool rings_on(std::span<const hear::HeardNote> take, std::size_t heard,
                            const lick::Tab& wanted) noexcept;

}  // namespace lw::coach
