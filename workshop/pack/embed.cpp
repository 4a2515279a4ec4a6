// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/embed.hpp"

#include <fmt/format.h>

#include <cstddef>
#include <cstdint>

#include "engine/draw/svg.hpp"
#include "engine/text/text.hpp"

namespace lw::pack {

extern const std::uint8_t elements_script_bytes[];
extern const std::size_t elements_script_bytes_size;

namespace {

/// Text between tags: `>` may stand there, and a lick is easier to read with it.
std::string between_tags(std::string_view text) {
    std::string safe;
    for (const char c : text)
        if (c == '&')
            safe += "&amp;";
        else if (c == '<')
            safe += "&lt;";
        else
            safe += c;
    return safe;
}

}  // namespace

std::string_view elements_script() noexcept {
    // A table of bytes is read as text; both have the same size and no rules of alignment.
    return {static_cast<const char*>(static_cast<const void*>(elements_script_bytes)),
            elements_script_bytes_size};
}

std::string player_tag(const lick::Lick& lick, const std::vector<harp::Tuning>& tunings) {
    return fmt::format("<lw-player>\n{}</lw-player>\n", between_tags(text::write_lick(lick, tunings)));
}

std::string embed_example(const text::Lesson& lesson, const text::House& house) {
    std::string page = fmt::format(
        "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n\n"
        "<!-- Once on every page with licks; the file lies beside the page. -->\n"
        "<script defer src=\"lickwright-elements.js\"></script>\n\n<h1>{0}</h1>\n",
        draw::xml_escaped(lesson.title));
    for (const text::LessonLick& l : lesson.licks)
        page += "\n<!-- Where the lick should stand; lw-picture in place of lw-player shows it alone. -->\n" +
                player_tag(l.lick, house.tunings);
    return page;
}

}  // namespace lw::pack
