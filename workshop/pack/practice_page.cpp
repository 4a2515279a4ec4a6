// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/practice_page.hpp"

#include <md4c-html.h>

#include <cstddef>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/draw/svg.hpp"
#include "engine/text/text.hpp"
#include "workshop/pack/page_places.hpp"

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
                         {"prose", std::exchange(before, {})},
                         {"ladder", lesson.licks[*passage.lick].clips.ladder_percent}});
    }
    const Json content = {{"title", lesson.title},  {"house", house.name},       {"site", house.site},
                          {"colour", house.colour}, {"licks", std::move(licks)}, {"outro", before}};
    return filled(practice_page_template(), {{"title", draw::xml_escaped(lesson.title)},
                                             {"house", draw::xml_escaped(house.name)},
                                             {"intro", intro},
                                             {"lesson", json_in_html(content)}});
}

}  // namespace lw::pack
