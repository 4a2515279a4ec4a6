// SPDX-License-Identifier: Apache-2.0
//
// Measuring: a binary search in a sorted table for each character.
#include "engine/draw/font.hpp"

#include <algorithm>
#include <span>

#include "engine/draw/baked.hpp"

namespace lw::draw {
namespace {

const baked::Metrics* find(std::span<const baked::Metrics> table, char32_t code) noexcept {
    const auto found = std::lower_bound(table.begin(), table.end(), code,
                                        [](const baked::Metrics& m, char32_t c) { return m.code < c; });
    return found != table.end() && found->code == code ? &*found : nullptr;
}

std::span<const baked::Metrics> table_of(Face face) noexcept {
    return face == Face::bold ? baked::bold : baked::regular;
}

const baked::Metrics& metrics(Face face, char32_t code) noexcept {
    const baked::Metrics* found = code == 0 ? nullptr : find(table_of(face), code);
    return found != nullptr ? *found : table_of(face).front();
}

// Font units over a whole line: sums of whole numbers, so no order of adding changes the last bit.
int units(Face face, std::string_view utf8) noexcept {
    int sum = 0;
    while (!utf8.empty()) sum += metrics(face, next_character(utf8)).advance;
    return sum;
}

double scale(double size) noexcept {
    return size / baked::units_per_em;
}

}  // namespace

double width(Face face, std::string_view utf8, double size) noexcept {
    return units(face, utf8) * scale(size);
}

double advance(Face face, char32_t character, double size) noexcept {
    return metrics(face, character).advance * scale(size);
}

double start_of(Face face, std::string_view utf8, double x, double size, Anchor anchor) noexcept {
    if (anchor == Anchor::start) return x;
    const double length = width(face, utf8, size);
    return x - (anchor == Anchor::middle ? length / 2 : length);
}

Box ink_box(Face face, std::string_view utf8, Point at, double size, Anchor anchor) noexcept {
    const double start = start_of(face, utf8, at.x, size, anchor);
    int pen = 0;
    bool any = false;
    int left = 0, right = 0, bottom = 0, top = 0;
    while (!utf8.empty()) {
        const baked::Metrics& m = metrics(face, next_character(utf8));
        if (m.right > m.left) {
            left = any ? std::min(left, pen + m.left) : pen + m.left;
            right = any ? std::max(right, pen + m.right) : pen + m.right;
            bottom = any ? std::min<int>(bottom, m.bottom) : m.bottom;
            top = any ? std::max<int>(top, m.top) : m.top;
            any = true;
        }
        pen += m.advance;
    }
    const double k = scale(size);
    return {start + left * k, at.y - top * k, (right - left) * k, (top - bottom) * k};
}

bool has(Face face, char32_t character) noexcept {
    return character != 0 && find(table_of(face), character) != nullptr;
}

std::optional<Missing> first_missing(std::string_view utf8) noexcept {
    const std::size_t all = utf8.size();
    for (std::size_t column = 1; !utf8.empty(); ++column) {
        const std::size_t at = all - utf8.size();
        const char32_t character = next_character(utf8);
        // Both faces, since a title may be set in either; the fonts hold the same characters (a test says
        // so).
        if (!has(Face::regular, character) || !has(Face::bold, character))
            return Missing{character, at, all - utf8.size() - at, column};
    }
    return std::nullopt;
}

std::string_view fitting(Face face, std::string_view words, double size, double room) noexcept {
    const double most = room / scale(size);
    int pen = 0;
    std::string_view rest = words;
    while (!rest.empty()) {
        const std::size_t before = words.size() - rest.size();
        pen += metrics(face, next_character(rest)).advance;
        if (pen > most) return words.substr(0, before);
    }
    return words;
}

char32_t next_character(std::string_view& rest) noexcept {
    const auto byte = [&](std::size_t i) {
        return static_cast<char32_t>(i < rest.size() ? static_cast<unsigned char>(rest[i]) : 0);
    };
    const auto later = [&](std::size_t i) { return (byte(i) & 0xC0) == 0x80; };
    const char32_t first = byte(0);
    char32_t character = 0xFFFD;
    std::size_t length = 1;
    if (first < 0x80) {
        character = first;
    } else if (first >= 0xC2 && first <= 0xDF && later(1)) {
        character = (first & 0x1F) << 6 | (byte(1) & 0x3F);
        length = 2;
    } else if (first >= 0xE0 && first <= 0xEF && later(1) && later(2)) {
        const char32_t c = (first & 0x0F) << 12 | (byte(1) & 0x3F) << 6 | (byte(2) & 0x3F);
        if (c >= 0x800 && (c < 0xD800 || c > 0xDFFF)) {
            character = c;
            length = 3;
        }
    } else if (first >= 0xF0 && first <= 0xF4 && later(1) && later(2) && later(3)) {
        const char32_t c =
            (first & 0x07) << 18 | (byte(1) & 0x3F) << 12 | (byte(2) & 0x3F) << 6 | (byte(3) & 0x3F);
        if (c >= 0x10000 && c <= 0x10FFFF) {
            character = c;
            length = 4;
        }
    }
    rest.remove_prefix(length);
    return character;
}

bool has_music(char32_t glyph) noexcept {
    return find(baked::music, glyph) != nullptr;
}

double music_width(char32_t glyph, double size) noexcept {
    const baked::Metrics* m = find(baked::music, glyph);
    return m != nullptr ? m->advance * scale(size) : 0.0;
}

Box music_box(char32_t glyph, Point at, double size) noexcept {
    const baked::Metrics* m = find(baked::music, glyph);
    if (m == nullptr) return {at.x, at.y, 0.0, 0.0};
    const double k = scale(size);
    return {at.x + m->left * k, at.y - m->top * k, (m->right - m->left) * k, (m->top - m->bottom) * k};
}

}  // namespace lw::draw
