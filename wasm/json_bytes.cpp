// SPDX-License-Identifier: Apache-2.0
#include "wasm/json_bytes.hpp"

#include <array>
#include <cstring>

namespace lw::binding {
namespace {

constexpr std::array<char, 16> digits{'0', '1', '2', '3', '4', '5', '6', '7',
                                      '8', '9', 'a', 'b', 'c', 'd', 'e', 'f'};

/// What follows the backslash (RFC 8259 section 7); 'u' for the longer form, 0 where nothing is escaped.
constexpr char escape(unsigned char c) {
    switch (c) {
        case '"':
        case '\\': return static_cast<char>(c);
        case '\b': return 'b';
        case '\f': return 'f';
        case '\n': return 'n';
        case '\r': return 'r';
        case '\t': return 't';
        default: return c < 0x20 ? 'u' : '\0';
    }
}

constexpr std::array<char, 256> escapes = [] {
    std::array<char, 256> all{};
    for (std::size_t c = 0; c < all.size(); ++c) all[c] = escape(static_cast<unsigned char>(c));
    return all;
}();

}  // namespace

std::string json_text(std::string_view text) {
    std::size_t more = 2;
    for (const char c : text) {
        const char e = escapes[static_cast<unsigned char>(c)];
        more += e == '\0' ? 0 : e == 'u' ? 5 : 1;
    }
    std::string out(text.size() + more, '"');
    char* to = out.data() + 1;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const char e = escapes[byte];
        if (e == '\0') {
            *to++ = c;
            continue;
        }
        *to++ = '\\';
        *to++ = e;
        if (e != 'u') continue;
        for (const char digit : {'0', '0', digits[byte >> 4], digits[byte & 0xF]}) *to++ = digit;
    }
    return out;
}

std::string json_bytes(std::string_view name, std::string_view text, const nlohmann::ordered_json& rest) {
    std::string out = "{" + json_text(name) + ":" + json_text(text) + ",";
    out += std::string_view{json_bytes(rest)}.substr(1);
    return out;
}

}  // namespace lw::binding
