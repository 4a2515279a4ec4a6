// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures as files: pages into one PDF, one picture as PNG. Bytes out; the caller writes them
// (workshop/files). The same pictures give the same bytes, run after run.
#pragma once

#include <span>
#include <string>

#include "engine/draw/picture.hpp"
#include "engine/draw/theme.hpp"
#include "workshop/files/disk.hpp"
#include "workshop/print/logo.hpp"
#include "workshop/print/paint.hpp"

namespace lw::print {

/// What a reader shows about the document.
struct About {
    std::string title;
    std::string author;  // the house's name
    std::string date;    // the lesson's day, ISO 8601 (2026-03-01); when empty, 1980-01-01
};

/// One page for each picture, in its own size. Words are text in the bundled font, embedded as far as it is
/// used; music glyphs are shapes; an address (https://...) in words is a link. Nothing is painted behind the
/// commands.
[[nodiscard]] files::Result<std::string> pdf(std::span<const draw::Picture> pages, const draw::Theme& theme,
                                             const About& about, const Logo* logo = nullptr);

struct PngChoices {
    double scale = 2.0;        // pixels for each point; 1 to a point is 72 dpi
    bool transparent = false;  // else the theme's paper lies behind
    const Logo* logo = nullptr;
};
/// Width and height are the picture's, times the scale, rounded up. Trouble when that is over 16384 pixels a
/// side.
[[nodiscard]] files::Result<std::string> png(const draw::Picture& picture, const draw::Theme& theme,
                                             const PngChoices& choices = {});

}  // namespace lw::print
