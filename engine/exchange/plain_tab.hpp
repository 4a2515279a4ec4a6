// SPDX-License-Identifier: Apache-2.0
//
// Plain text tab, as players mail it to each other: a lick written so (for the pack), and such a text read as
// the draft of a lick (for `convert`).
//
// Nobody keeps a standard for it (common practice, no source), so the same letters mean different things to
// different people: `4b` is 4 blow to one and a bent 4 to another, and a bare `4` is blow to most who write
// `-4` for draw. Reading never guesses: where a text leaves the meaning open, the answer is a question with
// its choices.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "engine/lick/lick.hpp"
#include "engine/text/lesson.hpp"

namespace lw::exchange {

/// Head, chords, tab and count in columns, bars wrapped at `columns` characters. Repeats and endings stand as
/// they are written. Holds are `_`, rests `.`; a joined note has `>` before it; `[ ]` hold what shares one
/// beat. A legend explains every sign that is used. `read_plain_tab` gives the lick back: its bars note for
/// note, with title, harp, tuning, position, meter, feel, credit and addresses, and the tempo to one digit
/// after the point; tags, temperament, A4 and the choices for clips are not in it.
[[nodiscard]] std::string write_plain_tab(const lick::Lick& lick, text::Spelling spelling,
                                          std::size_t columns = 78);

/// What a writer of tab means by signs that are not used alike everywhere.
struct TabMeanings {
    enum class Bare { blow, draw };
    enum class LetterB { blow, bend };
    std::optional<Bare> bare;         // a hole number alone: `4`
    std::optional<LetterB> letter_b;  // a `b` after a hole without a sign: `4b`
};

/// Why a text could not be read: one fault, or a question.
struct TabTrouble {
    lick::Place place;
    std::string words;  // one sentence
    std::string remedy;
    std::string meaning;               // `bare` or `letter b` when it is a question, else empty
    std::vector<std::string> choices;  // the answers to it: `blow`, `bend`
};

/// A draft in the lick language: every note one slot, a line of the source one line of the lane, since plain
/// tab says nothing about time. All troubles are found in one go; each question is asked once, where it first
/// comes up.
[[nodiscard]] tl::expected<std::string, std::vector<TabTrouble>> read_plain_tab(
    std::string_view source, std::string_view title, std::string_view harp, const TabMeanings& meanings = {});

}  // namespace lw::exchange
