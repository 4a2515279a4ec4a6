// SPDX-License-Identifier: GPL-3.0-or-later
//
// Licks in somebody's own web page: the script with our elements (web/embed), and a plain page that shows how its tags are
// written, to copy from.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/text/lesson.hpp"

namespace lw::pack {

/// `lickwright-elements.js`, whole: engine and fonts are inside. The same for every lick.
[[nodiscard]] std::string_view elements_script() noexcept;

/// One lick as a tag to paste: `<lw-player>`, the lick's text, `</lw-player>`.
[[nodiscard]] std::string player_tag(const lick::Lick& lick, const std::vector<harp::Tuning>& tunings);

/// HTML5, UTF-8: a page without any style, with the script beside it and a player for every lick of the lesson.
[[nodiscard]] std::string embed_example(const text::Lesson& lesson, const text::House& house);

}  // namespace lw::pack
