// SPDX-License-Identifier: Apache-2.0
//
// Which harp, and which position? A phrase heard without a harp is a row of pitches. Every harp that is made is asked
// how likely a player would have played that row on it, in each of the twelve positions, and the answers are weighed
// against how common harp and position are. What fits several harps is listed with all of them: three notes of a scale
// lie on most harps, and no listener could say more.
//
// The model of a player is a chain: from each note to the next, near holes likelier than far ones, plain notes likelier
// than bends, overbends rare, degrees of the key as blues and folk phrases use them. Its numbers stand in
// rank_harps.cpp: common practice, no source.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "engine/hear/hear.hpp"

namespace lw::coach {

struct HarpGuess {
    harp::Harp harp;
    double probability = 0.0;           // 0..1; of all harps together 1
    int position = 2;                   // the likeliest on this harp
    double position_probability = 0.0;  // given this harp
    int bends = 0;                      // notes that have to be bent
    int overbends = 0;
    int strangers = 0;  // notes that this harp does not have at all
    [[nodiscard]] bool fits() const noexcept { return strangers == 0 && overbends == 0; }
};

/// All harps that are made in the standard tuning, likeliest first; empty without notes. `a4` is the recording's.
/// Notes that carry holes are taken by their pitch too.
[[nodiscard]] std::vector<HarpGuess> rank_harps(std::span<const hear::HeardNote> notes,
                                                Hz a4 = harp::concert_a4);

/// The chance of each position, 1 to 12, when the harp is known: entry 0 is 1st position. Even without notes.
[[nodiscard]] std::array<double, 12> rank_positions(const harp::Harp& harp,
                                                    std::span<const hear::HeardNote> notes,
                                                    Hz a4 = harp::concert_a4);

}  // namespace lw::coach
