// SPDX-License-Identifier: Apache-2.0
//
// One note in the trade's three plain spellings. There is no standard body for them (common practice, no
// source); these forms are chosen so that none can be read two ways, and the plain-tab reader
// (engine/exchange/plain_tab.hpp) reads every one of them back.
//
//              blow    draw    half-step bends   overbend   several holes
//   signs      +4      -4      -3''              +6o -7o    -(2,3')
//   arrows     ↑4      ↓4      ↓3''              ↑6o ↓7o    ↓(2,3')
//   letters    4B      4D      3D''              6OB 7OD    (2,3')D
//
// A further quarter step is `q`, as in the lick language. Arrows point the way the air leaves or enters: up
// is blow, down is draw.
#pragma once

#include <string>

#include "engine/lick/lick.hpp"
#include "engine/text/lesson.hpp"

namespace lw::text {

/// Empty for Spelling::none and for a tab without holes.
[[nodiscard]] std::string spelled(const lick::Tab& tab, Spelling spelling);

}  // namespace lw::text
