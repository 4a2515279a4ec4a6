// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/writing_page.hpp"

#include <cstddef>
#include <cstdint>

#include "workshop/pack/page_places.hpp"

namespace lw::pack {

extern const std::uint8_t writing_page_bytes[];
extern const std::size_t writing_page_bytes_size;

std::string writing_page(std::string_view text, std::string_view file_name) {
    // A table of bytes is read as text; both have the same size and no rules of alignment.
    const std::string_view page{static_cast<const char*>(static_cast<const void*>(writing_page_bytes)),
                                writing_page_bytes_size};
    nlohmann::ordered_json begin;
    if (!text.empty()) begin = {{"text", text}, {"name", file_name}};
    return filled(page, {{"begin", json_in_html(begin)}});
}

}  // namespace lw::pack
