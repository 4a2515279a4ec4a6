// SPDX-License-Identifier: Apache-2.0
#include "wasm/json_bytes.hpp"

#include <array>

namespace lw::binding {
namespace {

constexpr std::array<char, 16> digits{'0', '1', '2', '3', '4', '5', '6', '7',
                                      '8', '9', 'a', 'b', 'c', 'd', 'e', 'f'};

/// What follows the backslash (RFC 8259 section 7); 'u' for the longer form, 0 where nothing is escaped.
constexpr char escape(unsigned char c) {
    switch (c) {
        case '"':
        case '\\':
            return static_cast<char>(c);
        case '\b':
            return 'b';
        case '\f':
            return 'f';
        case '\n':
            return 'n';
        case '\r':
            return 'r';
        case '\t':
            return 't';
        default:
            return c < 0x20 ? 'u' : '\0';
    }
}

constexpr std::array<char, 256> escapes = [] {
    std::array<char, 256> all{};
    for (std::size_t c = 0; c < all.size(); ++c) all[c] = escape(static_cast<unsigned char>(c));
    return all;
}();

}  // namespace

void append_json_text(std::string& out, std::string_view text) {
    std::size_t more = 2;
    for (const char c : text) {
        const char e = escapes[static_cast<unsigned char>(c)];
        more += e == '\0' ? 0 : e == 'u' ? 5 : 1;
    }
    const std::size_t begin = out.size();
    out.resize(begin + text.size() + more, '"');
    char* to = out.data() + begin + 1;
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
}

std::string json_bytes(std::string_view name, std::string_view text, const nlohmann::ordered_json& rest) {
    const std::string others = json_bytes(rest);
    std::string out;
    // Of an SVG less than an eighth is quotation marks.
    out.reserve(name.size() + text.size() + text.size() / 8 + others.size() + 16);
    out += '{';
    append_json_text(out, name);
    out += ':';
    append_json_text(out, text);
    out += ',';
    out.append(others, 1);
    return out;
}

}  // namespace lw::binding
