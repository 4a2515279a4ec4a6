// SPDX-License-Identifier: Apache-2.0
//
// How sure the ear is of a note: the chance that its onset, holes, breath and bend are right. Private to the room.
//
// A logistic model on what the note showed. Its coefficients are fitted on takes made for tuning by bench/hear; the
// reliability table there, on samples never used for it, says whether to believe it.
#pragma once

#include "engine/hear/note_shape.hpp"
#include "engine/hear/ways.hpp"

namespace lw::hear {

[[nodiscard]] double confidence_of(const OpenNote& note, const Way& way, const Ways& ways) noexcept;

}  // namespace lw::hear
