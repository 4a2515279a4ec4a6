// SPDX-License-Identifier: Apache-2.0
//
// One cycle of a free reed's sound, at five strengths of breath, plain and bent, with as many harmonics as
// the pitch leaves room for.
//
// A reed's tip swings almost like a sine but the air it lets through does not (Cottingham, Lilly & Reed, The
// motion of air-driven free reeds, c. 1999, abstract): the slot opens on both sides of the plate, so that the
// second harmonic is strong, stronger than the fundamental in one informal set of recordings (player mailing
// list, 21 Jan 2019). The harder the breath, the sharper the pulse. A bend is made by tuning the mouth near
// the fundamental (Egbert et al., POMA 19, 035075, 2013, abstract): the fundamental gains and the top goes
// dull. How much of each is our own choice by measuring and comparing; no recording is copied.
//
// Layout: `at` is read by linear interpolation; for each place in the cycle stand plain and bent of strength
// 0, plain and bent of strength 1, ... so that any mix of two strengths and of bent and plain is four
// neighbours.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::sound {

class ReedTables {
  public:
    static constexpr int strengths = 5;
    static constexpr int row = 2 * strengths;  // floats at one place of the cycle

    struct Level {
        int harmonics = 0;
        int size_bits = 0;      // places in a cycle, as a power of two
        std::vector<float> at;  // (size + 1) rows; the last repeats the first
    };

    /// Some 3 ms and 1 MB; make one and share it between voices. Nothing in it depends on harp or rate.
    ReedTables();
    /// The richest level whose harmonics all stay below `top` for a fundamental of `highest`.
    [[nodiscard]] const Level& level_for(Hz highest, Hz top) const noexcept;
    [[nodiscard]] const std::vector<Level>& levels() const noexcept { return levels_; }

  private:
    std::vector<Level> levels_;  // by rising harmonics; the first is a bare sine
};

}  // namespace lw::sound
