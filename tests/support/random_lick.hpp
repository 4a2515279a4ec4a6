// SPDX-License-Identifier: GPL-3.0-or-later
//
// Licks made by chance, for tests that want a thousand of them: 4 to 16 bars with every element of the
// language (bends, overbends, chords, tongue blocks, joined notes and glides, groups in groups, groups over
// several slots, rests, holds, breaths, gestures, pickups, repeats and endings, chord symbols, long titles).
//
// Every lick is one that the reader takes without an error, and the same seed always gives the same lick.
// They are meant to be hard on the code, not sweet on the ear.
#pragma once

#include <cstdint>

#include "engine/lick/lick.hpp"

namespace lw::support {

/// Random numbers that are the same on every machine (SplitMix64, Steele, Lea & Flood, OOPSLA 2014).
class Dice {
  public:
    explicit constexpr Dice(std::uint64_t seed) noexcept : state_(seed) {}
    constexpr std::uint64_t next() noexcept {
        std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
        return z ^ (z >> 31);
    }
    /// A whole number from `low` to `high`, both included.
    constexpr int roll(int low, int high) noexcept {
        return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
    }
    /// True in `percent` of a hundred throws.
    constexpr bool chance(int percent) noexcept { return roll(1, 100) <= percent; }
    template <class List>
    constexpr const auto& pick(const List& list) noexcept {
        return list[static_cast<std::size_t>(next() % list.size())];
    }

  private:
    std::uint64_t state_;
};

struct Wishes {
    int least_bars = 4;  // full bars, at least 4
    int most_bars = 16;
};

[[nodiscard]] lick::Lick random_lick(std::uint64_t seed, const Wishes& wishes = {});

}  // namespace lw::support
