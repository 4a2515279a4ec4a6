// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/score.hpp"

#include <algorithm>
#include <cmath>

namespace lw::listening {
namespace {

using lick::Gesture;

/// Rounded to 0.1 ms, as mir_eval rounds its distances.
double distance_s(Seconds a, Seconds b) {
    return std::round(std::abs((a - b).value) * 1e4) / 1e4;
}

bool has(const hear::HeardNote& note, Gesture gesture) {
    return std::any_of(note.gestures.begin(), note.gestures.end(),
                       [&](const hear::HeardGesture& g) { return g.gesture == gesture; });
}

/// The depth at a time; the written one where no path was given.
double depth_at(const hear::HeardNote& note, double t) {
    if (note.bend_path.empty()) return note.bend.value;
    const auto next = std::lower_bound(note.bend_path.begin(), note.bend_path.end(), t,
                                       [](const hear::BendSample& s, double at) { return s.at.value < at; });
    if (next == note.bend_path.end()) return note.bend_path.back().depth.value;
    if (next == note.bend_path.begin()) return next->depth.value;
    const auto before = next - 1;
    const double part = (t - before->at.value) / (next->at.value - before->at.value);
    return before->depth.value + part * (next->depth.value - before->depth.value);
}

double deepest(const hear::HeardNote& note) {
    double depth = note.bend.value;
    for (const hear::BendSample& s : note.bend_path) depth = std::max(depth, s.depth.value);
    return depth;
}

std::size_t index(Kind kind) {
    return static_cast<std::size_t>(kind);
}

template <class Fits>
Hits count(std::size_t planted, std::size_t answered, Fits fits) {
    return {match(planted, answered, fits).size(), answered, planted};
}

void count_kinds(Score& score, const harp::Harp& harp, std::span<const TruthNote> truth,
                 std::span<const hear::HeardNote> answer) {
    std::vector<hear::HeardNote> planted;
    for (const TruthNote& t : truth) planted.push_back(t.note);
    const auto of_truth = kinds_of(planted);
    const auto of_answer = kinds_of(answer);
    for (std::size_t kind = 0; kind < kind_count; ++kind) {
        std::vector<std::size_t> t;
        std::vector<std::size_t> a;
        for (std::size_t i = 0; i < truth.size(); ++i)
            if ((of_truth[i] >> kind & 1U) != 0) t.push_back(i);
        for (std::size_t i = 0; i < answer.size(); ++i)
            if ((of_answer[i] >> kind & 1U) != 0) a.push_back(i);
        score.kinds[kind] = count(t.size(), a.size(), [&](std::size_t i, std::size_t j) {
            return onset_fits(truth[t[i]], answer[a[j]]) && tab_fits(harp, truth[t[i]], answer[a[j]], false);
        });
    }
}

void measure_errors(Score& score, const TruthNote& truth, const hear::HeardNote& answer) {
    score.onset_errors_s.push_back((answer.onset - truth.note.onset).value);
    const bool bent = truth.note.tab.bent_hole != 0;
    const bool falls = has(truth.note, Gesture::fall);
    if (bent && !falls) score.bend_errors_cents.push_back((answer.bend - truth.note.bend).value * 100.0);
    const bool moves = falls || has(truth.note, Gesture::scoop) || has(truth.note, Gesture::dip);
    if ((!bent && !moves) || truth.note.bend_path.empty()) return;
    // The first 50 ms are attack, the last 30 ms release: a pitch has to have sounded before it can be read.
    for (const hear::BendSample& s : answer.bend_path) {
        if (s.at < truth.note.onset + Seconds{0.05} || s.at > truth.note.offset - Seconds{0.03}) continue;
        score.path_errors_cents.push_back((s.depth.value - depth_at(truth.note, s.at.value)) * 100.0);
    }
}

void count_frames(Score& score, std::span<const TruthNote> truth, std::span<const hear::Frame> frames,
                  Seconds length) {
    std::size_t frame = 0;
    std::size_t note = 0;
    for (double t = 0.0; t < length.value; t += hear::frame_step.value) {
        while (frame + 1 < frames.size() &&
               std::abs(frames[frame + 1].at.value - t) <= std::abs(frames[frame].at.value - t))
            ++frame;
        const bool seen = frame < frames.size() && std::abs(frames[frame].at.value - t) <= 0.011;
        const double hz = seen ? frames[frame].pitch.value : 0.0;
        while (note < truth.size() && truth[note].note.offset.value <= t) ++note;
        const bool sounds = note < truth.size() && truth[note].note.onset.value <= t;
        if (!sounds) {
            if (note > 0 && t < (truth[note - 1].note.offset + ring).value) continue;
            ++score.silent;
            if (hz > 0.0) ++score.silent_filled;
            continue;
        }
        ++score.voiced;
        if (hz <= 0.0) continue;
        ++score.voiced_found;
        const TruthNote& now = truth[note];
        const double midi = 69.0 + 12.0 * std::log2(hz / 440.0);
        const double lead = now.note.pitch.midi + now.note.bend.value - depth_at(now.note, t);
        bool right = std::abs(midi - lead) < 0.5;
        for (const Pitch p : now.pitches)
            right = right || (now.pitches.size() > 1 && std::abs(midi - p.midi) < 0.5);
        if (right) ++score.voiced_right;
    }
}

}  // namespace

std::string_view name(Kind kind) noexcept {
    constexpr std::array<std::string_view, kind_count> names = {"plain",    "bend",  "release",     "slide",
                                                                "repeated", "scoop", "fall",        "dip",
                                                                "vibrato",  "shake", "double stop", "octave"};
    return names[index(kind)];
}

std::vector<std::uint16_t> kinds_of(std::span<const hear::HeardNote> notes) {
    std::vector<std::uint16_t> all;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const hear::HeardNote& note = notes[i];
        const hear::HeardNote* before = i == 0 ? nullptr : &notes[i - 1];
        unsigned kinds = 0;
        const auto is = [&](Kind kind) { kinds |= 1U << index(kind); };
        const auto& holes = note.tab.holes;
        const bool bent = note.tab.bend_quarter_steps > 0;
        if (note.tab.chord())
            is(holes.size() == 2 && holes[1] - holes[0] > 2 ? Kind::octave : Kind::double_stop);
        if (has(note, Gesture::scoop)) is(Kind::scoop);
        if (has(note, Gesture::fall)) is(Kind::fall);
        if (has(note, Gesture::dip)) is(Kind::dip);
        if (has(note, Gesture::vibrato)) is(Kind::vibrato);
        if (has(note, Gesture::shake)) is(Kind::shake);
        if (note.joined && before != nullptr) {
            const bool same_reed = holes == before->tab.holes && note.tab.breath == before->tab.breath;
            is(!same_reed                                                     ? Kind::slide
               : note.tab.bend_quarter_steps < before->tab.bend_quarter_steps ? Kind::release
                                                                              : Kind::bend);
        } else if (bent) {
            is(Kind::bend);
        }
        if (!note.joined && before != nullptr && before->tab == note.tab &&
            note.onset - before->offset < Seconds{0.15})
            is(Kind::repeated);
        if (kinds == 0) is(Kind::plain);
        all.push_back(static_cast<std::uint16_t>(kinds));
    }
    return all;
}

bool onset_fits(const TruthNote& truth, const hear::HeardNote& answer) {
    return distance_s(truth.note.onset, answer.onset) <= onset_window.value;
}

bool pitch_fits(const TruthNote& truth, const hear::HeardNote& answer) {
    return std::any_of(truth.pitches.begin(), truth.pitches.end(), [&](Pitch p) {
        return std::abs((answer.pitch - p).value) * 100.0 <= pitch_window.value;
    });
}

bool offset_fits(const TruthNote& truth, const hear::HeardNote& answer) {
    const double length = (truth.note.offset - truth.note.onset).value;
    return distance_s(truth.note.offset, answer.offset) <= std::max(onset_window.value, 0.2 * length);
}

bool tab_fits(const harp::Harp& harp, const TruthNote& truth, const hear::HeardNote& answer, bool strictly) {
    const lick::Tab& want = truth.note.tab;
    const lick::Tab& got = answer.tab;
    if (got.holes.empty() || want.overbend != got.overbend) return false;
    const bool same = want.holes == got.holes && want.breath == got.breath &&
                      (!want.chord() || want.bent_hole == got.bent_hole);
    const auto sound = [&](const lick::Tab& tab) {
        return harp::made_for(harp, {tab.holes.front(), tab.breath});
    };
    const bool alike = !strictly && !want.chord() && !got.chord() && !want.overbend && want.bent_hole == 0 &&
                       got.bent_hole == 0 && sound(want) == sound(got);
    if (!same && !alike) return false;
    const double lowest = has(truth.note, Gesture::fall) ? deepest(truth.note) : truth.note.bend.value;
    constexpr double rounding = 1e-9;
    return answer.bend.value >= truth.note.bend.value - bend_window.value - rounding &&
           answer.bend.value <= lowest + bend_window.value + rounding;
}

Score& Score::operator+=(const Score& more) {
    takes += more.takes;
    onset += more.onset;
    pitch += more.pitch;
    offset += more.offset;
    tab += more.tab;
    tab_strictly += more.tab_strictly;
    for (std::size_t k = 0; k < kind_count; ++k) kinds[k] += more.kinds[k];
    voiced += more.voiced;
    voiced_found += more.voiced_found;
    voiced_right += more.voiced_right;
    silent += more.silent;
    silent_filled += more.silent_filled;
    const auto append = [](auto& to, const auto& from) { to.insert(to.end(), from.begin(), from.end()); };
    append(judged, more.judged);
    append(onset_errors_s, more.onset_errors_s);
    append(bend_errors_cents, more.bend_errors_cents);
    append(path_errors_cents, more.path_errors_cents);
    return *this;
}

Score score(const harp::Harp& harp, std::span<const TruthNote> truth, const hear::Heard& answer,
            Seconds length) {
    const std::span<const hear::HeardNote> notes{answer.notes};
    const auto counted = [&](auto fits) {
        return count(truth.size(), notes.size(), [&](std::size_t t, std::size_t a) {
            return onset_fits(truth[t], notes[a]) && fits(truth[t], notes[a]);
        });
    };
    Score score{};
    score.takes = 1;
    score.onset = counted([](const auto&, const auto&) { return true; });
    score.pitch = counted(pitch_fits);
    score.offset =
        counted([](const auto& t, const auto& a) { return pitch_fits(t, a) && offset_fits(t, a); });
    score.tab_strictly = counted([&](const auto& t, const auto& a) { return tab_fits(harp, t, a, true); });
    const auto pairs = match(truth.size(), notes.size(), [&](std::size_t t, std::size_t a) {
        return onset_fits(truth[t], notes[a]) && tab_fits(harp, truth[t], notes[a], false);
    });
    score.tab = {pairs.size(), notes.size(), truth.size()};
    std::vector<bool> right(notes.size());
    for (const auto& [t, a] : pairs) {
        right[a] = true;
        measure_errors(score, truth[t], notes[a]);
    }
    for (std::size_t a = 0; a < notes.size(); ++a) score.judged.push_back({notes[a].confidence, right[a]});
    count_kinds(score, harp, truth, notes);
    count_frames(score, truth, answer.frames, length);
    return score;
}

Score score_in_order(const harp::Harp& harp, std::span<const TruthNote> truth,
                     std::span<const hear::HeardNote> answer) {
    // The longest common subsequence.
    const auto matched = [&](bool strictly) {
        std::vector<std::size_t> above(answer.size() + 1);
        for (const TruthNote& t : truth) {
            std::vector<std::size_t> row(answer.size() + 1);
            for (std::size_t a = 0; a < answer.size(); ++a)
                row[a + 1] =
                    tab_fits(harp, t, answer[a], strictly) ? above[a] + 1 : std::max(above[a + 1], row[a]);
            above = row;
        }
        return Hits{above.back(), answer.size(), truth.size()};
    };
    Score score{};
    score.takes = 1;
    score.tab = matched(false);
    score.tab_strictly = matched(true);
    return score;
}

std::optional<double> percentile_of_sizes(std::span<const double> values, double part) {
    if (values.empty()) return std::nullopt;
    std::vector<double> sizes;
    for (const double v : values) sizes.push_back(std::abs(v));
    const auto at = static_cast<std::ptrdiff_t>(part * static_cast<double>(sizes.size() - 1) + 0.5);
    std::nth_element(sizes.begin(), sizes.begin() + at, sizes.end());
    return sizes[static_cast<std::size_t>(at)];
}

}  // namespace lw::listening
