// SPDX-License-Identifier: GPL-3.0-or-later
//
// Small licks put together without the reader, for tests of one thing.
#pragma once

#include <utility>

#include "engine/lick/lick.hpp"

namespace lw::by_hand {

using lick::Breath;

inline lick::Tab tab(std::vector<int> holes, Breath breath, int quarter_steps = 0, int bent_hole = 0) {
    lick::Tab t;
    t.holes = std::move(holes);
    t.breath = breath;
    t.bend_quarter_steps = quarter_steps;
    t.bent_hole = quarter_steps == 0 ? 0 : bent_hole != 0 ? bent_hole : t.holes.front();
    return t;
}

inline lick::Event note(Beats at, Beats length, lick::Tab t, lick::Start start = lick::Start::attack) {
    lick::Event e;
    e.kind = lick::Event::Kind::note;
    e.at = at;
    e.length = length;
    e.tab = std::move(t);
    e.start = start;
    return e;
}

inline lick::Event rest(Beats at, Beats length) {
    lick::Event e;
    e.at = at;
    e.length = length;
    return e;
}

/// A bar in 4/4 of events one after another, each one beat long.
inline lick::Bar bar_of(const std::vector<lick::Tab>& tabs) {
    lick::Bar bar;
    bar.length = Beats{4};
    for (std::size_t i = 0; i < 4; ++i) {
        const Beats at{Fraction{static_cast<std::int64_t>(i)}};
        bar.events.push_back(i < tabs.size() ? note(at, Beats{1}, tabs[i]) : rest(at, Beats{1}));
    }
    return bar;
}

}  // namespace lw::by_hand
