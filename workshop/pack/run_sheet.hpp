// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the teacher lays beside the camera: in which order, which harp to hold, how fast, what to count, and
// each lick told in words. As Markdown (reads well as it is) and as one plain HTML page for print and for
// screen readers.
#pragma once

#include <string>

#include "engine/text/lesson.hpp"

namespace lw::pack {

[[nodiscard]] std::string run_sheet_markdown(const text::Lesson& lesson, const text::House& house);
[[nodiscard]] std::string run_sheet_html(const text::Lesson& lesson, const text::House& house);

/// The tempo of one step of the ladder, in whole beats a minute.
[[nodiscard]] int ladder_tempo(const lick::Lick& lick, int percent) noexcept;

}  // namespace lw::pack
