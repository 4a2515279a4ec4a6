// SPDX-License-Identifier: GPL-3.0-or-later
//
// Takes without sound: a lick is played in time (engine/sound), its notes become what a perfect ear would have heard,
// and slips are planted where a test says. The tempo drifts and the hands scatter as a person's do.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string_view>
#include <vector>

#include "engine/coach/compare.hpp"
#include "engine/sound/performance.hpp"
#include "engine/text/text.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::test {

inline lick::Lick typed(std::string_view text) {
    const text::LickReading reading = text::read_lick(text);
    EXPECT_TRUE(reading.ok()) << text;
    return reading.lick;
}

struct Player {
    double tempo = 0.0;    // beats a minute; 0 is the lick's own
    double drift = 1.0;    // tempo at the end against the start
    double scatter = 0.0;  // standard deviation of onsets, seconds
    double start = 0.7;    // silence before it
    std::uint64_t seed = 1;
};

/// About normal, from twelve dice (Irwin-Hall).
inline double bell(support::Dice& dice) {
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) sum += static_cast<double>(dice.next() >> 11) * 0x1p-53;
    return sum;
}

/// One heard note for each note of Unfolded::notes, in order.
inline std::vector<hear::HeardNote> heard(const lick::Lick& lick, const Player& player = {}) {
    const double tempo = player.tempo > 0.0 ? player.tempo : lick.head.tempo.value;
    const sound::Performance p = sound::perform(lick, {BeatsPerMinute{tempo}, 1, false, false});
    support::Dice dice{player.seed};
    const double end = p.length.value;
    const auto warp = [&](double t) {  // seconds a beat fall evenly from 1 to 1 / drift
        return player.start + t - 0.5 * t * t / end * (1.0 - 1.0 / player.drift);
    };
    std::vector<hear::HeardNote> notes;
    for (const sound::SoundedNote& s : p.notes) {
        hear::HeardNote n;
        n.onset = Seconds{warp(s.onset.value) + player.scatter * bell(dice)};
        n.offset = Seconds{warp(s.offset.value)};
        if (!notes.empty() && s.how != lick::Start::attack) notes.back().offset = n.onset;
        n.tab = s.tab;
        n.joined = s.how != lick::Start::attack;
        n.bend = bend_at(s, s.offset);
        n.bend_start = bend_at(s, s.onset);
        const auto pitch = harp::pitch(lick.head.harp, s.tab.note_of(s.tab.lead_hole()));
        n.pitch = pitch ? *pitch : Pitch{60.0};
        n.confidence = 0.95;
        if (!s.tab.overbend)
            for (double t = n.onset.value; t < n.offset.value; t += hear::frame_step.value) {
                const double part = (t - n.onset.value) / std::max(1e-3, (n.offset - n.onset).value);
                n.bend_path.push_back({Seconds{t}, bend_at(s, s.onset + (s.offset - s.onset) * part)});
            }
        for (const lick::PlayedOrnament& o : s.ornaments)
            n.gestures.push_back({o.ornament.gesture, o.ornament.other_hole, n.onset});
        notes.push_back(std::move(n));
    }
    return notes;
}

inline void shift(hear::HeardNote& n, double seconds) {
    n.onset += Seconds{seconds};
    n.offset += Seconds{seconds};
    for (hear::BendSample& s : n.bend_path) s.at += Seconds{seconds};
    for (hear::HeardGesture& g : n.gestures) g.at += Seconds{seconds};
}

/// The onset alone: the note still ends where it did.
inline void late(hear::HeardNote& n, double seconds) {
    n.onset += Seconds{seconds};
    if (seconds < 0.0) {  // the way into a bend comes early too
        for (hear::BendSample& s : n.bend_path) s.at += Seconds{seconds};
        while (!n.bend_path.empty() && n.bend_path.back().at + hear::frame_step < n.offset)
            n.bend_path.push_back({n.bend_path.back().at + hear::frame_step, n.bend_path.back().depth});
        return;
    }
    std::erase_if(n.bend_path, [&](const hear::BendSample& s) { return s.at < n.onset; });
}

inline void bend_by(hear::HeardNote& n, double semitones) {
    n.bend += Semitones{semitones};
    n.bend_start += Semitones{semitones};
    n.pitch = n.pitch - Semitones{semitones};
    for (hear::BendSample& s : n.bend_path) s.depth += Semitones{semitones};
}

inline void play_instead(hear::HeardNote& n, const lick::Lick& lick, const lick::Tab& tab) {
    n.tab = tab;
    const auto pitch = harp::pitch(lick.head.harp, tab.note_of(tab.lead_hole()));
    n.pitch = pitch ? *pitch : n.pitch;
    n.bend = n.bend_start = tab.bend();
    n.joined = false;
    for (hear::BendSample& s : n.bend_path) s.depth = tab.bend();
}

/// All faults of a comparison, one word each: `missing 3`, `late 5`. What a test plants must be all there is.
inline std::vector<std::string> faults(const coach::Comparison& c) {
    std::vector<std::string> all;
    for (const coach::NoteGrade& g : c.notes) {
        const std::string n = " " + std::to_string(g.note);
        if (g.came == coach::Came::missing) all.push_back("missing" + n);
        if (g.came == coach::Came::wrong) all.push_back((g.wrong_bend ? "wrong bend" : "wrong") + n);
        if (g.late) all.push_back("late" + n);
        if (g.early) all.push_back("early" + n);
        if (g.cut_short) all.push_back("short" + n);
        if (g.too_long) all.push_back("long" + n);
        if (g.came == coach::Came::right && g.flat) all.push_back("flat" + n);
        if (g.came == coach::Came::right && g.sharp) all.push_back("sharp" + n);
        for (const lick::Gesture missed : g.gestures_missed)
            all.push_back("no " + std::string{lick::word(missed)} + n);
    }
    for (const coach::Extra& e : c.extras)
        all.push_back((e.repeated ? "repeated before " : "extra before ") + std::to_string(e.before));
    for (const coach::Stall& s : c.stalls) all.push_back("stop before " + std::to_string(s.before));
    return all;
}

inline constexpr std::string_view porch =
    "harp: C\nposition: 2\nmeter: 4/4\ntempo: 92\nfeel: swing\n"
    "tab | . (2d 3d' 4b) 4d' >4d | (4d 3d') >3d . 2d{vibrato} | (2d 2d'') (1d 1b 1+4b) 2d'' >2d |\n";
inline constexpr std::string_view gate =
    "harp: A\nposition: 2\ntempo: 76\n"
    "tab | . (. 2d) (3d' 3d 4b 4d) 4d{dip} | 4b - (5b 4b) 3b | (2d 3d') >3dq ((4d' >4d) 4b) 4d |"
    " (3d' 2d'') 2d - . |\n";
inline constexpr std::string_view straight =
    "harp: D\nposition: 1\ntempo: 110\nmeter: 4/4\n"
    "tab | 4b (4d 5b) 5d (6b 5b) | 4d 4b - . | (6b 6d) (6b 5b) 4d (5b 4d) | 4b - - - |\n";

}  // namespace lw::test
