// SPDX-License-Identifier: Apache-2.0
//
// How SVG spells a number, an attribute, a path: short, and rounded so that rounding never adds up.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::draw::svg_text {

// A number as SVG writes it, from a whole count of hundredths: no locale, no exponent, no needless zero
// ("-.5", "12").
inline void put_hundredths(std::string& out, long long n) {
    char digits[24];  // filled from its end
    char* at = digits + sizeof digits;
    auto size = static_cast<unsigned long long>(n < 0 ? -n : n);
    const unsigned part = static_cast<unsigned>(size % 100);
    size /= 100;
    if (part != 0) {
        if (part % 10 != 0) *--at = static_cast<char>('0' + part % 10);
        *--at = static_cast<char>('0' + part / 10);
        *--at = '.';
    }
    if (size == 0 && part == 0) *--at = '0';
    for (; size > 0; size /= 10) *--at = static_cast<char>('0' + size % 10);
    if (n < 0) *--at = '-';
    out.append(at, static_cast<std::size_t>(digits + sizeof digits - at));
}

// To the nearest whole number, halves away from zero: a library call here was a twentieth of all the time.
inline long long nearest(double value) {
    return static_cast<long long>(value < 0 ? value - 0.5 : value + 0.5);
}

inline long long hundredths(double value) {
    return nearest(value * 100.0);
}

inline void attribute(std::string& out, std::string_view name, double value) {
    out += ' ';
    out += name;
    out += "=\"";
    put_hundredths(out, hundredths(value));
    out += '"';
}

inline void attribute(std::string& out, std::string_view name, std::string_view value) {
    out += ' ';
    out += name;
    out += "=\"";
    out += value;
    out += '"';
}

/// Path data with relative steps, in hundredths of a point.
void put_path(std::string& out, const std::vector<Segment>& segments);

/// A glyph's shape in font units, whole numbers from the table: relative steps, y downwards.
void put_glyph(std::string& out, std::span<const std::int16_t> steps);

/// RFC 4648, section 4.
[[nodiscard]] std::string base64(std::string_view bytes);

}  // namespace lw::draw::svg_text
