// SPDX-License-Identifier: Apache-2.0
//
// The moment between two breaths. Private to the room.
//
// Where a reed speaks so softly that no attack is seen, the level still tells when the breath turned: it falls as the one
// reed stops, and rises as the next begins. The level of the last frames is kept for that.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "engine/hear/evidence.hpp"

namespace lw::hear {

class BreathGap {
  public:
    /// The level of a frame, dB of full scale; frames come in order.
    void heard(std::int64_t frame, float level) noexcept { levels_[slot(frame)] = level; }
    /// The frame where the level was lowest in the 60 ms before `frame`, if it fell there and rose again by 3 dB and more.
    /// `ahead` are the looks from `frame` on, as far as they are there.
    [[nodiscard]] std::optional<std::int64_t> before(std::int64_t frame,
                                                     std::span<const Look* const> ahead) const noexcept;

  private:
    static constexpr std::size_t kept = 8;
    [[nodiscard]] static std::size_t slot(std::int64_t frame) noexcept {
        return static_cast<std::size_t>(frame) % kept;
    }
    std::array<float, kept> levels_{};
};

}  // namespace lw::hear
