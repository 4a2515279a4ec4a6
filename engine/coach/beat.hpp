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

#include <cstdint>
#include <optional>
#include <span>
#include <string>
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

/// Another way to count the take that may be the right one.
struct SecondGuess {
    enum class About : std::uint8_t { feel, tempo, meter };
    About about = About::feel;
    lick::Meter meter;
    lick::Feel feel;
    BeatsPerMinute tempo;
    double chance = 0.0;  // against the first guess: at most 0.5
};

struct BeatMap {
    lick::Meter meter;
    lick::Feel feel;
    BeatsPerMinute tempo;         // middle of all beats
    std::vector<Seconds> beats;   // when every beat fell, from the one that holds the first note
    std::int64_t first_beat = 0;  // the number of beats[0]; 0 is the first downbeat
    std::vector<Placed> notes;    // beside the notes that were given
    double price = 0.0;           // of the whole row, in natural units of information
    /// Of what was not given: at most one for feel, tempo and meter each, likeliest first, none below `real_chance`.
    /// Only what would be written, or sound, otherwise.
    std::vector<SecondGuess> second_guesses;
};
/// In takes whose count is known (bench/hear, draft_table) a second guess that is told is right in more than this share,
/// and one that is not told in less than one of twenty.
inline constexpr double real_chance = 0.15;

/// `the tempo: 92, or 61 in 12/8 (24 %): --tempo 61 --meter 12/8`
[[nodiscard]] std::string say(const BeatMap& map, const SecondGuess& guess);

/// Places every note. Without notes: an empty map at the given tempo, or 90. Deterministic. Cost: linear in the
/// length of the take: some milliseconds for every second when nothing is given, a tenth of that with a tempo.
[[nodiscard]] BeatMap find_beat(std::span<const hear::HeardNote> notes, const BeatGiven& given = {});

}  // namespace lw::coach
