// SPDX-License-Identifier: Apache-2.0
//
// How this player's reeds begin to speak. Private to the room.
//
// A reed may start flat and rise for some hundredths of a second, or start sharp, every time it is blown, and reeds near
// in pitch do alike; a player who scoops does so now and then, and only where a reed can be pulled down. So what is
// usual for a reed is learned from the attacks around it, and a scoop is what starts further below than that.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "engine/harp/harp.hpp"

namespace lw::hear {

class Attacks {
  public:
    /// Without a harp there are no reeds to know, and nothing is usual.
    explicit Attacks(const std::optional<harp::Harp>& harp) noexcept;

    /// One attack of `reed` (index into Tuning::semitones) began `below` semitones under where it settled. Not counted
    /// once all is known.
    void heard(int reed, float below) noexcept;
    /// No more will be heard: from now on the attacks that are judged are among those that were heard.
    void know_all() noexcept { knows_all_ = true; }
    /// How far below this reed begins as a rule, semitones, -0.35 to 0.35; `below` is of the attack that is judged, and does
    /// not count itself. Little evidence moves it little, none not at all.
    [[nodiscard]] float usual(int reed, float below) const noexcept;

  private:
    static constexpr int reeds = 2 * harp::hole_count;
    static constexpr int bins = 81;  // of 2 cents, from 60 cents above to 100 below
    [[nodiscard]] static int bin_of(float below) noexcept;
    [[nodiscard]] static float below_of(int bin) noexcept;
    [[nodiscard]] int nearest_heard(int reed, int bin) const noexcept;

    std::array<std::array<std::uint32_t, bins>, reeds> heard_{};
    std::array<std::array<float, reeds>, reeds> weight_{};  // of what the second did, for the first
    bool knows_all_ = false;
};

}  // namespace lw::hear
