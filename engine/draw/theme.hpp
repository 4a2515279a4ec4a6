// SPDX-License-Identifier: Apache-2.0
//
// What colour each ink has. Layout speaks of tasks (ink, soft, accent ...), a theme says how they look on
// white paper, on a light or dark page, in black only, or over a film. In every theme words in `ink`, `soft`
// and `accent` reach 4.5:1 against what they stand on (WCAG 2.2, success criterion 1.4.3), whatever colour
// the house has chosen.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "engine/draw/picture.hpp"

namespace lw::draw {

/// sRGB, not premultiplied; alpha 255 is opaque.
struct Colour {
    std::uint8_t red = 0, green = 0, blue = 0, alpha = 255;
    friend constexpr bool operator==(const Colour&, const Colour&) noexcept = default;
};

/// Reads `#rrggbb` or `#rgb`, in either case; nothing when it is neither.
[[nodiscard]] std::optional<Colour> colour_from(std::string_view text) noexcept;
/// `#rrggbb`, without the alpha.
[[nodiscard]] std::string to_text(Colour colour);

/// Contrast of two opaque colours, 1 to 21, the same both ways round: (L1 + 0.05) / (L2 + 0.05) of the
/// relative luminances. WCAG 2.2 (W3C), with the sRGB threshold 0.04045.
[[nodiscard]] double contrast(Colour a, Colour b) noexcept;
/// What is seen where `above` lies over an opaque `below`.
[[nodiscard]] Colour blend(Colour above, Colour below) noexcept;
/// The colour nearest to `wanted`, moved evenly towards black or white, that reaches `at_least` against both
/// grounds; black or white itself where nothing between does.
[[nodiscard]] Colour readable(Colour wanted, Colour on, Colour and_on, double at_least = 4.5) noexcept;

enum class Look : std::uint8_t {
    sheet,    // colours on white paper
    light,    // a page on a screen by day
    dark,     // and by night
    black,    // black on white, for copying machines; the house's colour is not used
    overlay,  // over a film: light ink; `ground` is a dark veil that lets the picture through
};

struct Theme {
    std::array<Colour, 9> of{};  // by Ink; `none` is clear
    [[nodiscard]] constexpr Colour operator[](Ink ink) const noexcept {
        return of[static_cast<std::size_t>(ink)];
    }
};

/// The house's colour, when it has one, becomes the accent, made darker or lighter until words in it can be
/// read.
[[nodiscard]] Theme theme(Look look, std::optional<Colour> house = std::nullopt) noexcept;

/// `paper`, `ink`, `accent`, ...
[[nodiscard]] std::string_view name(Ink ink) noexcept;
/// The theme as declarations of a style sheet: `--lw-paper:#fffdf6;--lw-ground:...`, each with its alpha.
[[nodiscard]] std::string css(const Theme& theme);

}  // namespace lw::draw
