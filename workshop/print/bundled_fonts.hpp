// SPDX-License-Identifier: GPL-3.0-or-later
//
// The text font itself, built into the program, for words that stay words in a PDF. No font of the system is
// ever used, so none can be missing or look different.
#pragma once

#include <cairo.h>

#include <memory>
#include <string_view>

#include "engine/draw/picture.hpp"

namespace lw::print {

/// The bytes of a face's font file.
[[nodiscard]] std::string_view font_file(draw::Face face) noexcept;

/// Both faces, ready for Cairo. Not for use by two threads at once; make one for each.
class BundledFonts {
  public:
    BundledFonts();
    ~BundledFonts();
    BundledFonts(const BundledFonts&) = delete;
    BundledFonts& operator=(const BundledFonts&) = delete;

    /// Shows UTF-8 words in the context's colour, every character at the place that engine/draw/font.hpp
    /// measures, and tells Cairo which bytes it stands for, so that a search in the PDF finds them.
    void show(cairo_t* on, draw::Face face, std::string_view utf8, draw::Point at, double size,
              draw::Anchor anchor) const;

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace lw::print
