// SPDX-License-Identifier: Apache-2.0
#include "engine/text/source.hpp"

#include <algorithm>

#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

constexpr char32_t unreadable = 0xFFFD;
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// One code point from the front of `bytes`, or U+FFFD for one stray byte (Unicode 15, table 3-7: no
/// overlong forms, no surrogates, nothing past U+10FFFF).
char32_t take_point(std::string_view& bytes) {
    const auto at = [&](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
    const unsigned char lead = at(0);
    const std::size_t length = lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    const auto stray = [&] {
        bytes.remove_prefix(1);
        return unreadable;
    };
    if (length == 1) {
        bytes.remove_prefix(1);
        return lead;
    }
    if (lead < 0xC2 || lead > 0xF4 || bytes.size() < length) return stray();
    char32_t point = lead & (0xFF >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((at(i) & 0xC0) != 0x80) return stray();
        point = (point << 6) | (at(i) & 0x3Fu);
    }
    const bool overlong = (length == 3 && point < 0x800) || (length == 4 && point < 0x10000);
    if (overlong || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) return stray();
    bytes.remove_prefix(length);
    return point;
}

/// Spaces that a word processor or a web page puts where a plain one belongs; one point stays one point, so
/// columns hold.
bool odd_space(char32_t c) {
    return c == 0xA0 || (c >= 0x2000 && c <= 0x200B) || c == 0x202F || c == 0x205F || c == 0x3000 ||
           c == 0xFEFF;
}

bool control(char32_t c) {
    return (c < 0x20 && c != U'\t') || (c >= 0x7F && c < 0xA0) || c == 0x2028 || c == 0x2029;
}

/// A picture or a sound opened by mistake: of ten characters more than one that no text has; a zero byte counts as
/// four. White space and a byte order mark do not count, so that tidying cannot make a text of what was none.
bool no_text(std::string_view bytes) {
    const bool plain = std::all_of(bytes.begin(), bytes.end(), [](char c) {
        return (c >= 0x20 && c < 0x7F) || c == '\n' || c == '\r' || c == '\t';
    });
    if (plain) return false;
    std::size_t odd = 0;
    std::size_t ink = 0;
    if (bytes.substr(0, 3) == byte_order_mark) bytes.remove_prefix(3);
    while (!bytes.empty()) {
        const char32_t c = take_point(bytes);
        if (c == U' ' || c == U'\t' || c == U'\n' || c == U'\r' || odd_space(c)) continue;
        ++ink;
        if (c == 0)
            odd += 4;
        else if (c == unreadable || control(c))
            ++odd;
    }
    return odd >= 8 && odd * 10 > ink;
}

/// The mark of UTF-16 where the text begins. What reads as a space before it does not count, nor does a byte order mark
/// of UTF-8, so that tidying, which takes both away, cannot bring a mark to the front.
bool marked_as_utf16(std::string_view bytes) {
    while (!bytes.empty()) {
        if (bytes.substr(0, 2) == "\xFF\xFE" || bytes.substr(0, 2) == "\xFE\xFF") return true;
        const char32_t c = take_point(bytes);
        if (c != U' ' && !odd_space(c) && !control(c) && c != U'\t') return false;
    }
    return false;
}

}  // namespace

std::vector<std::string_view> raw_lines(std::string_view bytes) {
    std::vector<std::string_view> lines;
    if (bytes.substr(0, 3) == byte_order_mark) bytes.remove_prefix(3);
    while (!bytes.empty()) {
        const std::size_t end = bytes.find_first_of("\r\n");
        lines.push_back(bytes.substr(0, end));
        if (end == std::string_view::npos) break;
        const bool two = bytes[end] == '\r' && end + 1 < bytes.size() && bytes[end + 1] == '\n';
        bytes.remove_prefix(end + (two ? 2 : 1));
    }
    return lines;
}

std::optional<std::string_view> raw_line(std::string_view bytes, int number) {
    if (bytes.substr(0, 3) == byte_order_mark) bytes.remove_prefix(3);
    std::size_t begin = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        if (bytes[i] != '\n' && bytes[i] != '\r') continue;
        if (--number == 0) return bytes.substr(begin, i - begin);
        if (bytes[i] == '\r' && i + 1 < bytes.size() && bytes[i + 1] == '\n') ++i;
        begin = i + 1;
    }
    if (number != 1 || begin == bytes.size()) return std::nullopt;
    return bytes.substr(begin);
}

std::u32string decoded(std::string_view bytes, std::size_t most) {
    std::u32string text;
    text.reserve(std::min(bytes.size(), most));
    while (!bytes.empty() && text.size() < most) {
        const auto c = static_cast<unsigned char>(bytes.front());
        if (c >= 0x80) {
            text += take_point(bytes);
            continue;
        }
        text += c;
        bytes.remove_prefix(1);
    }
    return text;
}

std::vector<Line> lines_of(std::string_view bytes, int first_line, Report& report) {
    const lick::Place start{first_line, 1, 1};
    if (bytes.size() > longest_text) {
        report.add(Fault::text_too_long, start);
        return {};
    }
    if (marked_as_utf16(bytes)) {
        report.add(Fault::utf16, start);
        return {};
    }
    if (no_text(bytes)) {
        report.add(Fault::not_text, start);
        return {};
    }
    std::vector<Line> lines;
    int number = first_line;
    for (const std::string_view raw : raw_lines(bytes)) {
        Line line{number++, decoded(raw)};
        bool told_unreadable = false;
        bool told_control = false;
        for (std::size_t i = 0; i < line.text.size(); ++i) {
            char32_t& c = line.text[i];
            if (c >= 0x20 && c < 0x7F) continue;
            const lick::Place here{line.number, static_cast<int>(i) + 1, 1};
            if (odd_space(c)) {
                c = U' ';
            } else if (c == unreadable) {
                if (!told_unreadable) report.add(Fault::not_utf8, here);
                told_unreadable = true;
            } else if (control(c)) {
                if (!told_control) report.add(Fault::control_character, here, {{"code", std::to_string(c)}});
                told_control = true;
                c = U' ';
            }
        }
        lines.push_back(std::move(line));
    }
    return lines;
}

}  // namespace lw::text
