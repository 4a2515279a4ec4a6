// SPDX-License-Identifier: Apache-2.0
//
// Everything measured about a lick before lines are made. Private to the room.
#pragma once

#include <optional>
#include <vector>

#include "engine/draw/line_layout.hpp"
#include "engine/draw/staff_score.hpp"
#include "engine/lick/count.hpp"

namespace lw::draw {

struct Setting {
    const lick::Lick& lick;
    LineChoices choices;
    Sizes sizes;
    Levels levels;
    std::vector<Token> tokens;
    std::vector<Core> cores;                           // beside `tokens`; a hold's is bare
    std::vector<std::vector<lick::CountWord>> counts;  // by bar
    std::vector<Column> columns;
    std::vector<Stop> stops;  // beside `columns`
    Rows rows;
    Room room;
    double gutter = 0.0;  // left of the first bar line
    std::optional<StaffScore> staff;

    [[nodiscard]] const Core& core(int token) const { return cores[static_cast<std::size_t>(token)]; }
    [[nodiscard]] const Token& token(int index) const { return tokens[static_cast<std::size_t>(index)]; }
    /// The level a token's tail begins at.
    [[nodiscard]] double tail_level(const Token& t, int index) const {
        return core(t.note() ? index : t.held).level_out;
    }
};
[[nodiscard]] Setting measure(const lick::Lick& lick, const LineChoices& choices);

/// Where the words beside a token stand: under a drawn note, over a blown one, clear of its own tail.
[[nodiscard]] double words_baseline(const Setting& setting, int token);

/// One plain spelling, set around x = 0 on the baseline y = 0. Arrows are our own shapes: not every font has
/// them.
[[nodiscard]] InkGroup plain_spelling(const lick::Tab& tab, text::Spelling spelling, double size);

// Signs at a bar line, in points at scale 1.
inline constexpr double repeat_room = 9.6;  // thick, thin, dots
inline constexpr double final_room = 5.0;   // thin, thick
inline constexpr double breath_room = 9.0;  // a `,` before the bar line

/// The ink of one line.
[[nodiscard]] SetLine ink_line(const Setting& setting, const Line& line, bool first);

}  // namespace lw::draw
