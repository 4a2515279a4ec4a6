// SPDX-License-Identifier: Apache-2.0
//
// Which heard note is which written note. Private to the room.
//
// A cheapest path through pairs (written, heard). A step from pair to pair may leave written notes out, pass over heard
// ones, start over at an earlier written note, take two joined written notes from one heard note whose bend moves, or
// one written note from two heard ones that are joined (not both at one heard note). What sounds alike is free, another
// note costs, and so does a time that the tempo cannot explain. The tempo is not known: a ladder of tempos is tried and
// the cheapest path wins. At one tempo it is the cheapest of all (tests/coach/align_test.cpp tries every one).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "engine/coach/written.hpp"

namespace lw::coach {

struct Match {
    std::size_t written = 0;
    std::size_t heard = 0;
    Seconds onset;           // of the heard note, or where its bend reaches this written note
    bool shared = false;     // this heard note began as the written note before
    std::size_t pieces = 1;  // heard notes it was taken from: `heard`, `heard` + 1 ...
    int go = 0;              // rises by one with every new start
};

struct Alignment {
    std::vector<Match> matches;  // in order of heard notes
    double seconds_a_beat = 0.0;
    double cost = 0.0;
};

[[nodiscard]] Alignment align(const harp::Harp& harp, std::span<const WrittenNote> written,
                              std::span<const hear::HeardNote> take, double written_seconds_a_beat);
/// The same at one tempo that is known.
[[nodiscard]] Alignment align_at(const harp::Harp& harp, std::span<const WrittenNote> written,
                                 std::span<const hear::HeardNote> take, double seconds_a_beat);

/// Costs, in units of one heard note too many. Common practice, no source: set so that planted slips of every kind are
/// told apart (tests/coach).
namespace costs {
inline constexpr double missing = 1.3;
inline constexpr double extra = 1.0;
inline constexpr double start_over = 3.0;         // in the middle of the phrase
inline constexpr double again = 1.2;              // from its end
inline constexpr double start_over_inside = 0.3;  // more, when not at the first note
inline constexpr double again_inside = 1.0;
inline constexpr double shared_pieces = 0.15;
inline constexpr double shared_likeness = 0.5;  // of how unlike the second written note of one heard note is
inline constexpr double continued_likeness =
    0.3;  // of how unlike the second heard note of one written note is
/// Time: half the square of how far an interval is from what is due, in these units, up to `most_for_time`.
inline constexpr double slip_of_the_hand = 0.05;  // seconds
inline constexpr double change_of_tempo = 0.18;   // of the time that is due
inline constexpr double most_for_time = 1.5;
/// A heard note that is passed over costs `extra` times its confidence, but at least this much of it ...
inline constexpr double least_sure = 0.3;
/// ... and less when it is over in less than 60 ms.
inline constexpr double brief_note = 0.06;
inline constexpr double brief_share = 0.6;
}  // namespace costs

/// Where a heard note's bend leaves `from` for `to` for good: 20 cents past the old pitch.
[[nodiscard]] std::optional<Seconds> bend_turns(const hear::HeardNote& heard, Semitones from, Semitones to,
                                                Seconds not_before);

}  // namespace lw::coach
