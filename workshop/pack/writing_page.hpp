// SPDX-License-Identifier: GPL-3.0-or-later
//
// The writing page: one file in which licks are written in any browser, with nothing installed (web/writing).
#pragma once

#include <string>
#include <string_view>

namespace lw::pack {

/// HTML5, UTF-8. It opens with `text`, a lick or a lesson of that file name; without a text with one of its own. What is
/// kept in the browser from an earlier time goes before.
[[nodiscard]] std::string writing_page(std::string_view text = {}, std::string_view file_name = {});

}  // namespace lw::pack
