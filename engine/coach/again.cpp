// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/again.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lw::coach {
namespace {

/// Evidence of a beginning (Frame::onset) that is enough where one is written. Repeated notes that the ear ran together
/// have 0.35 and more, the middle of held notes on FluidR3's reeds more than 0.2 in 3 % of cases.
constexpr double enough = 0.3;
/// How far from its due time a note is looked for: 120 ms, or less between quick notes.
constexpr double reach = 0.12, reach_part = 0.4;
/// Chords that are two notes running together have less confidence than this on FluidR3's reeds.
constexpr double sure_chord = 0.85;
constexpr Seconds ringing{0.05};  // between two notes that touch
/// Nearer to the edge of the heard note it is that edge.
constexpr Seconds edge{0.04};

std::optional<Seconds> beginning(std::span<const hear::Frame> frames, Seconds from, Seconds to) {
    const auto at = [](const hear::Frame& f, Seconds t) { return f.at < t; };
    const auto first = std::lower_bound(frames.begin(), frames.end(), from, at);
    const auto last = std::lower_bound(first, frames.end(), to, at);
    const auto peak = std::max_element(
        first, last, [](const hear::Frame& a, const hear::Frame& b) { return a.onset < b.onset; });
    if (peak == last || peak->onset < enough) return std::nullopt;
    double weight = 0.0, sum = 0.0;  // finer than a frame, from its neighbours
    for (auto f = peak == frames.begin() ? peak : peak - 1; f != frames.end() && f <= peak + 1; ++f) {
        weight += f->onset;
        sum += f->onset * (f->at - peak->at).value;
    }
    return peak->at + Seconds{sum / weight};
}

}  // namespace

void find_again(Alignment& alignment, std::span<const WrittenNote> written,
                std::span<const hear::HeardNote> take, std::span<const hear::Frame> frames) {
    std::vector<Match>& matches = alignment.matches;
    for (std::size_t k = 0; k < matches.size(); ++k) {
        const Match before = matches[k];
        const std::size_t i = before.written + 1;
        if (i >= written.size() || written[i].how != lick::Start::attack) continue;
        const double step = (written[i].pitch - written[before.written].pitch).value;
        const bool chord = written[i].tab.chord() || written[before.written].tab.chord();
        const bool alike = chord ? written[i].tab == written[before.written].tab : std::abs(step) < 0.3;
        if (!alike || before.pieces > 1) continue;
        const Match* next = k + 1 < matches.size() ? &matches[k + 1] : nullptr;
        const bool same_go = next != nullptr && next->go == before.go;
        if (same_go && (next->written <= i || next->heard == before.heard)) continue;
        const double beats = written[i].beat - written[before.written].beat;
        const double between = same_go ? written[next->written].beat - written[before.written].beat : 0.0;
        const double seconds_a_beat =
            between > 0.0 ? (next->onset - before.onset).value / between : alignment.seconds_a_beat;
        const Seconds apart{beats * seconds_a_beat};
        const Seconds due = before.onset + apart;
        const Seconds near{std::min(reach, reach_part * apart.value)};
        const auto at = beginning(frames, std::max(due - near, before.onset + edge),
                                  std::min(due + near, take[before.heard].offset - edge));
        if (!at) continue;
        matches.insert(matches.begin() + static_cast<std::ptrdiff_t>(k) + 1,
                       Match{i, before.heard, *at, true, 1, before.go});
    }
}

bool rings_on(std::span<const hear::HeardNote> take, std::size_t heard, const lick::Tab& wanted) noexcept {
    const hear::HeardNote& h = take[heard];
    if (heard == 0 || !h.tab.chord() || h.confidence >= sure_chord || h.tab.breath != wanted.breath)
        return false;
    const hear::HeardNote& before = take[heard - 1];
    if (before.tab.breath != wanted.breath || h.onset - before.offset > ringing) return false;
    const auto has = [](const lick::Tab& tab, int hole) {
        return std::find(tab.holes.begin(), tab.holes.end(), hole) != tab.holes.end();
    };
    return !wanted.holes.empty() && has(h.tab, wanted.lead_hole()) &&
           std::all_of(h.tab.holes.begin(), h.tab.holes.end(),
                       [&](int hole) { return has(wanted, hole) || has(before.tab, hole); });
}

}  // namespace lw::coach
