// SPDX-License-Identifier: GPL-3.0-or-later
//
// Scores as lines to read.
#pragma once

#include <string>
#include <string_view>

#include "tests/hear/listening/score.hpp"

namespace lw::bench {

void print_head();
/// `wanted` is the tab F1 this condition should reach; 0 prints none.
void print_row(std::string_view condition, std::string_view who, const listening::Score& score,
               double wanted);
/// How well each kind of note is found.
void print_kinds(const listening::Score& score);
/// Confidence against what came true.
void print_reliability(const listening::Score& score);
/// Errors of time and pitch of the notes that were found.
void print_errors(std::string_view title, const listening::Score& score);
/// Truth on the left, the answer that fits it on the right; what fits nothing stands alone.
void print_side_by_side(const harp::Harp& harp, std::span<const listening::TruthNote> truth,
                        const hear::Heard& answer);

}  // namespace lw::bench
