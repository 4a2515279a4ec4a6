// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/fillings.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

constexpr std::size_t most_notes = 8;

using F = Fraction;

void add(BeatFeel& feel, double common, std::vector<F> places) {
    Filling filling;
    filling.price = -std::log(common);
    const double turn = (feel.feel.ratio / (feel.feel.ratio + F{1})).value();
    // Only a beat cut in two swings, and what lies inside its halves moves with them.
    const bool halves = !feel.compound && std::all_of(places.begin(), places.end(), [](F p) {
        return p == F{0} || p == F{1, 2};
    });
    for (const F p : places) filling.places.push_back({p, halves && p == F{1, 2} ? turn : p.value()});
    feel.fillings[places.size()].push_back(std::move(filling));
}

/// Sixteenths: rare in swing, usual in slow straight phrases. `share` is divided among them.
void add_sixteenths(BeatFeel& feel, double share) {
    const F e{1, 4}, n{1, 2}, a{3, 4};
    add(feel, share * 0.22, {F{0}, n, a});
    add(feel, share * 0.24, {F{0}, a});
    add(feel, share * 0.22, {F{0}, e, n, a});
    add(feel, share * 0.12, {F{0}, e, n});
    add(feel, share * 0.05, {n, a});
    add(feel, share * 0.05, {e, n, a});
    add(feel, share * 0.03, {F{0}, e});
    add(feel, share * 0.03, {a});
    add(feel, share * 0.02, {e, n});
    add(feel, share * 0.01, {F{0}, e, a});
    add(feel, share * 0.005, {e});
    add(feel, share * 0.005, {e, a});
}

/// Finer than anything above: for runs and flourishes, dear.
void add_fine(BeatFeel& feel) {
    std::vector<F> sixths, eighths;
    for (int k = 0; k < 6; ++k) sixths.emplace_back(k, 6);
    for (int k = 0; k < 8; ++k) eighths.emplace_back(k, 8);
    add(feel, 0.002, sixths);
    add(feel, 0.0005, {F{0}, F{1, 3}, F{1, 2}, F{2, 3}});
    add(feel, 0.001, {F{0}, F{1, 6}, F{1, 3}, F{2, 3}});
    add(feel, 0.001, {F{0}, F{1, 3}, F{2, 3}, F{5, 6}});
    add(feel, 0.0005, {F{0}, F{1, 2}, F{2, 3}, F{5, 6}});
    add(feel, 0.0005, {F{0}, F{1, 6}, F{1, 3}, F{1, 2}});
    add(feel, 0.001, {F{0}, F{1, 4}, F{1, 2}, F{5, 8}, F{3, 4}});
    add(feel, 0.001, {F{0}, F{1, 8}, F{1, 4}, F{1, 2}, F{3, 4}});
    add(feel, 0.001, {F{0}, F{1, 2}, F{5, 8}, F{3, 4}});
    add(feel, 0.001, {F{0}, F{1, 8}, F{1, 4}, F{1, 2}});
    add(feel, 0.001, {F{0}, F{1, 8}, F{1, 2}});
    add(feel, 0.001, {F{0}, F{1, 4}, F{1, 2}, F{3, 4}, F{7, 8}});
    add(feel, 0.0003, eighths);
}

BeatFeel empty_feel(lick::Feel feel, bool compound, double common) {
    BeatFeel f;
    f.feel = feel;
    f.compound = compound;
    f.price = -std::log(common);
    f.fillings.resize(most_notes + 1);
    return f;
}

void cheap_first(BeatFeel& feel) {
    for (auto& all : feel.fillings)
        std::stable_sort(all.begin(), all.end(),
                         [](const Filling& a, const Filling& b) { return a.price < b.price; });
}

}  // namespace

BeatFeel straight_feel() {
    BeatFeel f = empty_feel({}, false, 0.38);
    add(f, 0.13, {});
    add(f, 0.27, {F{0}});
    add(f, 0.33, {F{0}, F{1, 2}});
    add(f, 0.07, {F{1, 2}});
    add_sixteenths(f, 0.17);
    add(f, 0.04, {F{0}, F{1, 3}, F{2, 3}});
    add(f, 0.004, {F{0}, F{1, 3}});
    add(f, 0.004, {F{1, 3}, F{2, 3}});
    add(f, 0.002, {F{0}, F{2, 3}});
    add_fine(f);
    cheap_first(f);
    return f;
}

// Swing at 2:1 and 12/8 sound alike. What tells them is how the beats with more than one note are cut: in swing the long
// and the short are the rule and the triplet is the exception, in 12/8 both are as common. So everything else costs the
// same in both, or the choice would hang on silent beats and long notes, which say nothing.
BeatFeel swung_feel(lick::Feel feel) {
    BeatFeel f = empty_feel(feel, false, feel.ratio == Fraction{2} ? 0.36 : 0.10);
    add(f, 0.13, {});
    add(f, 0.24, {F{0}});
    add(f, 0.36, {F{0}, F{1, 2}});
    add(f, 0.08, {F{1, 2}});
    add(f, 0.13, {F{0}, F{1, 3}, F{2, 3}});
    add(f, 0.008, {F{0}, F{1, 3}});
    add(f, 0.006, {F{1, 3}, F{2, 3}});
    add(f, 0.003, {F{1, 3}});
    add_sixteenths(f, 0.012);
    add_fine(f);
    cheap_first(f);
    return f;
}

BeatFeel compound_feel() {
    BeatFeel f = empty_feel({}, true, 0.22);
    add(f, 0.13, {});
    add(f, 0.24, {F{0}});
    add(f, 0.245, {F{0}, F{1, 3}, F{2, 3}});
    add(f, 0.245, {F{0}, F{2, 3}});
    add(f, 0.08, {F{2, 3}});
    add(f, 0.012, {F{0}, F{1, 3}});
    add(f, 0.008, {F{1, 3}, F{2, 3}});
    add(f, 0.003, {F{1, 3}});
    add(f, 0.008, {F{0}, F{1, 2}});
    add_fine(f);
    cheap_first(f);
    return f;
}

std::vector<BeatFeel> known_feels() {
    return {straight_feel(), swung_feel({Fraction{2}}), swung_feel({Fraction{3, 2}}), compound_feel()};
}

}  // namespace lw::coach
