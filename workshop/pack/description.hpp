// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "engine/text/lesson.hpp"

namespace lw::pack {

/// The text under the video: what is in it, every lick's full lesson and credit, the usual links, the
/// cautions. Chapter times stand open (`-:--`) until the finished film is known.
[[nodiscard]] std::string description_text(const text::Lesson& lesson, const text::House& house);

}  // namespace lw::pack
