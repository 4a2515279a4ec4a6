// SPDX-License-Identifier: Apache-2.0
//
// A picture as SVG 1.1: one string, the same for the same picture, without fonts, scripts or anything outside
// it.
//
// Words are shapes by default, so that every program shows the same; each letter's shape stands once and is
// used again. For a page that has the text font, words can stay words. Every element says what it is
// (`data-part`) and which one
// (`data-owner`), so that a page can light a note.
#pragma once

#include <string>
#include <string_view>

#include "engine/draw/picture.hpp"
#include "engine/draw/theme.hpp"

namespace lw::draw {

struct SvgChoices {
    enum class Words : std::uint8_t { shapes, text };
    Words words = Words::shapes;
    /// Of the whole picture, for who cannot see it; Picture::spoken is its description.
    std::string_view title = {};
    /// `values` writes the theme's colours. `names` writes `var(--lw-ink)` ... instead, for a picture inside a page that
    /// gives each its colour by day and by night (theme.hpp, css).
    enum class Colours : std::uint8_t { values, names };
    Colours colours = Colours::values;
    bool paper = true;  // the theme's paper behind everything
    /// Starts every id in it; two pictures of one page need different ones.
    std::string_view id = "lw";
    /// Bytes of the house's logo, for image commands; without them they draw nothing.
    std::string_view logo_png = {};
};

/// Linear in the size of the picture. Numbers have at most two decimals (a hundredth of a point is 3.5
/// micrometres).
[[nodiscard]] std::string svg(const Picture& picture, const Theme& theme, const SvgChoices& choices = {});

/// `number`, `bend-mark`, ...: what `data-part` says.
[[nodiscard]] std::string_view name(Part part) noexcept;

/// Text as XML holds it: & < > and quotes spelled out, bytes and characters that XML 1.0 (section 2.2)
/// forbids as U+FFFD.
[[nodiscard]] std::string xml_escaped(std::string_view utf8);

}  // namespace lw::draw
