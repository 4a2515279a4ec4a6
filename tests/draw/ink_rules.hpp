// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which ink may touch which, and why. Everything not listed must keep apart.
#pragma once

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::test {

using draw::Box;
using draw::Command;
using draw::Part;
using draw::Picture;

enum class Whose { any, same, neighbours };

struct MayTouch {
    Part a, b;
    Whose whose;  // same owner; owners that follow each other; or any
    std::string_view reason;
};

inline constexpr std::array may_touch = {
    MayTouch{Part::breath_line, Part::stem, Whose::any, "a stem is tied to the line it rises from"},
    MayTouch{Part::breath_line, Part::bar_line, Whose::any, "bar lines cross the breath line"},
    MayTouch{Part::bar_line, Part::tail, Whose::any, "a note held over the bar crosses its line"},
    MayTouch{Part::number_shape, Part::number, Whose::same, "a number stands in its shape"},
    MayTouch{Part::number_shape, Part::ornament, Whose::same,
             "dots of holes under the tongue lie in the shape"},
    MayTouch{Part::number_shape, Part::stem, Whose::same, "a stem is tied to its shape"},
    MayTouch{Part::stem, Part::stem, Whose::same, "threads hang from the yoke of their own chord"},
    MayTouch{Part::stem, Part::bend_mark, Whose::same, "the thread runs through the ring of the unbent note"},
    MayTouch{Part::number_shape, Part::tail, Whose::same, "a tail begins at its number"},
    MayTouch{Part::number_shape, Part::joint, Whose::same, "a joint ends at its number"},
    MayTouch{Part::joint, Part::ornament, Whose::same,
             "a joint ends at the parenthesis or scoop of its number"},
    MayTouch{Part::tail, Part::tail, Whose::same, "pieces of one tail"},
    MayTouch{Part::tail, Part::tail, Whose::neighbours, "a held note's tail goes on from the piece before"},
    MayTouch{Part::tail, Part::joint, Whose::neighbours,
             "a tail runs into the joint of the note it leads to"},
    MayTouch{Part::tail, Part::ornament, Whose::neighbours, "a tail runs to a scoop of the joined note"},
    MayTouch{Part::ornament, Part::ornament, Whose::same, "an approach's number, shape and way"},
    MayTouch{Part::mark, Part::mark, Whose::any, "heads, stems and flags of the tempo and swing marks"},
    MayTouch{Part::ending, Part::ending, Whose::any,
             "a bracket goes on over the next bar; its number is inside"},
    MayTouch{Part::staff, Part::staff, Whose::any, "clef, lines and bar lines of a staff"},
    MayTouch{Part::staff, Part::staff_note, Whose::any, "notes lie on the staff"},
    MayTouch{Part::staff_note, Part::staff_note, Whose::any, "heads, stems, beams"},
};

inline bool allowed(const Command& a, const Command& b) {
    if (a.part == Part::band || b.part == Part::band || a.part == Part::ground || b.part == Part::ground)
        return true;  // they lie behind everything
    return std::any_of(may_touch.begin(), may_touch.end(), [&](const MayTouch& m) {
        const bool parts = (m.a == a.part && m.b == b.part) || (m.a == b.part && m.b == a.part);
        if (!parts) return false;
        if (m.whose == Whose::any) return true;
        if (m.whose == Whose::same) return a.owner == b.owner && a.owner >= 0;
        return a.owner >= 0 && b.owner >= 0 && std::abs(a.owner - b.owner) == 1;
    });
}

/// Less than this is no overlap: a twentieth of a point, far below what a printer resolves.
inline constexpr double slack = 0.05;

inline bool overlap(const Box& a, const Box& b) {
    return a.x < b.right() - slack && b.x < a.right() - slack && a.y < b.bottom() - slack &&
           b.y < a.bottom() - slack;
}

inline std::string describe(const Command& c) {
    const Box& b = c.box;
    return "part " + std::to_string(static_cast<int>(c.part)) + " owner " + std::to_string(c.owner) +
           (c.words.empty() ? "" : " '" + c.words + "'") + " [" + std::to_string(b.x) + " " +
           std::to_string(b.y) + " " + std::to_string(b.right()) + " " + std::to_string(b.bottom()) + "]";
}

/// The first few pairs that touch and may not.
inline std::vector<std::string> clashes(const Picture& picture) {
    std::vector<const Command*> sorted;
    for (const Command& c : picture.commands)
        if (!draw::empty(c.box) && c.part != Part::band) sorted.push_back(&c);
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const Command* a, const Command* b) { return a->box.y < b->box.y; });
    std::vector<std::string> found;
    for (std::size_t i = 0; i < sorted.size(); ++i) {
        for (std::size_t j = i + 1; j < sorted.size() && sorted[j]->box.y < sorted[i]->box.bottom(); ++j) {
            if (!overlap(sorted[i]->box, sorted[j]->box) || allowed(*sorted[i], *sorted[j])) continue;
            found.push_back(describe(*sorted[i]) + "  with  " + describe(*sorted[j]));
            if (found.size() == 3) return found;
        }
    }
    return found;
}

}  // namespace lw::test
