// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/breath_gap.hpp"

#include <algorithm>

namespace lw::hear {
namespace {

constexpr float depth = 3.0F;      // dB; a held reed wavers by less
constexpr std::int64_t reach = 6;  // frames

}  // namespace

std::optional<std::int64_t> BreathGap::before(std::int64_t frame,
                                              std::span<const Look* const> ahead) const noexcept {
    const auto level = [&](std::int64_t f) { return levels_[slot(f)]; };
    const std::int64_t first = std::max<std::int64_t>(0, frame - static_cast<std::int64_t>(kept) + 1);
    std::int64_t lowest = frame;
    for (std::int64_t f = std::max(first, frame - reach); f < frame; ++f)
        if (level(f) < level(lowest)) lowest = f;
    float fell_from = level(lowest), rose_to = level(lowest);
    for (std::int64_t f = first; f < lowest; ++f) fell_from = std::max(fell_from, level(f));
    for (std::int64_t f = lowest; f <= frame; ++f) rose_to = std::max(rose_to, level(f));
    for (const Look* look : ahead)
        if (look != nullptr) rose_to = std::max(rose_to, look->level);
    if (std::min(fell_from, rose_to) - level(lowest) < depth) return std::nullopt;
    return lowest;
}

}  // namespace lw::hear
