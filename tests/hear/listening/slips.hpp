// SPDX-License-Identifier: GPL-3.0-or-later
//
// A phrase as it is written, and the same phrase with slips: a wrong hole, a note left out, one too many.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "tests/hear/listening/phrase.hpp"

namespace lw::listening {

enum class Slip : std::uint8_t { wrong, missing, extra };

struct Slipped {
    Phrase played;
    std::vector<std::optional<std::size_t>>
        written;                     // beside the notes played: which note of the phrase it is
    std::vector<std::size_t> wrong;  // notes of the phrase
    std::vector<std::size_t> missing;
    std::vector<std::size_t> extra;  // notes of `played`
};

/// About one note in eight slips; never the first or the last, nor one that is joined, has a gesture or several holes.
[[nodiscard]] Slipped with_slips(const Phrase& phrase, std::uint64_t seed);

/// The phrase as a lick, spelled by the writer of the lick language and read again, so that it is as a teacher types it.
[[nodiscard]] lick::Lick lick_of(const Phrase& phrase);

}  // namespace lw::listening
