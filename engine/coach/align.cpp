// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/align.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lw::coach {
namespace {

constexpr float never = std::numeric_limits<float>::infinity();
/// How many written notes one step may leave out, and heard notes it may pass over, less one.
constexpr std::size_t most_written_step = 6;
constexpr std::size_t most_heard_step = 5;
constexpr std::uint32_t nothing = std::numeric_limits<std::uint32_t>::max();

enum class Step : std::uint8_t { first, on, over, shares, continues };

/// How a pair was come to. A pair that goes on from the heard note before has that note's onset, one that shares its
/// heard note has the moment when the bend turns; what follows is timed from there, so each is kept for itself.
/// (What has gone on three times or more, or after a turn, is kept as one: the cheapest.)
enum Way : std::size_t { plain, went_on, went_on_more, turned, all_ways };

struct Cell {
    float cost = never;
    float onset = 0.0F;
    std::uint32_t from = nothing;  // index of the cell before
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
          cells_(n_ * m_ * all_ways) {
        extra_before_.assign(m_ + 1, 0.0);
        for (std::size_t j = 0; j < m_; ++j) {
            // A very short note, or one the ear is not sure of, is passed over for less.
            const double sure = std::clamp(take[j].confidence, costs::least_sure, 1.0);
            const double brief =
                take[j].offset - take[j].onset < Seconds{costs::brief_note} ? costs::brief_share : 1.0;
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
            share_and_go_on(j);
            later_or_same(j);
        }
        return trace();
    }

  private:
    using Best = std::pair<double, std::uint32_t>;  // what it costs, which cell

    [[nodiscard]] std::size_t index(std::size_t i, std::size_t j, std::size_t way) const {
        return (i * m_ + j) * all_ways + way;
    }
    [[nodiscard]] double pair(std::size_t i, std::size_t j) const {
        return static_cast<double>(pair_[i * m_ + j]);
    }
    [[nodiscard]] double passed_over(std::size_t from, std::size_t to) const {
        return extra_before_[to] - extra_before_[from];
    }
    [[nodiscard]] double time_cost(double heard, double beats) const {
        const double due = beats * spb_;
        const double z = (heard - due) / (costs::slip_of_the_hand + costs::change_of_tempo * due);
        return std::min(costs::most_for_time, 0.5 * z * z);
    }
    static void offer(Cell& to, double cost, double onset, std::size_t from, Step step) {
        if (cost >= static_cast<double>(to.cost)) return;
        to = {static_cast<float>(cost), static_cast<float>(onset), static_cast<std::uint32_t>(from), step};
    }

    void fill(std::size_t i, std::size_t j) {
        Cell& here = cells_[index(i, j, plain)];
        const double onset = take_[j].onset.value;
        const double match = pair(i, j);
        offer(here, match + costs::missing * static_cast<double>(i) + extra_before_[j], onset, nothing,
              Step::first);
        for (std::size_t dj = 1; dj <= most_heard_step && dj <= j; ++dj) {
            const std::size_t q = j - dj;
            const double base = match + passed_over(q + 1, j);
            if (base >= static_cast<double>(here.cost)) break;
            for (std::size_t di = 1; di <= most_written_step && di <= i; ++di) {
                const std::size_t p = i - di;
                const double left_out = base + costs::missing * static_cast<double>(di - 1);
                for (std::size_t way = plain; way < all_ways; ++way) {
                    const Cell& before = cells_[index(p, q, way)];
                    const double cost = static_cast<double>(before.cost) + left_out;
                    if (cost >= static_cast<double>(here.cost)) continue;
                    offer(here,
                          cost + time_cost(onset - static_cast<double>(before.onset),
                                           written_[i].beat - written_[p].beat),
                          onset, index(p, q, way), Step::on);
                }
            }
            // Starting over, at this written note or any before the one that was reached: most often at the first.
            const auto [cost, from] = best_from_[i * m_ + q];
            if (from != nothing) offer(here, cost + base, onset, from, Step::over);
        }
    }

    /// One heard note for two written ones, two heard ones for one written. Not both at one heard note: what is joined
    /// begins where its bend has turned.
    void share_and_go_on(std::size_t j) {
        for (std::size_t i = 1; i < n_; ++i) {
            if (!written_[i].goes_on) continue;
            const Semitones from = written_[i - 1].tab.bend(), to = written_[i].tab.bend();
            for (const Way way : {plain, turned}) {
                const Cell& before = cells_[index(i - 1, j, way)];
                if (before.cost >= never) continue;
                const double begun = static_cast<double>(before.onset);
                const auto turn = bend_turns(take_[j], from, to, Seconds{begun});
                if (!turn) continue;
                const double cost = static_cast<double>(before.cost) + costs::shared_pieces +
                                    costs::shared_likeness * pair(i, j) +
                                    time_cost(turn->value - begun, written_[i].beat - written_[i - 1].beat);
                offer(cells_[index(i, j, turned)], cost, turn->value, index(i - 1, j, way), Step::shares);
            }
        }
        if (j > 0 && take_[j].joined && same_reed(take_[j - 1].tab, take_[j].tab))
            for (std::size_t i = 0; i < n_; ++i) {
                if (written_[i].tab.lead_hole() != take_[j].tab.lead_hole()) continue;
                const double price = costs::shared_pieces + costs::continued_likeness * pair(i, j);
                for (std::size_t way = plain; way < all_ways; ++way) {
                    const Cell& before = cells_[index(i, j - 1, way)];
                    const std::size_t to = way == plain ? went_on : way == turned ? turned : went_on_more;
                    if (before.cost < never)
                        offer(cells_[index(i, j, to)], static_cast<double>(before.cost) + price,
                              static_cast<double>(before.onset), index(i, j - 1, way), Step::continues);
                }
            }
    }

    /// For starting over: the cheapest way to stand at written note i or later with heard note j.
    void later_or_same(std::size_t j) {
        Best to_inside{never, nothing}, to_first{never, nothing};
        for (std::size_t i = n_; i-- > 0;) {
            Best here{never, nothing};
            for (std::size_t way = plain; way < all_ways; ++way) {
                const std::size_t at = index(i, j, way);
                const double cost = static_cast<double>(cells_[at].cost);
                if (cost < here.first) here = {cost, static_cast<std::uint32_t>(at)};
            }
            const bool end = i + 1 == n_;
            const double over = here.first + (end ? costs::again : costs::start_over);
            const double inside = over + (end ? costs::again_inside : costs::start_over_inside);
            to_first = std::min(to_first, {over, here.second});
            to_inside = std::min(to_inside, {inside, here.second});
            best_from_[i * m_ + j] = i > 0 ? to_inside : to_first;
            const double whole =
                here.first + costs::missing * static_cast<double>(n_ - 1 - i) + passed_over(j + 1, m_);
            best_end_[j] = std::min(best_end_[j], {whole, here.second});
        }
    }

    Alignment trace() {
        Alignment out;
        out.seconds_a_beat = spb_;
        const Best best = *std::min_element(best_end_.begin(), best_end_.end());
        out.cost = best.first;
        std::size_t at = best.second;
        int go = 0;
        std::size_t pieces = 1;
        while (at != nothing) {
            const Cell& c = cells_[at];
            if (c.step == Step::continues) {
                ++pieces;
            } else {
                const std::size_t i = at / all_ways / m_, j = at / all_ways % m_;
                // A turn, and where a note began, to the ear's own precision.
                const Seconds onset =
                    c.step == Step::shares ? Seconds{static_cast<double>(c.onset)} : take_[j].onset;
                out.matches.push_back({i, j, onset, c.step == Step::shares, pieces, go});
                pieces = 1;
            }
            if (c.step == Step::over) --go;
            at = c.from;
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
    std::vector<Best> best_from_;  // beside pairs
    std::vector<Best> best_end_;   // beside heard notes
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
    const auto sounding = std::find_if(heard.bend_path.begin(), heard.bend_path.end(),
                                       [&](const auto& s) { return s.at > heard.offset; });
    const std::span path{heard.bend_path.begin(), sounding};
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

Alignment align_at(const harp::Harp& harp, std::span<const WrittenNote> written,
                   std::span<const hear::HeardNote> take, double seconds_a_beat) {
    if (written.empty() || take.empty()) return {};
    return Grid{harp, written, take}.run(seconds_a_beat);
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
