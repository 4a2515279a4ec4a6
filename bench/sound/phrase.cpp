// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/sound/contenders.hpp"
#include "tests/sound/licks.hpp"

namespace lw::bench {

lick::Lick phrase() {
    using harp::Breath;
    using lick::Gesture;
    using lick::Start;
    using test::bar;
    using test::note;
    using test::rest;
    using test::tab;
    using test::with;
    const Breath d = Breath::draw;
    const Breath b = Breath::blow;
    const auto several = [](std::vector<int> holes, Breath breath) {
        lick::Tab t;
        t.holes = std::move(holes);
        t.breath = breath;
        return t;
    };
    std::vector<lick::Bar> four;
    four.push_back(bar({rest(0, 1), note(1, {1, 3}, tab(2, d)), note({4, 3}, {1, 3}, tab(3, d, 1)),
                        note({5, 3}, {1, 3}, tab(4, b)), note(2, 1, tab(4, d, 1)),
                        note(3, 1, tab(4, d), Start::joined)}));
    four.push_back(
        bar({note(0, {1, 2}, tab(4, d)), note({1, 2}, {1, 2}, tab(3, d)),
             note(1, 1, tab(3, d, 1), Start::joined), with(note(2, 2, tab(2, d)), Gesture::vibrato)}));
    four.push_back(bar({note(0, 1, several({2, 3}, d)), note(1, 1, several({3, 4}, d)), note(2, 1, tab(4, b)),
                        note(3, 1, tab(5, b))}));
    four.push_back(bar({note(0, 1, tab(6, b)), note(1, 1, tab(5, d)), note(2, 2, several({1, 4}, d))}));
    std::vector<lick::Bar> eight = four;
    eight.insert(eight.end(), four.begin(), four.end());
    return test::lick_of(std::move(eight), "C", 92.0);
}

}  // namespace lw::bench
