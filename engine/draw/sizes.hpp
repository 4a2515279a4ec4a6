// SPDX-License-Identifier: Apache-2.0
//
// How large everything on a breath line is, in points at scale 1. Private to the room.
#pragma once

#include <algorithm>

namespace lw::draw {

/// Nothing is set smaller than this: the usual lower bound for printed matter (common practice, no source).
inline constexpr double smallest_print = 7.0;

struct Sizes {
    double scale = 1.0;

    [[nodiscard]] constexpr double of(double at_one) const noexcept { return at_one * scale; }
    [[nodiscard]] constexpr double print(double at_one) const noexcept {
        return std::max(smallest_print, at_one * scale);
    }

    // The note. A number of 12 pt is read at arm's length from a stand; its shape leaves 2.5 pt around it.
    [[nodiscard]] constexpr double number() const noexcept { return print(12.0); }
    [[nodiscard]] constexpr double radius() const noexcept { return of(8.6); }
    [[nodiscard]] constexpr double joined() const noexcept {
        return 0.82;
    }  // a note without attack is smaller
    [[nodiscard]] constexpr double tail() const noexcept { return of(2.7); }
    [[nodiscard]] constexpr double hairline() const noexcept { return of(0.9); }
    [[nodiscard]] constexpr double outline() const noexcept { return of(1.5); }
    /// One half step of a bend. More than a radius and a ring, so that the ring is seen above the first one.
    [[nodiscard]] constexpr double step() const noexcept { return of(12.0); }
    [[nodiscard]] constexpr double ring() const noexcept { return of(1.8); }
    /// From the breath line to the middle of an unbent number (drawn; blown when nothing bends).
    [[nodiscard]] constexpr double rest() const noexcept { return of(19.0); }

    // Room along the line.
    [[nodiscard]] constexpr double gap() const noexcept { return of(2.6); }  // between two columns
    [[nodiscard]] constexpr double least_tail() const noexcept {
        return of(4.6);
    }                                                                            // seen beside a short note
    [[nodiscard]] constexpr double travel() const noexcept { return of(11.0); }  // a joined pitch on its way
    [[nodiscard]] constexpr double pad() const noexcept { return of(12.5); }   // bar line to its first number
    [[nodiscard]] constexpr double beat() const noexcept { return of(38.0); }  // a beat we like to give

    /// Between two lines of the staff: a staff of 18.4 pt (6.5 mm), as song books have it (common practice, no
    /// source). Smaller, and the arrow on an accidental is lost at arm's length.
    [[nodiscard]] constexpr double staff_space() const noexcept { return of(4.6); }

    // Words.
    [[nodiscard]] constexpr double count() const noexcept { return print(8.2); }
    [[nodiscard]] constexpr double small_words() const noexcept { return print(7.2); }
    [[nodiscard]] constexpr double chord() const noexcept { return print(11.0); }
    [[nodiscard]] constexpr double badge() const noexcept { return print(8.6); }
};

}  // namespace lw::draw
