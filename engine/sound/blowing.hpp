// SPDX-License-Identifier: Apache-2.0
//
// How the player blows: what breath, lips and head do to one reed, moment by moment. The reed's own sound is reed_voice.hpp's.
// Private to the room.
#pragma once

#include <cstdint>

#include "engine/sound/performance.hpp"
#include "engine/sound/strands.hpp"

namespace lw::sound {

/// A number from -1 to 1 for each seed, the same everywhere: what differs by chance from reed to reed.
[[nodiscard]] double scattered(std::uint32_t seed) noexcept;

/// How hard the breath blows a reed of this note: swell, push, unevenness (`seed` says which), and what the gestures make of
/// it. 1 is the usual strength; never below 0.
[[nodiscard]] double breath(const Strand& strand, std::uint32_t seed, const SoundedNote& note,
                            Seconds at) noexcept;

/// How far the reed speaks: its beginning, its end, and the to and fro of a shake. 0 to 1.
[[nodiscard]] double opening(const Strand& strand, Seconds at) noexcept;

}  // namespace lw::sound
