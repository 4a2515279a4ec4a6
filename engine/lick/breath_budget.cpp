// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/breath_budget.hpp"

#include <algorithm>
#include <cmath>

namespace lw::lick {
namespace {

// All of this is common practice, no source: figures a teacher would defend at the blackboard, not
// measurements of lungs. They only decide when a warning is shown.

/// One hole, played at a speaking volume, takes eight seconds from the middle of the breath to its end. A
/// smaller number warns beginners' phrases that everybody plays; a larger one never warns at all.
constexpr double per_second = 1.0 / 8.0;

/// Every further hole that sounds takes 0.6 of a hole more: the reeds share the pressure, so two holes do not
/// take twice the air.
constexpr double per_further_hole = 0.6;

/// A rest brings the lungs back to the middle at four half-breaths a second: a quarter of a second, a snatched
/// breath, is enough from either end; a tiny gap is not.
constexpr double rest_per_second = 4.0;

double use(const PlayedNote& note) {
    const double holes = 1.0 + per_further_hole * static_cast<double>(note.tab.holes.size() - 1);
    return per_second * holes * (note.tab.breath == Breath::blow ? -1.0 : 1.0);
}

double towards_middle(double volume, double amount) {
    return volume > 0.0 ? std::max(0.0, volume - amount) : std::min(0.0, volume + amount);
}

}  // namespace

std::vector<double> lung_volume(const Lick& lick, const Unfolded& played) {
    const double seconds_per_beat = 60.0 / lick.head.tempo.value;
    std::vector<double> volumes;
    volumes.reserve(played.notes.size());
    double volume = 0.0;
    Beats end = played.start;
    std::size_t breath = 0;
    for (const PlayedNote& note : played.notes) {
        while (breath < played.breaths.size() && played.breaths[breath] <= note.start) {
            volume = 0.0;
            ++breath;
        }
        const double silence = (note.start - end).value.value() * seconds_per_beat;
        volume = towards_middle(volume, silence * rest_per_second);
        volume += use(note) * note.length.value.value() * seconds_per_beat;
        volumes.push_back(volume);
        // Who runs out breathes somewhere, marked or not: count on from the end of the range.
        volume = std::clamp(volume, -1.0, 1.0);
        end = note.start + note.length;
    }
    return volumes;
}

std::vector<OutOfBreath> out_of_breath(const Lick& lick, const Unfolded& played) {
    const std::vector<double> volumes = lung_volume(lick, played);
    std::vector<OutOfBreath> out;
    bool out_already = false;
    for (std::size_t i = 0; i < volumes.size(); ++i) {
        const bool now = std::abs(volumes[i]) > 1.0;
        if (now && !out_already) out.push_back({i, volumes[i] < 0.0 ? Breath::blow : Breath::draw});
        out_already = now;
    }
    return out;
}

}  // namespace lw::lick
