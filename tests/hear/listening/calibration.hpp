// SPDX-License-Identifier: GPL-3.0-or-later
//
// Is a confidence worth its name? Of the notes said to be right with 0.8, eight of ten should be.
#pragma once

#include <array>
#include <optional>
#include <span>

namespace lw::listening {

struct Judged {
    double confidence = 0.0;  // 0..1
    bool right = false;
};

/// One row of a reliability table: the notes whose confidence lies in one tenth.
struct Reliability {
    std::size_t notes = 0;
    double said = 0.0;   // mean confidence
    double found = 0.0;  // share that is right
};
inline constexpr std::size_t reliability_rows = 10;
[[nodiscard]] std::array<Reliability, reliability_rows> reliability(std::span<const Judged> judged);

/// Expected calibration error: the mean distance of said and found over the rows, each row weighed by its notes
/// (M. P. Naeini, G. Cooper & M. Hauskrecht, AAAI 2015; ten equal rows, from memory). 0 for no notes.
[[nodiscard]] double expected_calibration_error(std::span<const Judged> judged);

/// The chance that a right note has more confidence than a wrong one, ties counted as half (area under the receiver
/// operating curve; J. A. Hanley & B. J. McNeil, Radiology 143(1), 1982, from memory). Nothing unless there are both.
[[nodiscard]] std::optional<double> area_under_curve(std::span<const Judged> judged);

}  // namespace lw::listening
