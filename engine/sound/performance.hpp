// SPDX-License-Identifier: Apache-2.0
//
// A lick as it is played: seconds, swing, bend paths, clicks. What sounds (reed_voice.hpp), what MIDI says
// (engine/exchange) and what the screen lights (workshop/video) all come from this one list, so they agree.
// The habits of playing behind it (how quick a join is, how deep a dip) stand in habits.hpp.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/lick/lick.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::sound {

/// Depth of the bend at a time. Depth counts down from the unbent reed; a negative depth is above it.
struct BendPoint {
    Seconds at;  // from the start of the clip
    Semitones depth;
};

/// One note of the played line. `bend` is never empty, in order of time, even (in semitones) between its
/// points, and holds its first and last value before and after them. For an overbend, depth 0 is its own
/// pitch.
struct SoundedNote {
    Seconds onset;
    Seconds offset;  // where the breath lets go; equal to the next onset when the next note is joined
    lick::Tab tab;
    lick::Start how = lick::Start::attack;
    std::vector<BendPoint> bend;  // of tab.lead_hole(); the other holes stay as they are
    std::vector<lick::PlayedOrnament> ornaments;
    std::vector<Seconds> ornament_starts;  // beside `ornaments`
    double strength = 0.8;                 // 0..1: how hard the breath is
    int pass = 1;                          // which repeat of the phrase in the clip, from 1
    std::size_t note = 0;                  // index into Unfolded::notes
};

struct Click {
    Seconds at;
    bool first_of_bar = false;
    bool count_in = false;
    int number = 1;  // the beat's number in its bar, as it is counted
};

/// Time on the clip against beats on the line: exact at each point, even between. In order of time; where one
/// pass ends and the next begins two points share a time. The bar to breathe belongs to the pass that it
/// counts in, at beats before that pass begins. The last point is the end of the phrase.
struct BeatTime {
    Seconds at;
    Beats beat;    // unfolded, straight; negative in a pickup and in what counts in
    int pass = 1;  // which repeat of the phrase
};

struct Choices {
    BeatsPerMinute tempo{0.0};  // 0 or less: the lick's own
    int repeats = 1;            // how often the phrase is played; a bar to breathe lies between. Below 1 is 1
    bool count_in = true;       // counts the first time and again in every bar to breathe
    bool click_through = true;
};

struct Performance {
    std::vector<SoundedNote> notes;  // by onset
    std::vector<Click> clicks;       // by time
    std::vector<BeatTime> beats;
    std::vector<Seconds> phrase_starts;  // beat 0 of every repeat
    Seconds length;                      // of the clip, with room for the last note to die
    BeatsPerMinute tempo;
};

/// Plays a lick in time. Count-in: one full bar, then every beat before the first note (a lick that starts on
/// beat two: `1 2 3 4 | 1`; a pickup: the missing beats of its bar). The clip begins on the first counted
/// beat, or without a count-in on the first bar or pickup. Between repeats lies a full bar, and as many beats
/// more as the phrase needs to begin on its own beat of the bar again. Cost: linear in what is played.
[[nodiscard]] Performance perform(const lick::Lick& lick, const Choices& choices = {});

/// The depth of a note's bend path at a time.
[[nodiscard]] Semitones bend_at(const SoundedNote& note, Seconds at) noexcept;

}  // namespace lw::sound
