// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fractions and bell curves from the tests' dice, the same on every machine.
#pragma once

#include <algorithm>

#include "tests/support/random_lick.hpp"

namespace lw::listening {

/// Evenly between `low` and `high`.
inline double between(support::Dice& dice, double low, double high) {
    return low + (high - low) * static_cast<double>(dice.next() >> 11) * 0x1p-53;
}

/// Normal with deviation 1, as a sum of twelve; never beyond 2.5.
inline double bell(support::Dice& dice) {
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) sum += between(dice, 0.0, 1.0);
    return std::clamp(sum, -2.5, 2.5);
}

}  // namespace lw::listening
