// SPDX-License-Identifier: Apache-2.0
//
// From seconds to slots: tempo, first beat, meter and feel of a take, and the place of every note in the lick language.
//
// A phrase is a row of beats, each filled in one of the ways that people fill a beat: one note, two, three, a rest, a
// sixteenth at its end. Every way has a price, small where it is common; every onset pays for its distance from the
// place it is given; a beat pays for being longer or shorter than the one before. The cheapest row of beats is the
// answer, so the simplest spelling that the playing allows wins, and a player may drift. Straight, swung and compound
// beats are tried against each other. (The principle of the shortest description: Rissanen, Modeling by shortest data
// description, Automatica 14, 1978. Prices: common practice, no source.)
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "engine/coach/clicks.hpp"
#include "engine/hear/hear.hpp"
#include "engine/lick/lick.hpp"

namespace lw::coach {

/// What is known beforehand.
struct BeatGiven {
    std::optional<BeatsPerMinute> tempo;  // the player may be up to 8 % off it, and drift
    std::optional<lick::Meter> meter;
    std::optional<lick::Feel> feel;
    std::optional<ClickTrack> click;  // found in the recording (clicks.hpp)
};

/// Where a note stands.
struct Placed {
    Beats at;             // straight, from the first downbeat; negative in a pickup
    Beats length;         // to where it ends as it is written; more than 0
    Seconds off;          // the onset against its place: late is more than 0
    bool shared = false;  // no slot of its own was left: it has the place of the note before
};

struct BeatMap {
    lick::Meter meter;
    lick::Feel feel;
    BeatsPerMinute tempo;         // middle of all beats
    std::vector<Seconds> beats;   // when every beat fell, from the one that holds the first note
    std::int64_t first_beat = 0;  // the number of beats[0]; 0 is the first downbeat
    std::vector<Placed> notes;    // beside the notes that were given
    double price = 0.0;           // of the whole row, in natural units of information
    double margin = 0.0;          // how much dearer the best row with another feel is
};

/// Places every note. Without notes: an empty map at the given tempo, or 90. Deterministic. Cost: linear in the
/// length of the take: some milliseconds for every second when nothing is given, a tenth of that with a tempo.
[[nodiscard]] BeatMap find_beat(std::span<const hear::HeardNote> notes, const BeatGiven& given = {});

}  // namespace lw::coach
