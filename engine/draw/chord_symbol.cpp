// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/chord_symbol.hpp"

#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"

namespace lw::draw {
namespace {

constexpr bool digit(char c) noexcept {
    return c >= '0' && c <= '9';
}
constexpr bool root(char c) noexcept {
    return c >= 'A' && c <= 'G';
}

struct Piece {
    std::string_view text;
    char32_t accidental = 0;
};

/// Takes the next piece off the front.
Piece next_piece(std::string_view symbol, std::size_t& at) {
    const auto accidental_at = [&](std::size_t i) -> char32_t {
        if (symbol[i] != '#' && symbol[i] != 'b') return 0;
        const bool after_root = i > 0 && root(symbol[i - 1]) && (i == 1 || symbol[i - 2] == '/');
        const bool before_number = i > 0 && i + 1 < symbol.size() && digit(symbol[i + 1]);
        if (!after_root && !before_number) return 0;
        return symbol[i] == '#' ? music::sharp : music::flat;
    };
    if (const char32_t a = accidental_at(at); a != 0) {
        ++at;
        return {{}, a};
    }
    const std::size_t from = at;
    while (at < symbol.size() && (at == from || accidental_at(at) == 0)) ++at;
    return {symbol.substr(from, at - from), 0};
}

// An accidental beside words: an em of 0.95 of the text makes its sharp a little taller than a capital; flats
// sit lower, as in print.
constexpr double accidental_em = 0.92;
constexpr double accidental_room = 0.05;

double set(InkGroup* to, Part part, std::string_view symbol, Point at, double size, Face face, Ink ink) {
    double x = at.x;
    std::size_t i = 0;
    while (i < symbol.size()) {
        const Piece p = next_piece(symbol, i);
        if (p.accidental == 0) {
            if (to != nullptr) to->add(words(part, p.text, {x, at.y}, size, face, Anchor::start, ink));
            x += width(face, p.text, size);
            continue;
        }
        const double em = size * accidental_em;
        const double rise = p.accidental == music::sharp ? 0.36 : 0.24;
        x += accidental_room * size;
        if (to != nullptr) to->add(glyph(part, p.accidental, {x, at.y - rise * size}, em, ink));
        x += music_width(p.accidental, em) + accidental_room * size;
    }
    return x;
}

}  // namespace

InkGroup chord_symbol(std::string_view symbol, double size, Part part) {
    InkGroup group;
    set(&group, part, symbol, {}, size, Face::bold, Ink::ink);
    return group;
}

double set_with_accidentals(InkGroup& to, Part part, std::string_view text, Point at, double size, Face face,
                            Ink ink) {
    return set(&to, part, text, at, size, face, ink);
}

double width_with_accidentals(std::string_view text, double size, Face face) {
    return set(nullptr, Part::head, text, {}, size, face, Ink::ink);
}

}  // namespace lw::draw
