// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/align.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lw::coach {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
/// How many written notes one step may leave out, and heard notes it may pass over, less one.
constexpr std::size_t most_written_step = 6;
constexpr std::size_t most_heard_step = 5;
constexpr std::size_t nothing = std::numeric_limits<std::size_t>::max();

enum class Step : std::uint8_t { first, on, over, shares, continues };

struct Cell {
    double cost = never;
    double onset = 0.0;
    std::uint32_t from_written = 0;
    std::uint32_t from_heard = 0;
    Step step = Step::first;
};

class Grid {
  public:
    Grid(const harp::Harp& harp, std::span<const WrittenNote> written, std::span<const hear::HeardNote> take)
        : written_(written),
          take_(take),
          n_(written.size()),
          m_(take.size()),
          pair_(n_ * m_),
          cells_(n_ * m_) {
        extra_before_.assign(m_ + 1, 0.0);
        for (std::size_t j = 0; j < m_; ++j) {
            // A very short note, or one the ear is not sure of, is passed over for less.
            const double sure = std::clamp(take[j].confidence, 0.3, 1.0);
            const double brief = take[j].offset - take[j].onset < Seconds{0.06} ? 0.6 : 1.0;
            extra_before_[j + 1] = extra_before_[j] + costs::extra * sure * brief;
            for (std::size_t i = 0; i < n_; ++i)
                pair_[i * m_ + j] = static_cast<float>(likeness(harp, written[i], take[j]).cost);
        }
    }

    Alignment run(double seconds_a_beat) {
        spb_ = seconds_a_beat;
        std::fill(cells_.begin(), cells_.end(), Cell{});
        best_end_.assign(m_, {never, nothing});
        best_from_.assign(n_ * m_, {never, nothing});
        for (std::size_t j = 0; j < m_; ++j) {
            for (std::size_t i = 0; i < n_; ++i) fill(i, j);
            share_and_continue(j);
            later_or_same(j);
        }
        return trace();
    }

  private:
    Cell& cell(std::size_t i, std::size_t j) { return cells_[i * m_ + j]; }
    [[nodiscard]] double pair(std::size_t i, std::size_t j) const { return pair_[i * m_ + j]; }
    [[nodiscard]] double passed_over(std::size_t from, std::size_t to) const {
        return extra_before_[to] - extra_before_[from];
    }
    [[nodiscard]] double time_cost(double heard, double beats) const {
        const double due = beats * spb_;
        // 50 ms is a slip of the hand, 18 % of the time between two notes a change of tempo.
        const double z = (heard - due) / (0.05 + 0.18 * due);
        return std::min(costs::most_for_time, 0.5 * z * z);
    }
    void offer(Cell& to, double cost, double onset, std::size_t i, std::size_t j, Step step) const {
        if (cost >= to.cost) return;
        to = {cost, onset, static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(j), step};
    }

    void fill(std::size_t i, std::size_t j) {
        Cell& here = cell(i, j);
        const double onset = take_[j].onset.value;
        const double match = pair(i, j);
        offer(here, match + costs::missing * static_cast<double>(i) + extra_before_[j], onset, nothing,
              nothing, Step::first);
        for (std::size_t dj = 1; dj <= most_heard_step && dj <= j; ++dj) {
            const std::size_t q = j - dj;
            const double base = match + passed_over(q + 1, j);
            if (base >= here.cost) break;
            for (std::size_t di = 1; di <= most_written_step && di <= i; ++di) {
                const std::size_t p = i - di;
                const Cell& before = cell(p, q);
                const double cost = before.cost + base + costs::missing * static_cast<double>(di - 1);
                if (cost >= here.cost) continue;
                offer(here, cost + time_cost(onset - before.onset, written_[i].beat - written_[p].beat),
                      onset, p, q, Step::on);
            }
            // Starting over, at this written note or any before the one that was reached: most often at the first.
            const auto [cost, p] = best_from_[i * m_ + q];
            if (cost == never) continue;
            const double inside = p + 1 == n_ ? costs::again_inside : costs::start_over_inside;
            offer(here, cost + base + (i > 0 ? inside : 0.0), onset, p, q, Step::over);
        }
    }

    /// One heard note for two written ones, two heard ones for one written.
    void share_and_continue(std::size_t j) {
        for (std::size_t i = 1; i < n_; ++i) {
            const Cell& before = cell(i - 1, j);
            if (!written_[i].goes_on || before.cost == never) continue;
            const Semitones from = written_[i - 1].tab.bend(), to = written_[i].tab.bend();
            const auto turn = bend_turns(take_[j], from, to, Seconds{before.onset});
            if (!turn) continue;
            const double cost =
                before.cost + costs::shared_pieces + 0.5 * pair(i, j) +
                time_cost(turn->value - before.onset, written_[i].beat - written_[i - 1].beat);
            offer(cell(i, j), cost, turn->value, i - 1, j, Step::shares);
        }
        if (j == 0 || !take_[j].joined || !same_reed(take_[j - 1].tab, take_[j].tab)) return;
        for (std::size_t i = 0; i < n_; ++i) {
            const Cell& before = cell(i, j - 1);
            if (before.cost == never) continue;
            if (written_[i].tab.lead_hole() != take_[j].tab.lead_hole()) continue;
            offer(cell(i, j), before.cost + costs::shared_pieces + 0.3 * pair(i, j), before.onset, i, j - 1,
                  Step::continues);
        }
    }

    /// For starting over: the cheapest way to stand at written note i or later with heard note j.
    void later_or_same(std::size_t j) {
        std::pair<double, std::size_t> best{never, nothing};
        for (std::size_t i = n_; i-- > 0;) {
            const double price = i + 1 == n_ ? costs::again : costs::start_over;
            if (cell(i, j).cost + price < best.first) best = {cell(i, j).cost + price, i};
            best_from_[i * m_ + j] = best;
        }
        for (std::size_t i = 0; i < n_; ++i) {
            const double whole =
                cell(i, j).cost + costs::missing * static_cast<double>(n_ - 1 - i) + passed_over(j + 1, m_);
            if (whole < best_end_[j].first) best_end_[j] = {whole, i};
        }
    }

    Alignment trace() {
        Alignment out;
        out.seconds_a_beat = spb_;
        out.cost = never;
        std::size_t j = nothing;
        for (std::size_t k = 0; k < m_; ++k)
            if (best_end_[k].first < out.cost) {
                out.cost = best_end_[k].first;
                j = k;
            }
        if (j == nothing) return out;
        std::size_t i = best_end_[j].second;
        int go = 0;
        std::size_t pieces = 1;
        while (true) {
            const Cell& c = cell(i, j);
            if (c.step == Step::continues) {
                ++pieces;
            } else {
                out.matches.push_back({i, j, Seconds{c.onset}, c.step == Step::shares, pieces, go});
                pieces = 1;
            }
            if (c.step == Step::over) --go;
            if (c.step == Step::first) break;
            i = c.from_written;
            j = c.from_heard;
        }
        std::reverse(out.matches.begin(), out.matches.end());
        for (Match& m : out.matches) m.go -= go;
        return out;
    }

    std::span<const WrittenNote> written_;
    std::span<const hear::HeardNote> take_;
    std::size_t n_, m_;
    std::vector<float> pair_;
    std::vector<Cell> cells_;
    std::vector<double> extra_before_;
    std::vector<std::pair<double, std::size_t>> best_from_;
    std::vector<std::pair<double, std::size_t>> best_end_;
    double spb_ = 0.5;
};

/// The tempo that the pairs of a path agree on.
double agreed_seconds_a_beat(const Alignment& path, std::span<const WrittenNote> written) {
    std::vector<double> ratios;
    for (std::size_t k = 1; k < path.matches.size(); ++k) {
        const Match &a = path.matches[k - 1], &b = path.matches[k];
        const double beats = written[b.written].beat - written[a.written].beat;
        if (a.go == b.go && beats > 0.0) ratios.push_back((b.onset - a.onset).value / beats);
    }
    if (ratios.empty()) return path.seconds_a_beat;
    std::nth_element(ratios.begin(), ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2),
                     ratios.end());
    return std::max(0.05, ratios[ratios.size() / 2]);
}

}  // namespace

std::optional<Seconds> bend_turns(const hear::HeardNote& heard, Semitones from, Semitones to,
                                  Seconds not_before) {
    if (heard.bend_path.empty()) return std::nullopt;
    const double way = to.value - from.value;
    if (std::abs(way) < 0.2) return std::nullopt;
    const auto gone = [&](const hear::BendSample& s) { return (s.depth.value - from.value) / way; };
    const auto& path = heard.bend_path;
    auto k = std::find_if(path.begin(), path.end(), [&](const auto& s) { return s.at >= not_before; });
    k = std::find_if(k, path.end(),
                     [&](const auto& s) { return gone(s) < 0.4; });  // it was at the old depth ...
    k = std::find_if(k, path.end(),
                     [&](const auto& s) { return gone(s) > 0.6; });  // ... and came to the new one
    if (k == path.end()) return std::nullopt;
    const double past = 0.2 / std::abs(way);  // 20 cents
    while (k != path.begin() && gone(*std::prev(k)) > past) --k;
    return k->at;
}

Alignment align(const harp::Harp& harp, std::span<const WrittenNote> written,
                std::span<const hear::HeardNote> take, double written_seconds_a_beat) {
    if (written.empty() || take.empty()) return {};
    Grid grid{harp, written, take};
    Alignment best;
    best.cost = never;
    // From 0.4 to 2.5 times the written tempo in steps of 12 %: within one step the time cost hardly notices.
    for (int step = -8; step <= 8; ++step) {
        Alignment path = grid.run(written_seconds_a_beat * std::pow(1.12, step));
        if (path.cost < best.cost) best = std::move(path);
    }
    for (int round = 0; round < 2; ++round) {
        Alignment path = grid.run(agreed_seconds_a_beat(best, written));
        if (path.cost < best.cost) best = std::move(path);
    }
    return best;
}

}  // namespace lw::coach
