// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/print/logo.hpp"

#include <algorithm>
#include <cstring>
#include <memory>

namespace lw::print {
namespace {

// A larger picture than this is a photograph by mistake; decoded it would take 256 MB.
constexpr unsigned most_pixels = 8192;

// PNG (W3C, third edition), sections 5.2 and 11.2.1: signature, then IHDR with width and height, big-endian.
constexpr std::string_view signature{"\x89PNG\r\n\x1a\n", 8};

unsigned number_at(std::string_view bytes, std::size_t at) {
    unsigned value = 0;
    for (std::size_t i = at; i < at + 4; ++i) value = value << 8 | static_cast<unsigned char>(bytes[i]);
    return value;
}

tl::unexpected<files::Trouble> trouble(std::string words, std::string remedy) {
    return tl::unexpected(files::Trouble{std::move(words), std::move(remedy)});
}

}  // namespace

cairo_surface_t* decode(const Logo& logo) {
    std::string_view rest = logo.png;
    return cairo_image_surface_create_from_png_stream(
        [](void* from, unsigned char* to, unsigned length) {
            auto& bytes = *static_cast<std::string_view*>(from);
            if (bytes.size() < length) return CAIRO_STATUS_READ_ERROR;
            std::memcpy(to, bytes.data(), length);
            bytes.remove_prefix(length);
            return CAIRO_STATUS_SUCCESS;
        },
        &rest);
}

files::Result<Logo> read_logo(std::string bytes, std::string_view name) {
    const std::string file{name};
    const std::string_view head = std::string_view(bytes).substr(0, std::min<std::size_t>(bytes.size(), 512));
    if (bytes.size() < 24 || head.substr(0, 8) != signature) {
        if (head.find("<svg") != std::string_view::npos || head.find("<?xml") != std::string_view::npos)
            return trouble("the logo " + file + " is an SVG file, and the sheet takes PNG only",
                           "Export the logo as PNG, 600 pixels wide or more, and name that file.");
        return trouble("the logo " + file + " is not a PNG picture",
                       "Save the logo as PNG and name that file.");
    }
    const unsigned width = number_at(bytes, 16);
    const unsigned height = number_at(bytes, 20);
    if (width == 0 || height == 0 || width > most_pixels || height > most_pixels)
        return trouble("the logo " + file + " measures " + std::to_string(width) + " by " +
                           std::to_string(height) + " pixels",
                       "Use a picture of at most 8192 pixels a side; 600 are plenty for print.");
    Logo logo{std::move(bytes), static_cast<int>(width), static_cast<int>(height)};
    const std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> image{decode(logo),
                                                                             cairo_surface_destroy};
    if (cairo_surface_status(image.get()) != CAIRO_STATUS_SUCCESS)
        return trouble("the logo " + file + " is damaged: its pixels cannot be read",
                       "Save the logo as PNG again and name that file.");
    return logo;
}

}  // namespace lw::print
