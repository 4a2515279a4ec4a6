// SPDX-License-Identifier: Apache-2.0
//
// The first step that readers and the formatter share. Private to the room.
#pragma once

#include "engine/text/syntax.hpp"
#include "engine/text/text.hpp"

namespace lw::text {

/// Every line of a text, sorted; what cannot be sorted is told.
[[nodiscard]] std::vector<LineSyntax> sort_lines(std::string_view source, int first_line, Room room,
                                                 Report& report);

}  // namespace lw::text
