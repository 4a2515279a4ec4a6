// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/page_places.hpp"

namespace lw::pack {

std::string filled(std::string_view page, const std::map<std::string, std::string, std::less<>>& places) {
    std::string out;
    out.reserve(page.size() + 65536);
    for (std::size_t at = 0; at < page.size();) {
        const std::size_t open = page.find("{{", at);
        const std::size_t close = open == std::string_view::npos ? open : page.find("}}", open);
        if (close == std::string_view::npos) {
            out += page.substr(at);
            break;
        }
        out += page.substr(at, open - at);
        const auto place = places.find(page.substr(open + 2, close - open - 2));
        at = close + 2;
        out += place != places.end() ? std::string_view{place->second} : page.substr(open, at - open);
    }
    return out;
}

std::string json_in_html(const nlohmann::ordered_json& json) {
    std::string text;
    for (const char c : json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)) {
        if (c == '<')
            text += "\\u003c";
        else
            text += c;
    }
    return text;
}

}  // namespace lw::pack
