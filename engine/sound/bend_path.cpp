// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/bend_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/sound/habits.hpp"

namespace lw::sound {
namespace {

/// 0 at `begin`, 1 at `end`, level at both: pitch moved by a tongue starts and stops softly.
double ease(Seconds begin, Seconds end, Seconds at) noexcept {
    if (at <= begin) return 0.0;
    if (at >= end) return 1.0;
    const double x = (at - begin) / (end - begin);
    return x * x * (3.0 - 2.0 * x);
}

Semitones over(const Overlay& overlay, Seconds at) noexcept {
    if (at < overlay.begin || at > overlay.end || overlay.end <= overlay.begin) return {};
    const double x = (at - overlay.begin) / (overlay.end - overlay.begin);
    switch (overlay.shape) {
        case Overlay::Shape::there_and_back:
            return overlay.depth * (0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * x));
        case Overlay::Shape::from_below:
            return overlay.depth * (1.0 - ease(overlay.begin, overlay.end, at));
        case Overlay::Shape::sink:
            return overlay.depth * (x * x);
        case Overlay::Shape::wave: {
            const double grown = ease(overlay.begin, overlay.begin + habits::vibrato_growth, at);
            const double turns = habits::vibrato_rate.value * (at - overlay.begin).value;
            return overlay.depth * (grown * (0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * turns)));
        }
    }
    return {};
}

Semitones depth_at(const PathPlan& plan, Seconds at) noexcept {
    Semitones depth = plan.rest;
    for (const Travel& travel : plan.travels) {
        if (at < travel.begin) break;
        depth = travel.from + (travel.to - travel.from) * ease(travel.begin, travel.end, at);
    }
    if (!plan.travels.empty() && at < plan.travels.front().begin) depth = plan.travels.front().from;
    for (const Overlay& overlay : plan.overlays) depth += over(overlay, at);
    return std::clamp(depth, plan.highest, plan.lowest);
}

}  // namespace

std::vector<BendPoint> bend_path(const PathPlan& plan) {
    std::vector<Seconds> times{plan.onset};
    const auto sample = [&](Seconds begin, Seconds end) {
        begin = std::clamp(begin, plan.onset, plan.offset);
        end = std::clamp(end, plan.onset, plan.offset);
        const int steps = std::max(1, static_cast<int>(std::ceil((end - begin) / habits::curve_step - 1e-9)));
        for (int i = 0; i <= steps; ++i) times.push_back(begin + (end - begin) * (double(i) / steps));
    };
    for (const Travel& travel : plan.travels) sample(travel.begin, travel.end);
    for (const Overlay& overlay : plan.overlays) sample(overlay.begin, overlay.end);
    std::sort(times.begin(), times.end());
    std::vector<BendPoint> path;
    for (Seconds at : times) {
        if (!path.empty() && at - path.back().at < Seconds{1e-6}) continue;
        path.push_back({at, depth_at(plan, at)});
    }
    return path;
}

Semitones bend_at(const SoundedNote& note, Seconds at) noexcept {
    if (note.bend.empty()) return {};
    if (at <= note.bend.front().at) return note.bend.front().depth;
    const auto after = std::upper_bound(note.bend.begin(), note.bend.end(), at,
                                        [](Seconds t, const BendPoint& point) { return t < point.at; });
    if (after == note.bend.end()) return note.bend.back().depth;
    const BendPoint& b = *after;
    const BendPoint& a = *std::prev(after);
    return a.depth + (b.depth - a.depth) * ((at - a.at) / (b.at - a.at));
}

}  // namespace lw::sound
