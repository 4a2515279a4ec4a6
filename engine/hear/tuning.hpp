// SPDX-License-Identifier: Apache-2.0
//
// Learns how the recording and the player's reeds are tuned, from the notes that sound plain. Private to the room.
//
// Each reed collects how far it was heard from its place, in a histogram of 2 cents; its middle is the median. A4 is
// the weighted median of the reeds (a reed that a player always plays flat does not pull it), the rest is the reed's
// own. Little evidence moves little.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "engine/hear/hear.hpp"

namespace lw::hear {

/// How much the upper octave of this sound's plain notes looks like a reed of its own: of a harp, little; of two-reed
/// instruments that couple octaves, a lot. What an octave must rise above.
class OctaveHabit {
  public:
    OctaveHabit() noexcept;
    /// The odds of the upper octave in one frame of a plain note or, when `as_octave`, of an octave.
    void heard(float odds, bool as_octave) noexcept;
    /// What the net falls short by, for Ways::doubt_octaves.
    [[nodiscard]] float doubt() const noexcept;
    /// How much likelier than usual this player's next note is an octave, in nats.
    [[nodiscard]] float leaning() const noexcept;

  private:
    static constexpr int bins = 25;  // half nats from -6.25
    std::array<std::uint32_t, bins> histogram_{};
    std::uint32_t frames_ = 0;
    std::uint32_t octave_frames_ = 0;
};

class TuningLearner {
  public:
    /// What is given is not learned.
    explicit TuningLearner(const Given& given);
    /// One steady frame: `reed` (index into Tuning::semitones) was heard `semitones` above its place at A4 = 440 Hz.
    void heard(int reed, double semitones) noexcept;
    /// One steady frame without a harp: only its distance from the nearest semitone says something.
    void heard_any(double midi) noexcept;
    /// Weighs what was heard. Call now and then.
    void settle() noexcept;

    [[nodiscard]] double a4_semitones() const noexcept { return a4_; }
    [[nodiscard]] Hz a4() const noexcept;
    /// Of each reed against the harp at `a4`.
    [[nodiscard]] const std::array<float, 2 * harp::hole_count>& reeds() const noexcept { return reeds_; }
    [[nodiscard]] std::array<std::optional<Cents>, 2 * harp::hole_count> reed_cents() const noexcept;

  private:
    static constexpr int bins = 71;  // -70 to 70 cents
    struct Reed {
        std::array<std::uint32_t, bins> histogram{};
        std::uint32_t frames = 0;
        [[nodiscard]] double median_cents() const noexcept;
    };
    bool a4_given_;
    bool reeds_given_;
    double a4_ = 0.0;
    std::array<double, 2 * harp::hole_count> pitch_{};  // MIDI, of a harp's unbent reeds as they were made
    std::array<float, 2 * harp::hole_count> reeds_{};
    std::array<Reed, 2 * harp::hole_count> heard_{};
    double around_x_ = 0.0, around_y_ = 0.0, around_frames_ = 0.0;
};

}  // namespace lw::hear
