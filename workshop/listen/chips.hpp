// SPDX-License-Identifier: GPL-3.0-or-later
//
// Small words that are set into a finished picture without covering what is there: each tries some places around the
// spot that it speaks of and takes the one that meets least ink. Private to the room.
#pragma once

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "workshop/listen/ink.hpp"

namespace lw::listen {

class Chips {
  public:
    /// `picture` outlives this; chips are drawn on top of what it holds by then.
    explicit Chips(draw::Picture& picture) : picture_(picture) {
        for (const draw::Command& c : picture.commands) {
            const bool ground =
                c.part == draw::Part::band || c.part == draw::Part::grid || c.part == draw::Part::ground;
            if (!ground && !draw::empty(c.box)) taken_.push_back({c.box, weight_of(c)});
        }
    }

    /// Beside the box of a note: over it, under it, further out, or to its sides.
    void add(const std::string& words, const draw::Box& note) {
        const draw::Command text = says(words, {}, size, draw::Ink::take);
        const double width = text.box.width + 2.0 * pad, height = size + 2.0 * pad - 1.0;
        const double middle = note.x + 0.5 * note.width;
        draw::Box best;
        double cheapest = 1e9;
        for (const double side : {0.0, -0.55, 0.55, -1.0, 1.0})
            for (const double out : {3.0, 8.0, 14.0, 21.0, 29.0})
                for (const bool over : {true, false}) {
                    draw::Box b{middle - 0.5 * width + side * width,
                                over ? note.y - out - height : note.bottom() + out, width, height};
                    b.x = std::clamp(b.x, 1.0, std::max(1.0, picture_.width - width - 1.0));
                    const double price = price_of(b) + 0.05 * out + 0.6 * std::abs(side) + (over ? 0.0 : 0.1);
                    if (price < cheapest) {
                        cheapest = price;
                        best = b;
                    }
                }
        taken_.push_back({best, 1.0});
        draw::Command ground = area(corners(best, 0.0), draw::Ink::paper);
        ground.part = draw::Part::mark;
        picture_.commands.push_back(std::move(ground));
        picture_.commands.push_back(
            says(words, {best.x + pad, best.bottom() - pad - 0.8}, size, draw::Ink::take));
        picture_.commands.back().face = draw::Face::bold;
    }

    static constexpr double size = 7.2, pad = 1.4, apart = 3.0;  // points

  private:
    struct Taken {
        draw::Box box;
        double weight = 1.0;
    };
    /// What must be read weighs most; a line that goes on left and right can be met.
    static double weight_of(const draw::Command& c) {
        switch (c.part) {
            case draw::Part::tail:
            case draw::Part::stem:
            case draw::Part::bar_line:
            case draw::Part::breath_line:
                return 0.12;
            default:
                return 1.0;
        }
    }
    [[nodiscard]] double price_of(const draw::Box& b) const {
        double price = b.y < 1.0 || b.bottom() > picture_.height - 1.0 ? 100.0 : 0.0;
        for (const Taken& t : taken_) {
            const double x = std::min(b.right(), t.box.right()) - std::max(b.x, t.box.x);
            const double y = std::min(b.bottom(), t.box.bottom()) - std::max(b.y, t.box.y);
            // Words beside words read as one: they want more than a hair between them.
            if (x > -apart && x <= -1.0 && y > -0.5) price += 0.8 * t.weight;
            if (x > -1.0 && y > -0.5) price += t.weight * (2.0 + std::max(0.0, x) * std::max(0.0, y) / 10.0);
        }
        return price;
    }

    draw::Picture& picture_;
    std::vector<Taken> taken_;
};

}  // namespace lw::listen
