// SPDX-License-Identifier: Apache-2.0
//
// Lines onto a picture. Private to the room.
#pragma once

#include <string>

#include "engine/draw/line_layout.hpp"

namespace lw::draw {

/// Puts a line with its left top corner at (x, y) and enters it into the picture's maps.
void put_line(Picture& to, SetLine&& line, double x, double y, std::size_t lick);
/// White between two lines of one lick.
[[nodiscard]] constexpr double line_gap(const Sizes& sizes) noexcept {
    return sizes.of(17.0);
}
/// A lick as a screen reader says it: title, harp, count, then bar by bar.
[[nodiscard]] std::string spoken_lick(const lick::Lick& lick);

}  // namespace lw::draw
