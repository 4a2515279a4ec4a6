// SPDX-License-Identifier: Apache-2.0
//
// What stands above the first line: meter, tempo, feel. Private to the room.
#pragma once

#include "engine/draw/pen.hpp"
#include "engine/draw/sizes.hpp"
#include "engine/lick/lick.hpp"

namespace lw::draw {

/// Set from x = 0 on the baseline y = 0; the feel goes into a second row where `room`, in points, is too narrow for one.
[[nodiscard]] InkGroup opening_marks(const lick::Head& head, const Sizes& sizes, double room);
/// `92`, `92.5`: a number as a person writes it, at most two places.
[[nodiscard]] std::string plain_number(double value);

}  // namespace lw::draw
