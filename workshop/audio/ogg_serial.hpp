// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

namespace lw::audio {

/// Gives every page of a one-stream OGG file the same serial number and the checksum that goes with it (RFC
/// 3533, section 6). The library draws the number from the clock, which would make every file another.
/// False when the bytes are not a whole OGG file; then nothing was changed.
[[nodiscard]] bool set_ogg_serial(std::vector<std::uint8_t>& bytes, std::uint32_t serial);

}  // namespace lw::audio
