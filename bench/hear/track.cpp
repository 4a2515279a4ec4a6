// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <optional>

#include "bench/hear/contender.hpp"

namespace lw::bench {
namespace {

constexpr double shortest_note_s = 0.05;
constexpr double snap_s = 0.06;  // how far an onset may lie from where the pitch changes

double midi_of(Hz f) {
    return 69.0 + 12.0 * std::log2(f.value / 440.0);
}

/// Something the harp plays, in semitones.
struct Way {
    double midi = 0.0;
    lick::Tab tab;
};

std::vector<Way> ways_of(const harp::Harp& harp) {
    std::vector<Way> ways;
    for (const harp::HoleNote& note : harp::every_note(harp)) {
        if (note.overbend) continue;
        ways.push_back({harp::pitch(harp, note).value().midi,
                        {.holes = {note.hole},
                         .breath = note.breath,
                         .bent_hole = note.bend_quarter_steps > 0 ? note.hole : 0,
                         .bend_quarter_steps = note.bend_quarter_steps}});
    }
    return ways;
}

/// Off the equal-tempered scale, in semitones: the circular mean over all frames.
double tuning_of(const Track& track) {
    double x = 0.0;
    double y = 0.0;
    for (const Height& h : track.frames) {
        if (h.pitch.value <= 0.0) continue;
        const double turn = 2.0 * std::numbers::pi * midi_of(h.pitch);
        x += std::cos(turn);
        y += std::sin(turn);
    }
    return std::atan2(y, x) / (2.0 * std::numbers::pi);
}

/// The median over five frames takes out single leaps.
std::vector<double> smoothed(const Track& track) {
    std::vector<double> line;
    for (const Height& h : track.frames) line.push_back(h.pitch.value > 0.0 ? midi_of(h.pitch) : 0.0);
    std::vector<double> out = line;
    for (std::size_t i = 2; i + 2 < line.size(); ++i) {
        std::array<double, 5> near{};
        std::copy_n(line.begin() + static_cast<std::ptrdiff_t>(i) - 2, 5, near.begin());
        std::nth_element(near.begin(), near.begin() + 2, near.end());
        out[i] = near[2];
    }
    return out;
}

struct Run {
    double begin = 0.0;
    double end = 0.0;
    int midi = 0;  // the nearest semitone; 0 for silence
    bool attacked = true;
};

class Notes {
  public:
    Notes(const Track& track, const harp::Harp& harp)

        : track_(track), ways_(ways_of(harp)), tuning_(tuning_of(track)) {}

    hear::Heard heard() {
        hear::Heard heard;
        for (const Height& h : track_.frames)
            heard.frames.push_back({.at = h.at, .pitch = h.pitch, .level = {}});
        const lick::Tab* before = nullptr;
        for (const Run& run : cut(joined(runs()))) {
            const std::optional<lick::Tab> tab = tab_of(run, before);
            if (!tab) continue;
            hear::HeardNote note;
            note.onset = {run.begin};
            note.offset = {run.end};
            note.tab = *tab;
            note.pitch = {run.midi + tuning_};
            note.bend = note.bend_start = tab->bend();
            note.joined = !run.attacked;
            note.confidence = 0.5;
            heard.notes.push_back(note);
            last_ = *tab;
            before = &last_;
        }
        return heard;
    }

  private:
    [[nodiscard]] double step() const {
        return track_.frames.size() < 2 ? 0.01 : (track_.frames[1].at - track_.frames[0].at).value;
    }

    /// Stretches in which the same thing sounds.
    [[nodiscard]] std::vector<Run> runs() const {
        std::vector<Run> all;
        const std::vector<double> line = smoothed(track_);
        for (std::size_t i = 0; i < line.size(); ++i) {
            const int midi = line[i] > 0.0 ? static_cast<int>(std::lround(line[i] - tuning_)) : 0;
            const double at = track_.frames[i].at.value;
            if (!all.empty() && all.back().midi == midi) {
                all.back().end = at + step();
            } else {
                all.push_back({at, at + step(), midi});
            }
        }
        return all;
    }

    /// Without what is too short: it goes to the note before it where that touches.
    [[nodiscard]] static std::vector<Run> joined(const std::vector<Run>& runs) {
        std::vector<Run> all;
        for (const Run& run : runs) {
            const bool brief = run.end - run.begin < shortest_note_s;
            const bool touches = !all.empty() && run.begin - all.back().end < 0.5 * shortest_note_s;
            if (run.midi == 0) continue;
            if (touches && (brief || run.midi == all.back().midi)) {
                all.back().end = run.end;
            } else if (!brief) {
                all.push_back(run);
            }
        }
        return all;
    }

    /// Each run from the onset nearest to its begin, and cut where onsets fall inside.
    [[nodiscard]] std::vector<Run> cut(std::vector<Run> runs) const {
        std::vector<Run> all;
        for (Run& run : runs) {
            run.attacked = false;
            double nearest = snap_s;
            double begin = run.begin;
            for (const Seconds onset : track_.onsets) {
                if (std::abs(onset.value - run.begin) >= nearest) continue;
                nearest = std::abs(onset.value - run.begin);
                begin = onset.value;
                run.attacked = true;
            }
            // A pitch that comes out of silence was attacked, whoever heard it.
            if (all.empty() || begin - all.back().end > 0.03) run.attacked = true;
            run.begin = begin;
            all.push_back(run);
            for (const Seconds onset : track_.onsets) {
                Run& last = all.back();
                if (onset.value < last.begin + snap_s || onset.value > run.end - snap_s) continue;
                Run again = last;
                last.end = onset.value;
                again.begin = onset.value;
                again.attacked = true;
                all.push_back(again);
            }
        }
        return all;
    }

    [[nodiscard]] std::optional<lick::Tab> tab_of(const Run& run, const lick::Tab* before) const {
        const lick::Tab* best = nullptr;
        double least = 1e9;
        for (const Way& way : ways_) {
            if (static_cast<int>(std::lround(way.midi)) != run.midi) continue;
            double cost = 0.1 * way.tab.bend_quarter_steps;
            if (before != nullptr) {
                cost += std::abs(way.tab.holes.front() - before->holes.front());
                if (way.tab.breath != before->breath) cost += 0.5;
            }
            if (cost < least) {
                least = cost;
                best = &way.tab;
            }
        }
        if (best == nullptr) return std::nullopt;
        return *best;
    }

    const Track& track_;
    std::vector<Way> ways_;
    double tuning_;
    lick::Tab last_;
};

}  // namespace

hear::Heard notes_of_track(const Track& track, const harp::Harp& harp, Seconds late) {
    hear::Heard heard = Notes{track, harp}.heard();
    for (hear::HeardNote& note : heard.notes) {
        note.onset = note.onset - late;
        note.offset = note.offset - late;
    }
    return heard;
}

}  // namespace lw::bench
