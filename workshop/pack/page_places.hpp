// SPDX-License-Identifier: GPL-3.0-or-later
//
// A page as it was built has places left open, `{{title}}`; here they are filled. Private to the room.
#pragma once

#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace lw::pack {

/// The page with its places filled; what looks like a place and is not named stays as it is, for it is part of a script.
/// Cost: linear in the page.
[[nodiscard]] std::string filled(std::string_view page,
                                 const std::map<std::string, std::string, std::less<>>& places);

/// JSON inside a script element must not end it: `</script` and `<!--` begin with a sign that JSON can spell otherwise.
[[nodiscard]] std::string json_in_html(const nlohmann::ordered_json& json);

}  // namespace lw::pack
