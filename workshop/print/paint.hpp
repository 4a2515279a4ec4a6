// SPDX-License-Identifier: GPL-3.0-or-later
//
// A picture onto a Cairo surface: the brush behind PDF, PNG and the on-screen layer.
#pragma once

#include <cairo.h>

#include <string>

#include "engine/draw/picture.hpp"
#include "engine/draw/theme.hpp"

namespace lw::print {

class BundledFonts;

/// The house's logo, as PNG (logo.hpp reads and checks it).
struct Logo {
    std::string png;
    int width = 0;  // in pixels
    int height = 0;
};

struct PaintChoices {
    const Logo* logo = nullptr;           // for image commands; without one they paint nothing
    const BundledFonts* fonts = nullptr;  // words become text in these fonts; without them, filled shapes
};

/// Paints every command in order in the picture's own units (points); scale and place it through the
/// context's matrix. Nothing is painted behind the commands: the paper is the caller's. Leaves the context as
/// it was. Throws nothing; trouble shows in cairo_status.
void paint(cairo_t* on, const draw::Picture& picture, const draw::Theme& theme,
           const PaintChoices& choices = {});
/// One command of it, for who paints only what changes.
void paint(cairo_t* on, const draw::Command& command, const draw::Theme& theme,
           const PaintChoices& choices = {});

}  // namespace lw::print
