// SPDX-License-Identifier: Apache-2.0
//
// What was heard, written down: notes and their beats become a lick that a person could have typed. A draft is honest
// about itself: what the ear was not sure of stands above the lanes as `# check:` lines, the worst first.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/coach/beat.hpp"
#include "engine/hear/hear.hpp"
#include "engine/lick/lick.hpp"

namespace lw::coach {

struct DraftChoices {
    harp::Harp harp;
    std::optional<int> position;
    std::string title;
    std::vector<std::string> remarks;  // said first, each one line: which other harps fit, say
};

/// Something to listen to again.
struct Check {
    std::optional<std::size_t> note;  // into the heard notes
    std::string words;                // `bar 2, beat 3: 4d' (sure to 48 %)`
};

struct Draft {
    lick::Lick lick;  // sound in the sense of engine/text: written and read again it has no fault
    std::vector<Check> checks;
    /// For every heard note the bar and event of `lick` that it became; nothing for one that has no place of its own.
    struct Token {
        std::size_t bar = 0;
        std::size_t event = 0;
    };
    std::vector<std::optional<Token>> tokens;
};

/// Notes without holes (heard without a harp) are left out and checked. `map` is find_beat of the same notes.
[[nodiscard]] Draft make_draft(std::span<const hear::HeardNote> notes, const BeatMap& map,
                               const DraftChoices& choices);

/// The file: head, `# check:` lines (at most twelve, then how many more), lanes.
[[nodiscard]] std::string write_draft(const Draft& draft);

}  // namespace lw::coach
