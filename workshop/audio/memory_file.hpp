// SPDX-License-Identifier: GPL-3.0-or-later
//
// A file in memory, as libsndfile's virtual input and output. Private to the room.
#pragma once

#include <sndfile.h>

#include <cstdint>
#include <vector>

namespace lw::audio {

class MemoryFile {
  public:
    MemoryFile() = default;
    explicit MemoryFile(std::vector<std::uint8_t> bytes) : bytes_(std::move(bytes)) {}
    [[nodiscard]] static SF_VIRTUAL_IO calls() noexcept;
    [[nodiscard]] std::vector<std::uint8_t> take() noexcept { return std::move(bytes_); }

  private:
    std::vector<std::uint8_t> bytes_;
    sf_count_t at_ = 0;
};

}  // namespace lw::audio
