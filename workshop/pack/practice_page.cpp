// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/practice_page.hpp"

#include <md4c-html.h>

#include <cstddef>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/draw/svg.hpp"
#include "engine/text/text.hpp"

namespace lw::pack {

extern const std::uint8_t practice_page_bytes[];
extern const std::size_t practice_page_bytes_size;

namespace {

using Json = nlohmann::ordered_json;

std::string html_of(const std::string& prose) {
    std::string html;
    const auto append = [](const MD_CHAR* bytes, MD_SIZE size, void* to) {
        static_cast<std::string*>(to)->append(bytes, size);
    };
    md_html(prose.data(), static_cast<MD_SIZE>(prose.size()), append, &html, MD_FLAG_TABLES | MD_FLAG_NOHTML,
            0);
    return html;
}

/// JSON inside a script element must not end it: `</script` and `<!--` begin with a sign that JSON can spell otherwise.
std::string json_in_html(const Json& json) {
    std::string text;
    for (const char c : json.dump(-1, ' ', false, Json::error_handler_t::replace)) {
        if (c == '<')
            text += "\\u003c";
        else
            text += c;
    }
    return text;
}

}  // namespace

std::string_view practice_page_template() noexcept {
    // A table of bytes is read as text; both have the same size and no rules of alignment.
    return {static_cast<const char*>(static_cast<const void*>(practice_page_bytes)),
            practice_page_bytes_size};
}

std::string practice_page(const text::Lesson& lesson, const text::House& house) {
    Json licks = Json::array();
    std::string before;  // prose since the last lick
    std::string intro;
    for (const text::Passage& passage : lesson.passages) {
        if (!passage.lick) {
            before += html_of(passage.prose);
            continue;
        }
        // What stands before the first lick greets the reader, unless it is all there is to say of that lick.
        if (licks.empty()) intro = std::exchange(before, {});
        licks.push_back({{"source", text::write_lick(lesson.licks[*passage.lick].lick, house.tunings)},
                         {"prose", std::exchange(before, {})}});
    }
    const Json content = {{"title", lesson.title},  {"house", house.name},       {"site", house.site},
                          {"colour", house.colour}, {"licks", std::move(licks)}, {"outro", before}};
    std::string page;
    const std::string_view all = practice_page_template();
    page.reserve(all.size() + 65536);
    for (std::size_t at = 0; at < all.size();) {
        const std::size_t open = all.find("{{", at);
        const std::size_t close = open == std::string_view::npos ? open : all.find("}}", open);
        if (close == std::string_view::npos) {
            page += all.substr(at);
            break;
        }
        page += all.substr(at, open - at);
        const std::string_view place = all.substr(open + 2, close - open - 2);
        at = close + 2;
        if (place == "title")
            page += draw::xml_escaped(lesson.title);
        else if (place == "house")
            page += draw::xml_escaped(house.name);
        else if (place == "intro")
            page += intro;
        else if (place == "lesson")
            page += json_in_html(content);
        else  // not ours: part of a script
            page += all.substr(open, at - open);
    }
    return page;
}

}  // namespace lw::pack
