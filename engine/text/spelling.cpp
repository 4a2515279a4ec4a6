// SPDX-License-Identifier: Apache-2.0
#include "engine/text/spelling.hpp"

namespace lw::text {
namespace {

std::string bend_marks(int quarter_steps) {
    std::string marks(static_cast<std::size_t>(quarter_steps / 2), '\'');
    if (quarter_steps % 2 != 0) marks += 'q';
    return marks;
}

/// `(2,3')`: every hole with its own bend mark.
std::string several(const lick::Tab& tab) {
    std::string text = "(";
    for (const int hole : tab.holes) {
        if (text.size() > 1) text += ',';
        text += std::to_string(hole);
        if (hole == tab.bent_hole) text += bend_marks(tab.bend_quarter_steps);
    }
    return text + ")";
}

}  // namespace

std::string spelled(const lick::Tab& tab, Spelling spelling) {
    if (spelling == Spelling::none || tab.holes.empty()) return {};
    const bool blow = tab.breath == lick::Breath::blow;
    const std::string marks = tab.chord() ? "" : bend_marks(tab.bend_quarter_steps);
    const std::string holes = tab.chord() ? several(tab) : std::to_string(tab.holes.front());
    if (spelling == Spelling::letters) return holes + (tab.overbend ? "O" : "") + (blow ? "B" : "D") + marks;
    const char* const breath = spelling == Spelling::signs ? (blow ? "+" : "-") : (blow ? "↑" : "↓");
    return breath + holes + (tab.overbend ? "o" : "") + marks;
}

}  // namespace lw::text
