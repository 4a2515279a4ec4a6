// SPDX-License-Identifier: Apache-2.0
//
// Surely this lick? Asked when the key of the harp was found by trying all of them: one of them carries half of nearly
// any phrase, at some tempo. What nearly any phrase does not have is this one's rhythm.
#include <algorithm>
#include <cmath>
#include <vector>

#include "engine/coach/compare.hpp"

namespace lw::coach {
namespace {

constexpr double half = 0.5;  // of likeness; less is another lick anyhow
/// When the key of the harp is found by trying: see surely_same. Seven kinds of uneven learners (learners_test.cpp) stay
/// inside of these in 98 of 100 takes; who plays half of a lick, or a quarter of it wrong, is alike by 0.5 to 0.75 and
/// keeps its rhythm all the same, which other phrases do not. Where nothing but equal steps is written that says nothing.
constexpr double surely_from = 0.75;
constexpr double surely_drift = 1.7;       // tempo at the end against the start, or the other way round
constexpr double surely_scattered = 0.04;  // of a beat, root mean square, where half of it fits ...
constexpr double scattered_more = 0.64;    // ... and so much more where all of it does
constexpr double most_scattered = 0.2;
constexpr double other_step = 0.25, steps_of_a_rhythm = 0.05;  // part of the usual step; share of all steps

/// Are the notes that came written in more than one step from note to note?
bool has_a_rhythm(const Comparison& c) {
    std::vector<double> steps;
    const NoteGrade* before = nullptr;
    for (const NoteGrade& g : c.notes) {
        if (g.came == Came::missing) continue;
        if (before != nullptr && before->note + 1 == g.note && before->go == g.go)
            steps.push_back((g.due - before->due).value);
        before = &g;
    }
    if (steps.empty()) return false;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    const double usual = *middle;
    const auto others = std::count_if(
        steps.begin(), steps.end(), [&](double step) { return std::abs(step - usual) > other_step * usual; });
    return static_cast<double>(others) > steps_of_a_rhythm * static_cast<double>(steps.size());
}

}  // namespace

bool surely_same(const Comparison& c) {
    const bool steady = c.drift < surely_drift && c.drift * surely_drift > 1.0;
    const double scattered =
        std::min(most_scattered, surely_scattered + scattered_more * (c.likeness - half));
    return c.same_lick && steady && c.evenness.value * c.tempo.value < scattered * 60.0 &&
           (c.likeness >= surely_from || has_a_rhythm(c));
}

}  // namespace lw::coach
