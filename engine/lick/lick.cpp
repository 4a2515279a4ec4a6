// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/lick.hpp"

#include <array>

namespace lw::lick {

std::string_view word(Gesture gesture) noexcept {
    static constexpr std::array<std::string_view, 12> words = {"from",    "dip",    "scoop", "fall",
                                                               "vibrato", "shake",  "wah",   "flutter",
                                                               "slap",    "accent", "short", "ghost"};
    return words[static_cast<std::size_t>(gesture)];
}

std::optional<harp::Key> key_of_music(const Head& head) noexcept {
    if (!head.position) return std::nullopt;
    return harp::key_of_music(head.harp.key, *head.position);
}

}  // namespace lw::lick
