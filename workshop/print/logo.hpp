// SPDX-License-Identifier: GPL-3.0-or-later
//
// The house's logo. PNG only: an SVG logo would have to be drawn by a second library whose picture could
// differ from the browser's, and every drawing program exports PNG.
#pragma once

#include <cairo.h>

#include <string>
#include <string_view>

#include "workshop/files/disk.hpp"
#include "workshop/print/paint.hpp"

namespace lw::print {

/// Checks the bytes of a logo file by decoding them once. `name` is the file's name, for the words of the
/// trouble: not a PNG, damaged, or larger than 8192 pixels a side.
[[nodiscard]] files::Result<Logo> read_logo(std::string bytes, std::string_view name);

/// The pixels of a logo; the caller destroys the surface. Never null; its status says whether it worked.
[[nodiscard]] cairo_surface_t* decode(const Logo& logo);

}  // namespace lw::print
