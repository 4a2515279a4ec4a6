// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/excerpt.hpp"

#include <algorithm>
#include <cmath>

#include "engine/sound/reed_voice.hpp"

namespace lw::sound {
namespace {

/// A reed is silent this long after its breath has stopped (habits.hpp gives the whole clip half a second).
constexpr Seconds dies_within{0.25};

}  // namespace

Seconds time_of(const Performance& performance, Beats beat) noexcept {
    const double wanted = beat.value.value();
    const double a_beat = 60.0 / performance.tempo.value;
    const BeatTime* before = nullptr;
    const BeatTime* after = nullptr;
    for (const BeatTime& b : performance.beats) {
        if (b.pass != 1) break;
        if (b.beat.value.value() <= wanted) before = &b;
        if (b.beat.value.value() >= wanted && after == nullptr) after = &b;
    }
    if (before == nullptr && after == nullptr) return Seconds{};
    if (before == nullptr) return after->at - Seconds{(after->beat.value.value() - wanted) * a_beat};
    if (after == nullptr) return before->at + Seconds{(wanted - before->beat.value.value()) * a_beat};
    const double span = after->beat.value.value() - before->beat.value.value();
    return span > 0.0 ? before->at + (after->at - before->at) * ((wanted - before->beat.value.value()) / span)
                      : before->at;
}

Performance excerpt(const Performance& performance, Seconds from, Seconds to) {
    Performance part;
    part.tempo = performance.tempo;
    part.length = std::max(to - from, Seconds{});
    // Times that came out of the same sums may differ in the last bit: a note on the edge belongs to what follows.
    constexpr Seconds edge{1e-6};
    const auto inside = [&](Seconds at) { return at > from - edge && at < to - edge; };
    for (const SoundedNote& n : performance.notes) {
        if (n.pass != 1 || !inside(n.onset)) continue;
        SoundedNote moved = n;
        moved.onset = std::max(n.onset - from, Seconds{});
        moved.offset = std::min(n.offset, to) - from;
        for (BendPoint& b : moved.bend) b.at -= from;
        for (Seconds& s : moved.ornament_starts) s -= from;
        if (part.notes.empty()) moved.how = lick::Start::attack;
        part.notes.push_back(std::move(moved));
    }
    for (Click c : performance.clicks)
        if (inside(c.at) && !c.count_in) {
            c.at -= from;
            part.clicks.push_back(c);
        }
    for (BeatTime b : performance.beats)
        if (b.pass == 1 && b.at > from - edge && b.at < to + edge) {
            b.at -= from;
            part.beats.push_back(b);
        }
    return part;
}

std::vector<float> render_loop(const ReedTables& tables, const harp::Harp& harp, const Performance& excerpt,
                               Hz rate) {
    Performance with_tail = excerpt;
    with_tail.length += dies_within;
    std::vector<float> all = render_voice(tables, harp, with_tail, rate);
    const auto round = static_cast<std::size_t>(std::lround(excerpt.length.value * rate.value));
    if (round == 0) return {};
    for (std::size_t i = round; i < all.size(); ++i) all[i % round] += all[i];
    all.resize(round);
    return all;
}

}  // namespace lw::sound
