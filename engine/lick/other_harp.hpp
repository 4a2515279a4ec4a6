// SPDX-License-Identifier: Apache-2.0
//
// The same tab on another harp: every hole, breath and bend stays, the music moves, and the chords move with it.
#pragma once

#include <string>
#include <string_view>

#include "engine/lick/lick.hpp"

namespace lw::lick {

/// The lick as it sounds on `other`; the tuning stays the lick's own. Chord symbols are spelled after the key that the
/// music moves to (C7 of a lick in G is F7 in C, and Gb7, not F#7, in Db).
[[nodiscard]] Lick on_harp(Lick lick, const harp::Harp& other);

/// A chord symbol moved from one key to another, its bass too: G7/B from G to D is D7/F#. What is no root stays.
[[nodiscard]] std::string moved_chord(std::string_view symbol, harp::Key from, harp::Key to);

}  // namespace lw::lick
