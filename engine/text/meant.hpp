// SPDX-License-Identifier: Apache-2.0
//
// What was meant: words and signs from other habits (`key: C`, `tempo: 90 bpm`, `4b{bend}`), each with a
// sentence that says what to type here. Nothing is ever read by guessing; only the remedy of a fault knows
// these. Private to the room.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/harp/harp.hpp"

namespace lw::text {

/// The key of a head that another word means (`bpm`: tempo), or nothing.
[[nodiscard]] std::string_view key_meant(std::string_view word) noexcept;
/// For a key with another word's name; `value` is what was typed behind it.
[[nodiscard]] std::string key_remedy(std::string_view key, std::string_view value);
/// For a value of tempo: that is no number from 20 to 400.
[[nodiscard]] std::string tempo_remedy(std::string_view text);
/// For a value of position: that is no number from 1 to 12; `harp` is the key of the harp.
[[nodiscard]] std::string position_remedy(std::string_view text, harp::Key harp);
/// For a word of the tab lane that is no note, rest or hold.
[[nodiscard]] std::string token_remedy(std::string_view text);
/// For a name in braces that is no gesture; `known` are the gestures.
[[nodiscard]] std::string gesture_remedy(std::string_view name, const std::vector<std::string_view>& known);

}  // namespace lw::text
