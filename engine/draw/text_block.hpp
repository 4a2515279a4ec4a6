// SPDX-License-Identifier: Apache-2.0
//
// Words in lines of a given width. Private to the room.
#pragma once

#include <string_view>

#include "engine/draw/pen.hpp"

namespace lw::draw {

struct TextStyle {
    Part part = Part::head;
    double size = 10.0;
    Face face = Face::regular;
    Ink ink = Ink::ink;
    bool keys = false;  // `Bb` and `F#` standing alone get a real flat and sharp
    double leading = 1.32;
};

/// Sets words from the top left corner (x, y) and returns the height taken: whole lines. A word wider than a
/// line is cut between characters. Empty text takes no height.
double set_text(std::vector<Command>& to, std::string_view text, double x, double y, double width,
                const TextStyle& style);
/// How many lines that would be.
[[nodiscard]] int lines_of(std::string_view text, double width, const TextStyle& style);

}  // namespace lw::draw
