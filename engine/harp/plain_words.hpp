// SPDX-License-Identifier: Apache-2.0
//
// How names are compared in this room: letter case, hyphens and runs of spaces do not matter. Private to the
// room. Only ASCII letters have a case here, so no locale can change what a file means.
#pragma once

#include <string>
#include <string_view>

namespace lw::harp::detail {

/// `Raised 3-Blow ` and `raised 3 blow` become the same words.
[[nodiscard]] inline std::string plain_words(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool gap = c == ' ' || c == '\t' || c == '-' || c == '_';
        if (gap) {
            if (!out.empty() && out.back() != ' ') out += ' ';
        } else {
            out += (c >= 'A' && c <= 'Z') ? static_cast<char>(c - 'A' + 'a') : c;
        }
    }
    if (!out.empty() && out.back() == ' ') out.pop_back();
    return out;
}

}  // namespace lw::harp::detail
