// SPDX-License-Identifier: GPL-3.0-or-later
//
// The practice page of a lesson: one file that any browser opens, with the engine, the fonts and the licks inside
// (web/practice). It is the same for every lesson but for four places, which are filled here.
#pragma once

#include <string>
#include <string_view>

#include "engine/text/lesson.hpp"

namespace lw::pack {

/// The page as it was built, its places open: `{{title}}`, `{{house}}`, `{{intro}}`, `{{lesson}}`.
[[nodiscard]] std::string_view practice_page_template() noexcept;

/// HTML5, UTF-8. Prose becomes HTML as CommonMark says, but for HTML inside it, which is shown as it is typed; each lick
/// stands as a text of its own. Cost: linear in the lesson.
[[nodiscard]] std::string practice_page(const text::Lesson& lesson, const text::House& house);

}  // namespace lw::pack
