// SPDX-License-Identifier: GPL-3.0-or-later
//
// Counting hits the way the literature does: every note of the truth may be matched with at most one note of the answer
// and the other way round, and of all such matchings the largest counts (mir_eval: C. Raffel et al., ISMIR 2014; rules
// and defaults read in its code [S28 V]).
#pragma once

#include <cstddef>
#include <functional>
#include <utility>
#include <vector>

namespace lw::listening {

/// Pairs (of the truth, of the answer). `fits` is asked for every pair that could be.
/// Kuhn's augmenting paths: at most truth x pairs steps; phrases are short.
[[nodiscard]] std::vector<std::pair<std::size_t, std::size_t>> match(
    std::size_t truth, std::size_t answer, const std::function<bool(std::size_t, std::size_t)>& fits);

/// Sums over takes.
struct Hits {
    std::size_t matched = 0;
    std::size_t answered = 0;
    std::size_t planted = 0;
    /// Of what was answered, how much is true; 0 when nothing was answered.
    [[nodiscard]] double precision() const noexcept;
    /// Of what was planted, how much was found; 0 when nothing was planted.
    [[nodiscard]] double recall() const noexcept;
    /// Their harmonic mean.
    [[nodiscard]] double f1() const noexcept;
    Hits& operator+=(const Hits& more) noexcept;
};

}  // namespace lw::listening
