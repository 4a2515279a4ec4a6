// SPDX-License-Identifier: GPL-3.0-or-later
//
// Licks for the sound tests, built in code: one slot a note unless told otherwise.
#pragma once

#include <string_view>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::test {

inline lick::Tab tab(int hole, harp::Breath breath, int half_steps = 0) {
    lick::Tab t;
    t.holes = {hole};
    t.breath = breath;
    t.bent_hole = half_steps > 0 ? hole : 0;
    t.bend_quarter_steps = 2 * half_steps;
    return t;
}

inline lick::Event note(Fraction at, Fraction length, lick::Tab t, lick::Start start = lick::Start::attack) {
    lick::Event e;
    e.kind = lick::Event::Kind::note;
    e.at = Beats{at};
    e.length = Beats{length};
    e.tab = std::move(t);
    e.start = start;
    return e;
}

inline lick::Event rest(Fraction at, Fraction length) {
    lick::Event e;
    e.at = Beats{at};
    e.length = Beats{length};
    return e;
}

inline lick::Event with(lick::Event e, lick::Gesture gesture) {
    e.ornaments.push_back({gesture, 0, {}});
    return e;
}

inline lick::Bar bar(std::vector<lick::Event> events, Fraction length = 4) {
    lick::Bar b;
    b.length = Beats{length};
    b.events = std::move(events);
    return b;
}

inline lick::Lick lick_of(std::vector<lick::Bar> bars, std::string_view harp = "C", double tempo = 120.0) {
    lick::Lick l;
    l.head.harp = *harp::harp_named(harp);
    l.head.tempo = BeatsPerMinute{tempo};
    l.bars = std::move(bars);
    return l;
}

}  // namespace lw::test
