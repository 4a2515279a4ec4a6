// SPDX-License-Identifier: GPL-3.0-or-later
//
// An answer held against the truth: how many notes were found, with which pitch, on which hole; which gestures; how far
// off in time and in cents; and whether the confidences mean anything. Scores of takes add up.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "engine/hear/hear.hpp"
#include "tests/hear/listening/calibration.hpp"
#include "tests/hear/listening/matching.hpp"
#include "tests/hear/listening/playing.hpp"

namespace lw::listening {

inline constexpr Seconds onset_window{0.05};  // either way, the end included
inline constexpr Cents pitch_window{50.0};    // a note's; the end included
inline constexpr Semitones bend_window{0.5};  // of the tab measure; the end included
inline constexpr Seconds ring{0.12};          // a sample's release: whether it still sounds is not judged

/// What a note is, from its place in the line; a note may be several. Truth and answer are read by the same rules.
enum class Kind : std::uint8_t {
    plain,     // one hole, unbent, attacked, no gesture, no repeat
    bend,      // attacked bent, or joined to a deeper place of the same reed
    release,   // joined to a shallower place of the same reed
    slide,     // joined to another hole
    repeated,  // attacked again on the same tab within 0.15 s
    scoop,
    fall,
    dip,
    vibrato,
    shake,
    double_stop,
    octave,
};
inline constexpr std::size_t kind_count = 12;
[[nodiscard]] std::string_view name(Kind kind) noexcept;
/// One bit a kind.
[[nodiscard]] std::vector<std::uint16_t> kinds_of(std::span<const hear::HeardNote> notes);

// Whether one note of the answer fits one of the truth. Times are rounded to 0.1 ms first, as mir_eval does.
[[nodiscard]] bool onset_fits(const TruthNote& truth, const hear::HeardNote& answer);
[[nodiscard]] bool pitch_fits(const TruthNote& truth, const hear::HeardNote& answer);
/// Within 0.05 s or a fifth of the note, whichever is more.
[[nodiscard]] bool offset_fits(const TruthNote& truth, const hear::HeardNote& answer);
/// Hole and breath exact, the bend within half a semitone. Not `strictly`, another hole in which the same pitch is
/// unbent (3 blow for 2 draw) counts as well. In a fall any depth on its way is right.
[[nodiscard]] bool tab_fits(const harp::Harp& harp, const TruthNote& truth, const hear::HeardNote& answer,
                            bool strictly);

struct Score {
    std::size_t takes = 0;
    Hits onset;
    Hits pitch;                            // and onset
    Hits offset;                           // and pitch and onset
    Hits tab;                              // and onset
    Hits tab_strictly;                     // 2 draw is not 3 blow
    std::array<Hits, kind_count> kinds{};  // found as what they are, with the right tab

    // Frames of 10 ms. Pitch is right when it is less than 50 cents from any reed that sounds.
    std::size_t voiced = 0;
    std::size_t voiced_found = 0;
    std::size_t voiced_right = 0;
    std::size_t silent = 0;
    std::size_t silent_filled = 0;

    std::vector<Judged> judged;             // every note of the answer; right as `tab` says
    std::vector<double> onset_errors_s;     // of notes whose tab is right; positive is late
    std::vector<double> bend_errors_cents;  // the same, of those that are bent: at their settled end
    std::vector<double> path_errors_cents;  // every frame inside bent notes and gestures of pitch

    Score& operator+=(const Score& more);
};

/// One take. `length` ends the frames.
[[nodiscard]] Score score(const harp::Harp& harp, std::span<const TruthNote> truth, const hear::Heard& answer,
                          Seconds length);

/// When the truth says what was played but not when: notes are matched in order, as many as can be, and only `tab` and
/// `tab_strictly` are filled.
[[nodiscard]] Score score_in_order(const harp::Harp& harp, std::span<const TruthNote> truth,
                                   std::span<const hear::HeardNote> answer);

/// `part` 0.5 is the median of the sizes of the values; nothing of nothing.
[[nodiscard]] std::optional<double> percentile_of_sizes(std::span<const double> values, double part);

}  // namespace lw::listening
