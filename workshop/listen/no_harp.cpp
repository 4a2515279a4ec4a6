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
/// A plucked or struck string dies from its first moment on, on every note; a breath carries a reed, and if a reed fades
/// on many notes it does not on all. Nine notes in ten of a guitar, a piano or a vibraphone of a soundfont lose 14 dB a
/// second or more, half of them 18; of harmonicas and other free reeds the least of ten loses 6 at most (tests/listen).
constexpr double every_note_loses = -12.0;
constexpr double half_of_them_lose = -15.0;
constexpr Seconds long_enough{0.22};
constexpr std::size_t least_to_judge = 6;

/// The value below which `part` of them lie.
double quantile(std::vector<double> v, double part) {
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(part * static_cast<double>(v.size() - 1) + 0.5);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

/// How the level runs through a note, in dB a second: a line from 60 ms in to 30 ms before its end.
std::optional<double> slope(const Heard& heard, const HeardNote& note) {
    if (note.offset - note.onset < long_enough) return std::nullopt;
    double n = 0.0, t_sum = 0.0, l_sum = 0.0, tt = 0.0, tl = 0.0;
    const auto from = std::lower_bound(heard.frames.begin(), heard.frames.end(), note.onset + Seconds{0.06},
                                       [](const hear::Frame& f, Seconds at) { return f.at < at; });
    for (auto f = from; f != heard.frames.end() && f->at < note.offset - Seconds{0.03}; ++f) {
        const double t = (f->at - note.onset).value;
        n += 1.0;
        t_sum += t;
        l_sum += f->level.value;
        tt += t * t;
        tl += t * f->level.value;
    }
    const double spread = n * tt - t_sum * t_sum;
    if (n < 8.0 || spread <= 0.0) return std::nullopt;
    return (n * tl - t_sum * l_sum) / spread;
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
    std::vector<double> slopes, sure;
    for (const HeardNote& n : heard.notes) {
        if (const auto s = slope(heard, n)) slopes.push_back(*s);
        sure.push_back(n.confidence);
    }
    if (slopes.size() >= least_to_judge && quantile(slopes, 0.5) < half_of_them_lose &&
        quantile(slopes, 0.9) < every_note_loses)
        return files::Trouble{
            fmt::format("{} sounds plucked or struck, like strings, not blown or drawn", name),
            "If it is a harmonica all the same, say --anything."};
    if (explained(heard) < 0.15 && quantile(sure, 0.5) < 0.4)
        return files::Trouble{
            fmt::format("no harmonica is heard in {} for certain: most of it is something else", name),
            "Cut out the phrase with --from and --to."};
    return std::nullopt;
}

}  // namespace lw::listen
