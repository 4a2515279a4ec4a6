// SPDX-License-Identifier: Apache-2.0
//
// How sure the ear is of a note: the chance that its onset, holes, breath and bend are right. Private to the room.
//
// A logistic model on what the note showed. Its coefficients are fitted by bench/hear/fit_confidence on takes made for
// tuning; the reliability table of bench/hear/hear_table, on samples never used for that, says whether to believe it.
#pragma once

#include <array>

#include "engine/hear/note_shape.hpp"
#include "engine/hear/ways.hpp"

namespace lw::hear {

/// What speaks for a note and against it, each about -2 to 4; the first is 1.
inline constexpr std::size_t witness_count = 11;
using Witness = std::array<float, witness_count>;

/// `depth` is the settled depth of the bend, in semitones.
[[nodiscard]] Witness witness_of(const OpenNote& note, const Way& way, float depth) noexcept;
[[nodiscard]] double confidence_of(const Witness& witness) noexcept;

}  // namespace lw::hear
