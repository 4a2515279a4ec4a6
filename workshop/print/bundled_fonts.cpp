// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/print/bundled_fonts.hpp"

#include <cairo-ft.h>
#include <ft2build.h>

#include <array>
#include <string>
#include <vector>
#include FT_FREETYPE_H

#include "engine/draw/font.hpp"

// The files go into the program as they are. The build names them (workshop/print/CMakeLists.txt); `.incbin`
// costs no compile time, where a quarter of a million numbers in an array would.
#define LICKWRIGHT_BYTES(name, file)                                                         \
    __asm__(".pushsection .rodata\n.balign 16\n" name "_start:\n.incbin \"" file "\"\n" name \
            "_end:\n.byte 0\n"                                                               \
            ".popsection\n")
LICKWRIGHT_BYTES("lickwright_regular", LICKWRIGHT_FONT_REGULAR);
LICKWRIGHT_BYTES("lickwright_bold", LICKWRIGHT_FONT_BOLD);
extern "C" {
extern const char lickwright_regular_start[], lickwright_regular_end[];
extern const char lickwright_bold_start[], lickwright_bold_end[];
}

namespace lw::print {

std::string_view font_file(draw::Face face) noexcept {
    const char* start = face == draw::Face::bold ? lickwright_bold_start : lickwright_regular_start;
    const char* end = face == draw::Face::bold ? lickwright_bold_end : lickwright_regular_end;
    return {start, static_cast<std::size_t>(end - start)};
}

struct BundledFonts::Inside {
    FT_Library library = nullptr;
    std::array<FT_Face, 2> faces{};
    std::array<cairo_font_face_t*, 2> for_cairo{};
};

namespace {

// Cairo may keep a font after the last PDF that used it is done (it caches), so the FreeType library and its
// faces live until Cairo lets go of both.
struct KeepAlive {
    std::shared_ptr<void> what;
};
const cairo_user_data_key_t keep_alive_key{};

}  // namespace

BundledFonts::BundledFonts() : inside_(std::make_unique<Inside>()) {
    FT_Init_FreeType(&inside_->library);
    const std::shared_ptr<void> library{inside_->library,
                                        [](void* l) { FT_Done_FreeType(static_cast<FT_Library>(l)); }};
    for (const draw::Face face : {draw::Face::regular, draw::Face::bold}) {
        const auto i = static_cast<std::size_t>(face);
        const std::string_view file = font_file(face);
        FT_New_Memory_Face(inside_->library, reinterpret_cast<const FT_Byte*>(file.data()),
                           static_cast<FT_Long>(file.size()), 0, &inside_->faces[i]);
        inside_->for_cairo[i] = cairo_ft_font_face_create_for_ft_face(
            inside_->faces[i], FT_LOAD_NO_HINTING | FT_LOAD_NO_AUTOHINT);
        cairo_font_face_set_user_data(inside_->for_cairo[i], &keep_alive_key, new KeepAlive{library},
                                      [](void* k) { delete static_cast<KeepAlive*>(k); });
    }
}

BundledFonts::~BundledFonts() {
    for (cairo_font_face_t* face : inside_->for_cairo) cairo_font_face_destroy(face);
}

void BundledFonts::show(cairo_t* on, draw::Face face, std::string_view utf8, draw::Point at, double size,
                        draw::Anchor anchor) const {
    const auto i = static_cast<std::size_t>(face);
    std::vector<cairo_glyph_t> glyphs;
    std::vector<cairo_text_cluster_t> clusters;
    std::string shown;  // what a search finds: well-formed UTF-8, even where the input was not
    double x = draw::start_of(face, utf8, at.x, size, anchor);
    for (std::string_view rest = utf8; !rest.empty();) {
        const std::string_view before = rest;
        const char32_t character = draw::next_character(rest);
        const std::size_t length = before.size() - rest.size();
        const std::string_view bytes = character == 0xFFFD ? "\xEF\xBF\xBD" : before.substr(0, length);
        const FT_UInt index =
            draw::has(face, character) ? FT_Get_Char_Index(inside_->faces[i], character) : 0;
        glyphs.push_back({index, x, at.y});
        clusters.push_back({static_cast<int>(bytes.size()), 1});
        shown += bytes;
        x += draw::advance(face, character, size);
    }
    cairo_save(on);
    cairo_set_font_face(on, inside_->for_cairo[i]);
    cairo_set_font_size(on, size);
    cairo_show_text_glyphs(on, shown.data(), static_cast<int>(shown.size()), glyphs.data(),
                           static_cast<int>(glyphs.size()), clusters.data(),
                           static_cast<int>(clusters.size()), static_cast<cairo_text_cluster_flags_t>(0));
    cairo_restore(on);
}

}  // namespace lw::print
