// SPDX-License-Identifier: GPL-3.0-or-later
//
// The head of the panel as drawing commands in pixels: title, harp and tempo; the count while it is counted.
// Private to the room.
#pragma once

#include <vector>

#include "engine/draw/picture.hpp"
#include "engine/lick/lick.hpp"
#include "workshop/video/stage.hpp"
#include "workshop/video/timeline.hpp"

namespace lw::video {

/// What never changes: the title.
[[nodiscard]] std::vector<draw::Command> title_commands(const lick::Lick& lick, const Stage& stage);
/// Harp, position, tempo and feel: shown when nothing is counted.
[[nodiscard]] std::vector<draw::Command> info_commands(const lick::Lick& lick, BeatsPerMinute tempo,
                                                       const Stage& stage);
/// The row of numbers; `counted` is the one that is lit, -1 before the first.
[[nodiscard]] std::vector<draw::Command> count_commands(const CountRow& row, int counted, const Stage& stage);
/// The part of the head that info and count share.
[[nodiscard]] draw::Box changing_head(const Stage& stage) noexcept;

}  // namespace lw::video
