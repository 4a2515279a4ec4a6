// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/clicks.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

constexpr double hop_s = 0.004;
/// A click stands this far over what was before, and is this far down again `gone_hops` later. A reed swells for 10 ms
/// or more and stays (facts: attack), a voice stays.
constexpr double over_db = 12.0;
constexpr std::size_t before_hops = 10;  // 40 ms
constexpr std::size_t gone_hops = 20;    // 80 ms
constexpr std::size_t window = before_hops + 1 + gone_hops;
/// Quieter than this, as mean square, nothing is a click: hiss and the last bit.
constexpr double quietest = 1e-8;
/// And nothing that is 40 dB under the loudest burst.
constexpr double range_db = 40.0;
constexpr double on_grid = 0.012;
constexpr double shortest_period = 0.2, longest_period = 2.0;
constexpr std::size_t least_before = 3, least_in_all = 4;
/// The last click may lie this many periods before the first note when the next beat is its own (and half a beat more).
constexpr double next_beat = 1.5;
/// A counted bar (four clicks or more) may be followed by silent beats: the phrase then begins later in its bar,
/// in four at the latest on its last half beat. (Common practice, no source.)
constexpr double within_bar = 4.5;
/// Three alone are a bar of three only when they are as loud as each other and nothing else knocks.
constexpr double alike_db = 12.0, within_bar_of_three = 3.5;

double db(double energy) noexcept {
    return 10.0 * std::log10(std::max(energy, 1e-12));
}

}  // namespace

ClickFinder::ClickFinder(double rate)
    : rate_(rate), hop_(std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(hop_s * rate)))) {
    recent_.assign(window, 0.0);
    hops_ = before_hops;  // silence lies before the first sample
}

void ClickFinder::push(std::span<const float> samples) {
    for (const float s : samples) {
        const double x = std::isfinite(s) ? static_cast<double>(s) : 0.0;
        const double d = x - before_;
        before_ = x;
        energy_ += d * d;
        if (++in_hop_ < hop_) continue;
        step(energy_ / static_cast<double>(hop_));
        energy_ = 0.0;
        in_hop_ = 0;
    }
}

void ClickFinder::step(double energy) {
    recent_[hops_ % window] = energy;
    ++hops_;
    if (hops_ < window) return;
    const auto at = [&](std::size_t k) { return recent_[(hops_ - window + k) % window]; };  // k: oldest is 0
    const double now = std::max(at(before_hops), at(before_hops + 1));
    if (now < quietest || at(before_hops) * 4.0 < now) return;  // the rise is in this hop
    double before = 0.0;
    for (std::size_t k = 0; k + 1 < before_hops; ++k) before = std::max(before, at(k));
    if (db(now) - db(before) < over_db) return;
    double later = 0.0;
    for (std::size_t k = window - 4; k < window; ++k) later = std::max(later, at(k));
    if (db(now) - db(later) < over_db) return;
    const double time = static_cast<double>((hops_ - window) * hop_) / rate_;
    if (!bursts_.empty() && time - bursts_.back().at < 0.06) return;
    loudest_ = std::max(loudest_, db(now));
    bursts_.push_back({time, db(now)});
}

std::optional<ClickTrack> ClickFinder::find(Seconds first_note) const {
    std::vector<double> all, early;
    double softest = 200.0, hardest = -200.0;  // dB, of the early ones
    for (const Burst& b : bursts_) {
        if (b.strength < loudest_ - range_db) continue;
        all.push_back(b.at);
        if (b.at >= first_note.value - 0.04) continue;
        early.push_back(b.at);
        softest = std::min(softest, b.strength);
        hardest = std::max(hardest, b.strength);
    }
    const bool three_alone = early.size() == least_before && hardest - softest < alike_db;
    ClickTrack best;
    std::size_t best_early = 0;
    for (std::size_t a = 0; a < early.size(); ++a)
        for (std::size_t b = a + 1; b < early.size(); ++b) {
            const double period = early[b] - early[a];
            if (period < shortest_period || period > longest_period) continue;
            // A row without a hole from `a` on, and then what of the rest lies on it.
            std::vector<Seconds> row{Seconds{early[a]}};
            std::size_t in_row = 1, k = a;
            double last = early[a];
            while (++k < early.size()) {
                if (std::abs(early[k] - last - period) > on_grid) continue;
                last = early[k];
                row.push_back(Seconds{last});
                ++in_row;
            }
            const double reach = in_row >= least_in_all ? within_bar
                                 : three_alone          ? within_bar_of_three
                                                        : next_beat;
            if (in_row < least_before || last + reach * period < first_note.value) continue;
            // Each end of the row is known to half a hop, so the grid gets finer with every click on it.
            double fine = (last - early[a]) / static_cast<double>(in_row - 1), reached = last;
            for (const double t : all) {
                if (t <= last + 0.5 * period) continue;
                const double beats = std::round((t - row.front().value) / fine);
                const double unsure = hop_s * (t - row.front().value) / (reached - row.front().value);
                if (std::abs(t - row.front().value - beats * fine) >
                    std::max(on_grid, std::min(unsure, 2.0 * on_grid)))
                    continue;
                row.push_back(Seconds{t});
                fine = (t - row.front().value) / beats;
                reached = t;
            }
            if (row.size() < least_in_all && in_row < least_in_all && !three_alone) continue;
            if (in_row > best_early || (in_row == best_early && row.size() > best.at.size())) {
                best_early = in_row;
                best.at = row;
                best.first = row.front();
                best.period = Seconds{fine};
                best.count = static_cast<int>(row.size());
                best.counted = static_cast<int>(in_row);
            }
        }
    if (best_early == 0) return std::nullopt;
    return best;
}

}  // namespace lw::coach
