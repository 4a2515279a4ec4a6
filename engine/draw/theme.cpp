// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/theme.hpp"

#include <cmath>

namespace lw::draw {
namespace {

constexpr Colour rgb(std::uint32_t hex, std::uint8_t alpha = 255) noexcept {
    return {static_cast<std::uint8_t>(hex >> 16), static_cast<std::uint8_t>(hex >> 8 & 0xFF),
            static_cast<std::uint8_t>(hex & 0xFF), alpha};
}

constexpr Colour black = rgb(0x000000);
constexpr Colour white = rgb(0xffffff);

double linear(std::uint8_t channel) noexcept {
    const double c = channel / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(Colour c) noexcept {
    return 0.2126 * linear(c.red) + 0.7152 * linear(c.green) + 0.0722 * linear(c.blue);
}

std::uint8_t between(std::uint8_t from, std::uint8_t to, double part) noexcept {
    return static_cast<std::uint8_t>(std::lround(from + (to - from) * part));
}

Colour between(Colour from, Colour to, double part) noexcept {
    return {between(from.red, to.red, part), between(from.green, to.green, part),
            between(from.blue, to.blue, part)};
}

int hex_digit(char c) noexcept {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

// In the order of Ink: none, paper, ground, ink, soft, rule, band, accent, take. The warm greys and the brass
// of our own palette; a warm black tires the eye less than a pure one, and brass is the colour of the reeds.
constexpr Theme sheet{{rgb(0, 0), white, rgb(0xf6f2e9), rgb(0x1b1a17), rgb(0x625c4f), rgb(0xd8d0bf),
                       rgb(0xf5f2eb), rgb(0xb3770f), rgb(0x0f6e6e)}};
constexpr Theme light{{rgb(0, 0), rgb(0xfffdf8), rgb(0xf6f2e9), rgb(0x1b1a17), rgb(0x625c4f), rgb(0xd8d0bf),
                       rgb(0xf3efe6), rgb(0xb3770f), rgb(0x0f6e6e)}};
constexpr Theme dark{{rgb(0, 0), rgb(0x171613), rgb(0x0f0e0c), rgb(0xf3eee2), rgb(0xa9a190), rgb(0x3d3a33),
                      rgb(0x23211d), rgb(0xe3ab45), rgb(0x6fd0c8)}};
// A copying machine drops what is paler than about a tenth of grey and smears fine dots: few steps, far
// apart.
constexpr Theme black_only{
    {rgb(0, 0), white, white, black, rgb(0x333333), rgb(0x999999), rgb(0xececec), black, black}};
// The veil is thick enough that `soft` reads over a white wall: tests walk it over black and white film.
constexpr Theme over_film{{rgb(0, 0), rgb(0x171613), rgb(0x12110f, 209), rgb(0xfffdf8), rgb(0xd8d2c4),
                           rgb(0xfffdf8, 80), rgb(0xfffdf8, 20), rgb(0xf0bb58), rgb(0x86ded7)}};

}  // namespace

std::optional<Colour> colour_from(std::string_view text) noexcept {
    if ((text.size() != 7 && text.size() != 4) || text.front() != '#') return std::nullopt;
    std::uint32_t value = 0;
    for (const char c : text.substr(1)) {
        const int digit = hex_digit(c);
        if (digit < 0) return std::nullopt;
        value = value << 4 | static_cast<std::uint32_t>(digit);
        if (text.size() == 4) value = value << 4 | static_cast<std::uint32_t>(digit);
    }
    return rgb(value);
}

std::string to_text(Colour colour) {
    constexpr char digits[] = "0123456789abcdef";
    std::string text = "#";
    for (const std::uint8_t channel : {colour.red, colour.green, colour.blue}) {
        text += digits[channel >> 4];
        text += digits[channel & 15];
    }
    return text;
}

double contrast(Colour a, Colour b) noexcept {
    const double la = luminance(a) + 0.05;
    const double lb = luminance(b) + 0.05;
    return la > lb ? la / lb : lb / la;
}

Colour blend(Colour above, Colour below) noexcept {
    Colour seen = between(below, above, above.alpha / 255.0);
    seen.alpha = 255;
    return seen;
}

Colour readable(Colour wanted, Colour on, Colour and_on, double at_least) noexcept {
    const auto reads = [&](Colour c) {
        return contrast(c, on) >= at_least && contrast(c, and_on) >= at_least;
    };
    const Colour end = contrast(black, on) > contrast(white, on) ? black : white;
    // 64 steps: less than one just visible step of lightness each.
    for (int step = 0; step < 64; ++step) {
        const Colour c = between(wanted, end, step / 64.0);
        if (reads(c)) return c;
    }
    return end;
}

Theme theme(Look look, std::optional<Colour> house) noexcept {
    if (look == Look::black) return black_only;
    Theme t = look == Look::dark      ? dark
              : look == Look::light   ? light
              : look == Look::overlay ? over_film
                                      : sheet;
    auto& accent = t.of[static_cast<std::size_t>(Ink::accent)];
    if (house) accent = *house;
    // Over a film the words stand on the veil, at its palest over white.
    const bool film = look == Look::overlay;
    const Colour on = film ? blend(t[Ink::ground], white) : t[Ink::paper];
    const Colour band = blend(t[Ink::band], on);
    accent = readable(accent, on, band);
    return t;
}

std::string_view name(Ink ink) noexcept {
    static constexpr std::array<std::string_view, 9> names = {"none", "paper", "ground", "ink", "soft",
                                                              "rule", "band",  "accent", "take"};
    return names[static_cast<std::size_t>(ink)];
}

std::string css(const Theme& theme) {
    constexpr char digits[] = "0123456789abcdef";
    std::string all;
    for (std::size_t i = 1; i < theme.of.size(); ++i) {
        const Colour c = theme.of[i];
        all += "--lw-" + std::string(name(static_cast<Ink>(i))) + ':' + to_text(c);
        if (c.alpha != 255) {
            all += digits[c.alpha >> 4];
            all += digits[c.alpha & 15];
        }
        all += ';';
    }
    return all;
}

}  // namespace lw::draw
