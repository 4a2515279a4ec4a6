// SPDX-License-Identifier: GPL-3.0-or-later
//
// A phrase in the hands of a person: early and late by some milliseconds, louder and softer, bends not quite on the
// note, a harp that is not quite in tune. What comes out is two things that agree exactly: voices for the samples, and
// the truth of what was planted, in the form in which the ear answers.
//
// An onset is where the breath was told to begin. A reed sample needs 10 to 90 ms from there to half its level (the low
// ones longest), as a reed does, so an ear that waits for the sound is late. A joined note begins where its pitch has
// left the old one by 20 cents.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "engine/hear/hear.hpp"
#include "tests/hear/listening/phrase.hpp"
#include "tests/hear/listening/reed_samples.hpp"

namespace lw::listening {

struct TruthNote {
    hear::HeardNote note;  // confidence 1; the bend is the one played, the tab the one meant
    Beats at;              // straight, from the first downbeat
    Beats length;
    std::vector<Pitch> pitches;  // of every hole, by hole, settled; of a shake the other hole's too
};

struct Playing {
    std::vector<Voice> voices;
    std::vector<TruthNote> truth;  // by onset
    Hz a4{440.0};
    std::array<Cents, 2 * harp::hole_count>
        reeds{};  // against the harp at `a4`, in the order of Tuning::semitones
    std::vector<Seconds>
        beats;  // when each felt beat falls, from the first downbeat; a person's, so not even
    Seconds length;
};

struct PlayerWishes {
    bool to_a_click = false;  // keeps the tempo, and leaves room for a bar of count
    double timing_sd_s = 0.008;
};

/// `samples` are asked how far off their keys sound: in half of the takes a reed keeps its sample's error (35 cents at
/// most), and the truth has it too; in the other half it is taken out.
[[nodiscard]] Playing play(const Phrase& phrase, std::uint64_t seed, ReedSamples& samples,
                           const PlayerWishes& wishes = {});

}  // namespace lw::listening
