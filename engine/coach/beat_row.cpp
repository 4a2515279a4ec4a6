// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/beat_row.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

constexpr double step_s = 0.010;
/// An onset may come this long before its beat and still be of it.
constexpr double early = 0.040;
/// How far hands and ears scatter; people tap within about 10 to 20 ms (common practice, no source).
constexpr double scatter = 0.018;
/// An onset pays no more than this for being off: then it is simply late. Only what is further off than anybody is
/// late pays on, so that it goes to a nearer place when there is one.
constexpr double most_for_off = 5.0;
constexpr double late_at_most = 0.100, price_of_second = 100.0;
/// For an onset that finds no place of its own.
constexpr double price_forced = 9.0;
/// One beat against the one before: free within a step of the lattice, then as hands scatter.
constexpr double free_change = 0.011;
constexpr double usual_change = 0.025;
/// Tempos lie around 90 a minute, most between 60 and 135 (common practice, no source).
constexpr double middle_tempo = 98.0;
constexpr double tempo_spread = 0.38;
/// Outside of these, people count in halves or doubles: every beat pays.
constexpr double slowest_counted = 60.0, fastest_counted = 148.0;
constexpr double counted_spread = 0.1;
constexpr double given_spread = 0.03;
constexpr double click_spread = 0.008;
/// After the last click that was found nobody holds the player to it, and the grid itself is known to a few
/// milliseconds a beat: what a beat may be off it grows by this much of the time gone by.
constexpr double click_forgotten = 0.01;
/// A row that is this much dearer than another with as many onsets behind it is not followed any further ...
constexpr double hopelessly_dear = 11.0;
/// ... but silence costs too: what empty beats since the last onset may have cost comes on top, for each second.
constexpr double second_of_silence = 5.8;

float half_square(double z) noexcept {
    return static_cast<float>(0.5 * z * z);
}

class Row {
  public:
    Row(const BeatFeel& feel, std::span<const double> onsets, const RowWishes& wishes)
        : feel_(feel), onsets_(onsets), wishes_(wishes) {
        shortest_ = std::max(1, static_cast<int>(std::ceil(wishes.shortest / step_s - 1e-9)));
        longest_ = std::max(shortest_, static_cast<int>(std::floor(wishes.longest / step_s + 1e-9)));
        lengths_ = longest_ - shortest_ + 1;
        origin_ = onsets.front() - longest_ * step_s;
        points_ = static_cast<int>((onsets.back() - origin_) / step_s) + 2 * longest_ + 2;
        first_.resize(static_cast<std::size_t>(points_));
        std::size_t k = 0;
        for (int i = 0; i < points_; ++i) {
            while (k < onsets.size() && onsets[k] < time(i) - early) ++k;
            first_[static_cast<std::size_t>(i)] = k;
        }
    }

    BeatRow run() {
        const auto cells = static_cast<std::size_t>(points_) * static_cast<std::size_t>(lengths_);
        cost_.assign(cells, never);
        from_.assign(cells, 0);
        reached_.assign(onsets_.size() + 1, never);
        BeatRow best;
        int best_point = -1, best_length = 0;
        const int last_begin = points_ - longest_ - 1;
        for (int i = 0; i < last_begin; ++i) {
            const std::size_t before = first(i);
            if (before == onsets_.size()) break;
            for (int d = shortest_; d <= longest_; ++d) {
                float& here = cost_[index(i, d)];
                if (before == 0 && first(i + d) > 0) here = std::min(here, start_price(i, d));
                if (here >= never || here > reached_[before] + hopeless(i, before)) continue;
                const float price = here + filled(i, d).price;
                float& reached = reached_[first(i + d)];
                reached = std::min(reached, price);
                if (first(i + d) == onsets_.size()) {
                    if (price < static_cast<float>(best.price)) {
                        best.price = price;
                        best_point = i;
                        best_length = d;
                    }
                } else if (i + d < last_begin) {
                    go_on(i, d, price);
                }
            }
        }
        if (best_point >= 0)
            trace(best, best_point, best_length);
        else
            even_beats(best);
        best.price += feel_.price;
        return best;
    }

  private:
    static constexpr float never = 1e30F;
    struct Best {
        float price = never;
        const Filling* filling = nullptr;
    };

    [[nodiscard]] double time(int point) const noexcept { return origin_ + point * step_s; }
    [[nodiscard]] std::size_t first(int point) const { return first_[static_cast<std::size_t>(point)]; }
    [[nodiscard]] std::size_t index(int point, int length) const {
        return static_cast<std::size_t>(point) * static_cast<std::size_t>(lengths_) +
               static_cast<std::size_t>(length - shortest_);
    }

    [[nodiscard]] float hopeless(int point, std::size_t before) const {
        if (wishes_.usual || before == 0) return never;  // there are few rows, and none needs to be left
        const double silence = std::max(0.0, time(point) - onsets_[before - 1]);
        return static_cast<float>(hopelessly_dear + second_of_silence * silence);
    }
    [[nodiscard]] float start_price(int point, int length) const {
        return half_square(std::log(60.0 / (length * step_s) / middle_tempo) / tempo_spread) +
               place_price(point, length);
    }
    /// What a beat pays for not being where, or as long as, it was said to be.
    [[nodiscard]] float place_price(int point, int length) const {
        float price = 0.0F;
        if (!wishes_.usual) {
            const double tempo = 60.0 / (length * step_s);
            const double outside =
                std::max(std::log(slowest_counted / tempo), std::log(tempo / fastest_counted));
            if (outside > 0.0) price += half_square(outside / counted_spread);
        }
        if (wishes_.usual) price += half_square((length * step_s / *wishes_.usual - 1.0) / given_spread);
        if (wishes_.click) {
            const double beats = (time(point) - wishes_.click->first.value) / wishes_.click->period.value;
            const double off = (beats - std::round(beats)) * wishes_.click->period.value;
            const double last = wishes_.click->at.empty() ? time(point) : wishes_.click->at.back().value;
            price += half_square(off / (click_spread + click_forgotten * std::max(0.0, time(point) - last)));
        }
        return price;
    }

    [[nodiscard]] Best filled(int point, int length) const {
        const std::size_t from = first(point), to = first(point + length);
        const std::size_t n = to - from;
        Best best;
        if (n < feel_.fillings.size()) {
            const double begin = time(point), whole = length * step_s;
            for (const Filling& f : feel_.fillings[n]) {
                auto price = static_cast<float>(f.price);
                if (price >= best.price) break;  // they only get dearer
                for (std::size_t k = 0; k < n && price < best.price; ++k) {
                    const double off = std::abs(onsets_[from + k] - begin - f.places[k].played * whole);
                    const double z = off / scatter;
                    price += static_cast<float>(std::min(most_for_off, 0.5 * z * z) +
                                                price_of_second * std::max(0.0, off - late_at_most));
                }
                if (price < best.price) best = {price, &f};
            }
        }
        const auto forced = static_cast<float>(4.0 + price_forced * static_cast<double>(n));
        if (best.filling == nullptr || forced < best.price) best = {forced, nullptr};
        return best;
    }

    void go_on(int point, int length, float price) {
        const int next = point + length;
        const int reach = std::max(2, length / 12);
        for (int d = std::max(shortest_, length - reach); d <= std::min(longest_, length + reach); ++d) {
            const double change = std::max(0.0, std::abs(d - length) * step_s - free_change);
            const float cost = price + half_square(change / (usual_change * length * step_s)) +
                               0.02F * static_cast<float>(std::abs(d - length)) + place_price(next, d);
            float& there = cost_[index(next, d)];
            if (cost >= there) continue;
            there = cost;
            from_[index(next, d)] = static_cast<std::int16_t>(length);
        }
    }

    /// Where nothing fits (a click that comes and goes, say): even beats from the first onset on.
    void even_beats(BeatRow& row) const {
        const double beat = wishes_.usual.value_or(60.0 / middle_tempo);
        row.price = 1e6;
        for (const double onset : onsets_) {
            const double at = (onset - onsets_.front()) / beat;
            RowNote note;
            const std::int64_t twelfths = std::lround(at * 12.0);
            note.beat = twelfths / 12;
            note.part = Fraction{twelfths % 12, 12};
            note.off = (at - static_cast<double>(twelfths) / 12.0) * beat;
            note.forced = true;
            row.notes.push_back(note);
        }
        for (std::int64_t b = 0; b <= row.notes.back().beat + 1; ++b)
            row.beats.push_back(onsets_.front() + static_cast<double>(b) * beat);
    }

    void trace(BeatRow& row, int point, int length) {
        row.beats.push_back(time(point + length));
        row.notes.resize(onsets_.size());
        std::vector<std::pair<int, int>> cells;
        while (true) {
            cells.emplace_back(point, length);
            const int before = from_[index(point, length)];
            if (before == 0) break;
            point -= before;
            length = before;
        }
        std::reverse(cells.begin(), cells.end());
        for (std::size_t b = 0; b < cells.size(); ++b) {
            const auto [p, d] = cells[b];
            row.beats.insert(row.beats.end() - 1, time(p));
            const Best best = filled(p, d);
            for (std::size_t k = first(p); k < first(p + d); ++k) {
                RowNote& note = row.notes[k];
                note.beat = static_cast<std::int64_t>(b);
                const double at = (onsets_[k] - time(p)) / (d * step_s);
                if (best.filling != nullptr) {
                    const Place& place = best.filling->places[k - first(p)];
                    note.part = place.written;
                    note.off = (at - place.played) * d * step_s;
                } else {  // the nearest twelfth
                    const auto twelfth = std::clamp<std::int64_t>(std::lround(at * 12.0), 0, 11);
                    note.part = Fraction{twelfth, 12};
                    note.off = (at - note.part.value()) * d * step_s;
                    note.forced = true;
                }
            }
        }
    }

    const BeatFeel& feel_;
    std::span<const double> onsets_;
    const RowWishes& wishes_;
    int shortest_ = 1, longest_ = 1, lengths_ = 1, points_ = 0;
    double origin_ = 0.0;
    std::vector<std::size_t> first_;
    std::vector<float> cost_;
    std::vector<float> reached_;  // the cheapest row so far, by how many onsets it has behind it
    std::vector<std::int16_t> from_;
};

}  // namespace

BeatRow cheapest_row(const BeatFeel& feel, std::span<const double> onsets, const RowWishes& wishes) {
    if (onsets.empty()) return {};
    return Row{feel, onsets, wishes}.run();
}

}  // namespace lw::coach
