// SPDX-License-Identifier: Apache-2.0
//
// The lick language: text in, model out, and back again.
//
// Reading never stops at the first fault. Every fault is one row of the table in diagnostics.hpp, with its
// place, a teacher's words and a remedy; the same text always gives the same faults in the same order. The
// grammar stands in docs/language.md; docs/words.md explains the words.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/lick/lick.hpp"
#include "engine/text/choices.hpp"
#include "engine/text/diagnostics.hpp"

namespace lw::text {

/// What a lick takes from around it (the lesson's head, the house file) when it does not say so itself.
struct Defaults {
    lick::Head head;                    // harp, position, meter, tempo, feel ...
    std::vector<harp::Tuning> tunings;  // the house's own, by name
    ClipChoices clips;                  // what a lick's own head may narrow
};

struct LickReading {
    lick::Lick lick;  // as much as could be understood, well formed even when there are errors
    ClipChoices clips;
    std::vector<Diagnostic> diagnostics;  // by place; errors and warnings
    [[nodiscard]] bool ok() const noexcept { return !has_errors(diagnostics); }
};

/// Reads one lick. `first_line` is the line its text starts on (for a lick inside a lesson).
/// Cost: linear in the text. A text over 1 MB is one fault.
[[nodiscard]] LickReading read_lick(std::string_view source, const Defaults& defaults = {},
                                    int first_line = 1);

/// The same text, tidied: keys and lanes in line, bars of the lanes aligned, one space between tokens,
/// comments kept. Idempotent, and it never changes what is read. A text with errors comes back as it was.
/// `defaults` matter for a lick inside a lesson, whose head may name the harp.
[[nodiscard]] std::string format_lick(std::string_view source, const Defaults& defaults = {});

/// One note as it is typed: `4b`, `3d''q`, `6bo`, `3'+4d`. Without `>` and gestures.
[[nodiscard]] std::string to_text(const lick::Tab& tab);

/// Spells a model as text. Reading it again gives an equal model (with the same house tunings, when it uses
/// one). Groups the model does not name are inferred: a slot is cut into as few equal parts as its notes
/// need, and a note that runs on is spelled with holds. Places finer than 1/64 of a slot outside every named
/// group move to the 1/64 before them.
[[nodiscard]] std::string write_lick(const lick::Lick& lick,
                                     const std::vector<harp::Tuning>& house_tunings = {});

}  // namespace lw::text
