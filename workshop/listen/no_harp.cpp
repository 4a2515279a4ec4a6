// SPDX-License-Identifier: GPL-3.0-or-later
//
// Refusing what is no harp. A take that is refused is lost to its player, so every line below is drawn far from what
// players do (tests/listen): wrong notes and noise alone never refuse.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "workshop/listen/listening.hpp"

namespace lw::listen {
namespace {

using hear::Heard;
using hear::HeardNote;

constexpr double silent_db = -60.0;
/// A plucked or struck string is loudest when it is let go, and dies from there on, on every note. A reed takes its time
/// to speak, and if it fades on many notes it does not on all. What most guitars, banjos and pianos of two soundfonts do, and
/// none of 430 takes of free reeds, in rooms, through phones, over bands and under a click (phrases of both: tests/listen).
/// Strings that ring on (distorted guitars, electric pianos, some of nylon and steel) do not, and pass:
/// - most notes are loudest at once and fade fast, and nine in ten of them fade;
/// - or the fading is slower, as of an electric guitar, and nine notes in ten are loudest at once;
/// - or there are few notes, and each dies faster than a breath lets go.
constexpr Seconds soon{0.035}, at_once{0.025}, still_at_once{0.030};
constexpr double fast = -15.0, fast_nearly_all = -12.0;  // dB a second
constexpr double slow = -8.0, slow_nearly_all = -3.0;
constexpr double dead = -30.0;
constexpr Seconds long_enough{0.11};
constexpr std::size_t least_to_judge = 4, least_of_dead = 2;

/// What the ear itself thinks of the notes: log-odds that a free reed plays, all their frames together. Of 486 takes of free
/// reeds, bands behind a third of them, four lie below, none of FluidR3's (bench/hear/refuse_table).
constexpr double other_than_reeds = -2.5;
constexpr Seconds enough_to_say{1.5};
/// Talk has vowels that sound like short notes. Where so much of what is loud has no pitch, a phrase as short as a vowel is judged,
/// and less strangeness is enough. Of 260 takes of free reeds, bands behind a third of them, three had more than 0.36 without a
/// pitch, and none of these odds below -1.1; of twenty sentences by voices of flite (tests/listen/talk_test.cpp) fourteen had notes,
/// 0.38 to 0.99 without a pitch, and odds below -2.2; those with 0.45 and less, below -4.5.
constexpr double without_a_pitch = 0.45, much_without_a_pitch = 0.30;
constexpr double other_than_reeds_in_noise = -1.5, far_from_reeds = -3.8;
constexpr Seconds vowel{0.05};

/// The value below which `part` of them lie.
double quantile(std::vector<double> v, double part) {
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(part * static_cast<double>(v.size() - 1) + 0.5);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

/// How the level runs through a note.
struct Run {
    double slope;    // dB a second: a line from 50 ms in to 20 ms before its end, of the first 0.6 s
    double loudest;  // seconds from its onset
};

std::optional<Run> run_of(const Heard& heard, const HeardNote& note) {
    const double length = (note.offset - note.onset).value;
    if (length < long_enough.value) return std::nullopt;
    double n = 0.0, t_sum = 0.0, l_sum = 0.0, tt = 0.0, tl = 0.0, loudest = 0.0, peak = -200.0;
    auto f = std::lower_bound(heard.frames.begin(), heard.frames.end(), note.onset,
                              [](const hear::Frame& frame, Seconds at) { return frame.at < at; });
    for (; f != heard.frames.end(); ++f) {
        const double t = (f->at - note.onset).value, level = f->level.value;
        if (t > length - 0.01) break;
        if (level > peak) {
            peak = level;
            loudest = t;
        }
        if (t < 0.05 || t > std::min(length, 0.6) - 0.02) continue;
        n += 1.0;
        t_sum += t;
        l_sum += level;
        tt += t * t;
        tl += t * level;
    }
    const double spread = n * tt - t_sum * t_sum;
    if (n < 4.0 || spread <= 0.0) return std::nullopt;
    return Run{(n * tl - t_sum * l_sum) / spread, loudest};
}

bool plucked(const Heard& heard) {
    std::vector<double> slopes, loudest;
    for (const HeardNote& note : heard.notes)
        if (const auto run = run_of(heard, note)) {
            slopes.push_back(run->slope);
            loudest.push_back(run->loudest);
        }
    if (slopes.size() < least_of_dead || quantile(loudest, 0.5) > soon.value) return false;
    const double half = quantile(slopes, 0.5), nearly_all = quantile(slopes, 0.9);
    if (quantile(slopes, 1.0) < dead) return true;
    if (slopes.size() < least_to_judge) return false;
    return (half < fast && nearly_all < fast_nearly_all) ||
           (half < slow && nearly_all < slow_nearly_all && quantile(loudest, 0.5) < at_once.value &&
            quantile(loudest, 0.9) < still_at_once.value);
}

/// Mean log-odds of free reeds within notes; 0 when they last less than `enough`.
double reed_odds(const Heard& heard, Seconds enough) {
    double sum = 0.0;
    std::size_t frames = 0;
    auto note = heard.notes.begin();
    for (const hear::Frame& f : heard.frames) {
        while (note != heard.notes.end() && note->offset <= f.at) ++note;
        if (note == heard.notes.end()) break;
        if (f.at < note->onset) continue;
        const double p = std::clamp(f.reed, 1e-4, 1.0 - 1e-4);
        sum += std::log(p / (1.0 - p));
        ++frames;
    }
    const double n = static_cast<double>(frames);
    return n * hear::frame_step.value < enough.value - 1e-9 ? 0.0 : sum / n;
}

/// Share of the time with sound in it that notes explain.
double explained(const Heard& heard) {
    double notes = 0.0;
    for (const HeardNote& n : heard.notes) notes += (n.offset - n.onset).value;
    double loudest = -200.0;
    for (const hear::Frame& f : heard.frames) loudest = std::max(loudest, f.level.value);
    double sounding = 0.0;
    for (const hear::Frame& f : heard.frames)
        if (f.level.value > loudest - 25.0) sounding += hear::frame_step.value;
    return sounding > 0.0 ? notes / sounding : 0.0;
}

}  // namespace

std::optional<files::Trouble> no_harp(const Heard& heard, const std::string& name) {
    double loudest = -200.0;
    for (const hear::Frame& f : heard.frames) loudest = std::max(loudest, f.level.value);
    if (loudest < silent_db)
        return files::Trouble{fmt::format("{} is silent (its loudest moment is {:.0f} dB below full scale)",
                                          name, std::max(-loudest, 0.0)),
                              "Record closer to the microphone, or check which input was on."};
    if (heard.notes.empty())
        return files::Trouble{
            fmt::format("no harmonica is heard in {}", name),
            "It holds noise, talk or something else; cut out the phrase with --from and --to."};
    std::vector<double> sure;
    for (const HeardNote& n : heard.notes) sure.push_back(n.confidence);
    if (plucked(heard))
        return files::Trouble{
            fmt::format("{} sounds plucked or struck, like strings, not blown or drawn", name),
            "If it is a harmonica all the same, say --anything."};
    if ((heard.noise > without_a_pitch && reed_odds(heard, vowel) < other_than_reeds_in_noise) ||
        (heard.noise > much_without_a_pitch && reed_odds(heard, vowel) < far_from_reeds))
        return files::Trouble{
            fmt::format("{} sounds like talk or noise more than like a harmonica", name),
            "Cut out the phrase with --from and --to; if it is a harmonica all the same, say "
            "--anything."};
    if (reed_odds(heard, enough_to_say) < other_than_reeds)
        return files::Trouble{fmt::format("{} sounds like something else than a harmonica", name),
                              "If it is a harmonica all the same, say --anything."};
    if (explained(heard) < 0.15 && quantile(sure, 0.5) < 0.4)
        return files::Trouble{
            fmt::format("no harmonica is heard in {} for certain: most of it is something else", name),
            "Cut out the phrase with --from and --to."};
    return std::nullopt;
}

}  // namespace lw::listen
