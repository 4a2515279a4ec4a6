// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/live.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

/// Farther from every way to play and it is not this harp, or the reed has not settled.
constexpr Semitones farthest{0.6};
/// What the lick asks for is taken although something else is this much nearer: a bend on its way down passes other
/// pitches. Common practice, no source.
constexpr double asked_for = 0.8;
/// A plain reed is likelier than a bend of the same pitch, a bend likelier than an overbend.
constexpr double bend_price = 0.15;
constexpr double overbend_price = 0.5;

}  // namespace

std::optional<LiveNote> live_note(const harp::Harp& harp, Hz frequency, const lick::Unfolded& played,
                                  const std::array<std::optional<Cents>, 2 * harp::hole_count>& reeds) {
    if (!(frequency.value > 0.0)) return std::nullopt;
    std::optional<LiveNote> best;
    double least = 1e9;
    const auto offer = [&](LiveNote way, double off, double price) {
        double nearest = 1e9;
        for (std::size_t i = 0; i < played.notes.size(); ++i) {
            const lick::Tab& tab = played.notes[i].tab;
            if (tab.breath != way.reed.breath || tab.overbend != way.overbend ||
                std::find(tab.holes.begin(), tab.holes.end(), way.reed.hole) == tab.holes.end())
                continue;
            const Semitones asked = tab.bent_hole == way.reed.hole ? tab.bend() : Semitones{};
            const double apart = std::abs((way.depth - asked).value);
            if (apart >= nearest) continue;
            nearest = apart;
            way.note = i;
        }
        const double cost = std::abs(off) + price - (way.note ? asked_for : 0.0);
        if (std::abs(off) > farthest.value || cost >= least) return;
        least = cost;
        best = way;
    };
    for (int hole = 1; hole <= harp::hole_count; ++hole) {
        for (const harp::Breath breath : {harp::Breath::blow, harp::Breath::draw}) {
            const harp::Reed reed{hole, breath};
            const std::size_t i = static_cast<std::size_t>(2 * (hole - 1) + (breath == harp::Breath::draw));
            const Semitones own = reeds[i] ? to_semitones(*reeds[i]) : Semitones{};
            const double depth = 12.0 * std::log2(harp::frequency(harp, reed) / frequency) + own.value;
            const double floor = harp::bend_floor(harp, reed).value;
            const double off = depth < 0.0 ? depth : std::max(0.0, depth - floor);
            // Within a third of a half step nobody means a bend.
            offer({reed, false, {depth}, {}}, off, depth > 0.35 ? bend_price : 0.0);
        }
        if (const auto over = harp::overbend(harp, hole)) {
            const double off = 12.0 * std::log2(*harp::frequency(harp, *over) / frequency);
            offer({over->reed(), true, {off}, {}}, off, overbend_price);
        }
    }
    return best;
}

}  // namespace lw::coach
