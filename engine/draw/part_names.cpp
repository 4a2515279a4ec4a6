// SPDX-License-Identifier: Apache-2.0
//
// What a part of the picture is called in the class attributes of an SVG.
#include "engine/draw/svg.hpp"

namespace lw::draw {

std::string_view name(Part part) noexcept {
    switch (part) {
        case Part::ground:
            return "ground";
        case Part::band:
            return "band";
        case Part::grid:
            return "grid";
        case Part::bar_line:
            return "bar-line";
        case Part::breath_line:
            return "breath-line";
        case Part::stem:
            return "stem";
        case Part::tail:
            return "tail";
        case Part::number:
            return "number";
        case Part::number_shape:
            return "number-shape";
        case Part::bend_mark:
            return "bend-mark";
        case Part::ornament:
            return "ornament";
        case Part::joint:
            return "joint";
        case Part::count:
            return "count";
        case Part::chord:
            return "chord";
        case Part::ending:
            return "ending";
        case Part::repeat:
            return "repeat";
        case Part::plain_spelling:
            return "plain-spelling";
        case Part::staff:
            return "staff";
        case Part::staff_note:
            return "staff-note";
        case Part::title:
            return "title";
        case Part::head:
            return "head";
        case Part::credit:
            return "credit";
        case Part::logo:
            return "logo";
        case Part::prose:
            return "prose";
        case Part::page_number:
            return "page-number";
        case Part::label:
            return "label";
        case Part::mark:
            return "mark";
    }
    return "";
}

}  // namespace lw::draw
