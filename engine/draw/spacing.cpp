// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/spacing.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lw::draw {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

/// A last line is not pulled wider than this many natural beats, nor much wider than the line above it.
constexpr double widest_last_beat = 1.9;
constexpr double turn_on_a_beat = 1.2;  // costs of turning inside a bar: as much as a line three times too
constexpr double turn_inside_a_beat = 4.0;  // wide, and more than any width

class Spacing {
  public:
    Spacing(const std::vector<Stop>& stops, const Room& room) : stops_(stops), room_(room) {}

    /// From the left edge to the first stop.
    [[nodiscard]] double lead(std::size_t first) const {
        return std::max(room_.sizes.pad(), stops_[first].left + room_.sizes.gap() + stops_[first].opening);
    }
    /// Least distance from stop i to the next one on the line, or to the right edge after the last.
    [[nodiscard]] double least(std::size_t i, std::size_t end) const {
        const double after =
            stops_[i].right + room_.sizes.gap() + (stops_[i].ends_bar ? stops_[i].closing : 0.0);
        if (i + 1 == end) return after;
        if (!stops_[i].ends_bar) return after + stops_[i + 1].left;
        return after + lead(i + 1);
    }
    /// What even time asks for.
    [[nodiscard]] double even(std::size_t i, std::size_t end, double beat) const {
        return stops_[i].time * beat - (i + 1 == end ? room_.sizes.pad() : 0.0);
    }
    [[nodiscard]] double length(std::size_t begin, std::size_t end, double beat) const {
        double sum = lead(begin);
        for (std::size_t i = begin; i < end; ++i) sum += std::max(least(i, end), even(i, end, beat));
        return sum;
    }
    [[nodiscard]] double least_length(std::size_t begin, std::size_t end) const {
        return length(begin, end, 0.0);
    }

    /// The width of a beat that fills the line. The length is convex in it and piecewise straight, so Newton's
    /// steps from above fall onto it and stop.
    [[nodiscard]] double filling_beat(std::size_t begin, std::size_t end) const {
        double beat = 1e6;
        for (int step = 0; step < 64; ++step) {
            double sum = lead(begin);
            double slope = 0.0;
            for (std::size_t i = begin; i < end; ++i) {
                const double wish = even(i, end, beat);
                const double need = least(i, end);
                sum += std::max(wish, need);
                if (wish > need) slope += stops_[i].time;
            }
            if (slope <= 0.0) break;
            const double next = beat - (sum - room_.width) / slope;
            if (next >= beat - 1e-9) break;
            beat = std::max(next, 0.0);
        }
        return beat;
    }

    /// How far a line is from natural; `never` when its ink does not fit.
    [[nodiscard]] double cost(std::size_t begin, std::size_t end, double& beat, bool& full) const {
        full = true;
        if (least_length(begin, end) > room_.width + 1e-6) return never;
        beat = filling_beat(begin, end);
        const double off = std::log(std::max(beat, 1.0) / room_.beat);
        const bool last = end == stops_.size();
        const double widest = room_.beat * widest_last_beat;
        if (last && beat > widest) {
            beat = widest * 0.75;
            full = false;
        }
        const double turn = last || stops_[end - 1].ends_bar ? 0.0
                            : stops_[end].on_beat            ? turn_on_a_beat
                                                             : turn_inside_a_beat;
        return off * off * (last ? 0.8 : 1.0) + turn;
    }

    /// Where a line may turn: after bars; inside a bar that is too long for a line, on its beats; inside a beat
    /// that is too long, anywhere.
    [[nodiscard]] std::vector<std::size_t> turns() const {
        std::vector<std::size_t> places{0};
        const std::size_t n = stops_.size();
        for (std::size_t begin = 0; begin < n;) {
            std::size_t end = begin + 1;
            while (end < n && !stops_[end].begins_bar) ++end;
            if (least_length(begin, end) > room_.width) inside(begin, end, places);
            places.push_back(end);
            begin = end;
        }
        return places;
    }

  private:
    void inside(std::size_t begin, std::size_t end, std::vector<std::size_t>& places) const {
        for (std::size_t beat = begin; beat < end;) {
            std::size_t next = beat + 1;
            while (next < end && !stops_[next].on_beat) ++next;
            if (beat != begin) places.push_back(beat);
            if (least_length(beat, next) > room_.width)
                for (std::size_t i = beat + 1; i < next; ++i) places.push_back(i);
            beat = next;
        }
    }

    const std::vector<Stop>& stops_;
    const Room& room_;
};

}  // namespace

std::vector<Line> break_lines(const std::vector<Stop>& stops, const Room& room) {
    if (stops.empty()) return {};
    if (room.width <= 0.0) return {{0, stops.size(), room.beat, false}};
    const Spacing spacing{stops, room};
    const std::vector<std::size_t> turns = spacing.turns();
    struct Best {
        double cost = never;
        std::size_t from = 0;
        Line line;
    };
    std::vector<Best> best(turns.size());
    best[0].cost = 0.0;
    for (std::size_t to = 1; to < turns.size(); ++to) {
        for (std::size_t from = to; from-- > 0;) {
            Line line{turns[from], turns[to], 0.0, true};
            double cost = spacing.cost(line.begin, line.end, line.beat, line.full);
            if (cost == never) {
                // One stop alone that is too wide stands on a line of its own; more would only be wider.
                if (from + 1 != to) break;
                cost = 100.0;
                line.beat = 0.0;
            }
            if (best[from].cost + cost < best[to].cost) best[to] = {best[from].cost + cost, from, line};
        }
    }
    std::vector<Line> lines;
    for (std::size_t at = turns.size() - 1; at > 0; at = best[at].from) lines.push_back(best[at].line);
    std::reverse(lines.begin(), lines.end());
    // A last line that is nearly full is filled; a short one keeps the beat of the line above it, so that bars
    // under each other agree.
    if (lines.size() > 1 && !lines.back().full) {
        Line& last = lines.back();
        const double fills = spacing.filling_beat(last.begin, last.end);
        double widest = 0.0;
        for (std::size_t i = 0; i + 1 < lines.size(); ++i) widest = std::max(widest, lines[i].beat);
        last.full = fills <= widest * 1.5;
        last.beat = last.full ? fills : std::min(lines[lines.size() - 2].beat, fills);
    }
    return lines;
}

std::vector<double> place_stops(const std::vector<Stop>& stops, const Line& line, const Room& room) {
    const Spacing spacing{stops, room};
    std::vector<double> x;
    double at = spacing.lead(line.begin);
    for (std::size_t i = line.begin; i < line.end; ++i) {
        x.push_back(at);
        at += std::max(spacing.least(i, line.end), spacing.even(i, line.end, line.beat));
    }
    if (line.full && room.width > 0.0 && at < room.width) at = room.width;
    x.push_back(at);
    return x;
}

}  // namespace lw::draw
