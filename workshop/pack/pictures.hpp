// SPDX-License-Identifier: GPL-3.0-or-later
//
// How a house's pictures look, and pictures as bytes: the theme with its colour, its logo, SVG and PNG.
#pragma once

#include <optional>
#include <string>

#include "engine/draw/picture.hpp"
#include "engine/draw/theme.hpp"
#include "engine/text/lesson.hpp"
#include "workshop/files/disk.hpp"
#include "workshop/print/print.hpp"

namespace lw::pack {

struct HouseLook {
    draw::Theme theme;
    std::optional<print::Logo> logo;
    [[nodiscard]] const print::Logo* logo_or_null() const noexcept { return logo ? &*logo : nullptr; }
    /// Width to height.
    [[nodiscard]] std::optional<double> logo_shape() const noexcept {
        if (!logo) return std::nullopt;
        return static_cast<double>(logo->width) / logo->height;
    }
};

/// `folder` is where the house file stands; its logo is beside it. Trouble when the logo cannot be read.
[[nodiscard]] files::Result<HouseLook> look_of(const text::House& house, const files::Path& folder);

/// A lesson's pages. A lesson of one lick with the same title says it once.
[[nodiscard]] std::vector<draw::Picture> pages_of(const text::Lesson& lesson, const text::House& house,
                                                  const HouseLook& look);

[[nodiscard]] files::Result<std::string> as_svg(const draw::Picture& picture, const draw::Theme& theme,
                                                std::string_view title, const HouseLook& look);
[[nodiscard]] files::Result<std::string> as_png(const draw::Picture& picture, const draw::Theme& theme,
                                                const HouseLook& look, double scale = 2.0);

}  // namespace lw::pack
