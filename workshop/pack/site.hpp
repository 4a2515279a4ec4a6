// SPDX-License-Identifier: GPL-3.0-or-later
//
// Many lessons as one folder for a web host or a memory stick: a practice page for each, and an index page that leads to
// them. Plain files; the index needs no script.
#pragma once

#include <span>
#include <string>

#include "engine/text/lesson.hpp"

namespace lw::pack {

/// The practice page's file name, from the lesson's title: `three-ways-home.html`. Links hold as long as the title does.
[[nodiscard]] std::string page_name(const text::Lesson& lesson);

/// HTML5, UTF-8: every lesson with its date, its licks and their harps, newest first (those without a date last, in the order
/// given), each leading to `page_name`. Looks like the practice page, by day and by night.
[[nodiscard]] std::string index_page(std::span<const text::Lesson> lessons, const text::House& house);

}  // namespace lw::pack
