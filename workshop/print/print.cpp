// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/print/print.hpp"

#include <cairo-pdf.h>

#include <cmath>
#include <memory>
#include <string_view>

#include "engine/draw/font.hpp"
#include "workshop/print/bundled_fonts.hpp"

namespace lw::print {
namespace {

using Surface = std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)>;
using Context = std::unique_ptr<cairo_t, void (*)(cairo_t*)>;

cairo_status_t append(void* to, const unsigned char* bytes, unsigned length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes), length);
    return CAIRO_STATUS_SUCCESS;
}

tl::unexpected<files::Trouble> trouble(const char* what, cairo_status_t status) {
    return tl::unexpected(
        files::Trouble{std::string("cannot make the ") + what + ": " + cairo_status_to_string(status),
                       "Please report this with the lesson that shows it."});
}

// The address inside some words, as far as it runs; characters that could end Cairo's own quoting end it too.
std::string_view address_in(const draw::Command& c) {
    if (c.kind != draw::Command::Kind::words) return {};
    const std::string_view words = c.words;
    std::size_t start = words.find("https://");
    if (start == std::string_view::npos) start = words.find("http://");
    if (start == std::string_view::npos) return {};
    const std::size_t end = words.find_first_of(" \t'\"\\<>", start);
    return words.substr(start, end == std::string_view::npos ? end : end - start);
}

void link(cairo_t* on, const draw::Command& c, std::string_view address) {
    const draw::Box box = draw::ink_box(c.face, c.words, c.at, c.size, c.anchor);
    // Cairo reads these numbers by the C locale's rules only when they are whole; a link needs no finer
    // place.
    const auto whole = [](double v) { return std::to_string(std::lround(v)); };
    const std::string attributes = "uri='" + std::string(address) + "' rect=[" + whole(box.x) + " " +
                                   whole(box.y) + " " + whole(box.width) + " " + whole(box.height) + "]";
    // Cairo 1.16 writes a broken file when a link is a topmost tag, so it stands in a paragraph's.
    cairo_tag_begin(on, "P", nullptr);
    cairo_tag_begin(on, CAIRO_TAG_LINK, attributes.c_str());
    cairo_tag_end(on, CAIRO_TAG_LINK);
    cairo_tag_end(on, "P");
}

}  // namespace

files::Result<std::string> pdf(std::span<const draw::Picture> pages, const draw::Theme& theme,
                               const About& about, const Logo* logo) {
    std::string bytes;
    const Surface surface{cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1), cairo_surface_destroy};
    cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_5);
    const std::string day = (about.date.empty() ? "1980-01-01" : about.date) + "T00:00:00Z";
    const auto say = [&](cairo_pdf_metadata_t what, const std::string& words) {
        if (!words.empty()) cairo_pdf_surface_set_metadata(surface.get(), what, words.c_str());
    };
    say(CAIRO_PDF_METADATA_TITLE, about.title);
    say(CAIRO_PDF_METADATA_AUTHOR, about.author);
    say(CAIRO_PDF_METADATA_CREATOR, "Lickwright");
    say(CAIRO_PDF_METADATA_CREATE_DATE, day);
    say(CAIRO_PDF_METADATA_MOD_DATE, day);

    const BundledFonts fonts;
    const Context on{cairo_create(surface.get()), cairo_destroy};
    for (const draw::Picture& page : pages) {
        cairo_pdf_surface_set_size(surface.get(), page.width, page.height);
        paint(on.get(), page, theme, {logo, &fonts});
        for (const draw::Command& c : page.commands) {
            const std::string_view address = address_in(c);
            if (!address.empty()) link(on.get(), c, address);
        }
        cairo_show_page(on.get());
    }
    const cairo_status_t painted = cairo_status(on.get());
    cairo_surface_finish(surface.get());
    if (painted != CAIRO_STATUS_SUCCESS) return trouble("PDF", painted);
    if (const cairo_status_t done = cairo_surface_status(surface.get()); done != CAIRO_STATUS_SUCCESS)
        return trouble("PDF", done);
    return bytes;
}

files::Result<std::string> png(const draw::Picture& picture, const draw::Theme& theme,
                               const PngChoices& choices) {
    constexpr double most = 16384;  // four times the width of 4K; Cairo's own limit is 32767
    const double width = std::ceil(picture.width * choices.scale - 1e-6);
    const double height = std::ceil(picture.height * choices.scale - 1e-6);
    if (!(width >= 1 && height >= 1 && width <= most && height <= most))
        return tl::unexpected(files::Trouble{"a PNG of " + std::to_string(std::lround(width)) + " by " +
                                                 std::to_string(std::lround(height)) + " pixels is too large",
                                             "Choose a smaller scale; at most 16384 pixels a side."});
    const Surface surface{
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, static_cast<int>(width), static_cast<int>(height)),
        cairo_surface_destroy};
    const Context on{cairo_create(surface.get()), cairo_destroy};
    if (!choices.transparent) {
        const draw::Colour paper = theme[draw::Ink::paper];
        cairo_set_source_rgb(on.get(), paper.red / 255.0, paper.green / 255.0, paper.blue / 255.0);
        cairo_paint(on.get());
    }
    cairo_scale(on.get(), choices.scale, choices.scale);
    paint(on.get(), picture, theme, {choices.logo, nullptr});
    if (const cairo_status_t status = cairo_status(on.get()); status != CAIRO_STATUS_SUCCESS)
        return trouble("PNG", status);
    std::string bytes;
    if (const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), append, &bytes);
        status != CAIRO_STATUS_SUCCESS)
        return trouble("PNG", status);
    return bytes;
}

}  // namespace lw::print
