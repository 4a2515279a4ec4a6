// SPDX-License-Identifier: Apache-2.0
//
// Every way to play on one harp, and what it costs to go from one to another. Private to the room.
//
// A way is what the mouth does at a moment: a hole plain, bent to some quarter step, overbent; two or three
// neighbouring holes; an octave or another split. The costs are the physics and the habit of playing, in nats: a bend
// moves within its hole; another hole of the same breath can be reached without a new attack, the other breath cannot;
// near holes are likelier than far ones. Without a harp every quarter step is a way of its own.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "engine/harp/harp.hpp"

namespace lw::hear {

inline constexpr int most_at_once = 3;  // reeds in one way

struct Way {
    std::uint16_t holes = 0;  // bit h - 1 for hole h; 0 without a harp
    harp::Breath breath = harp::Breath::blow;
    std::int8_t lead = 0;  // the hole that carries the melody (lick::Tab::lead_hole); 0 without a harp
    std::int8_t quarter_steps = 0;  // of the bend
    bool overbend = false;
    std::int8_t reeds = 1;
    std::array<std::int8_t, most_at_once>
        reed{};  // index into Tuning::semitones, -1 for an overbend or without a harp
    std::array<double, most_at_once>
        untuned{};  // MIDI at A4 = 440 Hz with the harp's own temperament; lead first
    std::array<double, most_at_once> midi{};         // as this player's reeds sound
    std::array<std::int16_t, most_at_once> voice{};  // index into Ways::voices
    float price = 0.0F;                              // of beginning it
    float doubt = 0.0F;         // nats a frame that its evidence is known to fall short by
    float attack_doubt = 0.0F;  // the same of the attack of each reed of a chord but the clearest
    [[nodiscard]] double lead_midi() const noexcept { return midi[0]; }
    /// The same holes and breath: what differs is at most how deep the bend is.
    [[nodiscard]] bool same_mouth(const Way& o) const noexcept {
        return holes == o.holes && breath == o.breath && overbend == o.overbend;
    }
};

/// The ways of a harp, single holes first; or, without one, of anything that sounds.
class Ways {
  public:
    explicit Ways(const std::optional<harp::Harp>& harp);

    [[nodiscard]] int count() const noexcept { return static_cast<int>(ways_.size()); }
    [[nodiscard]] const Way& operator[](int i) const noexcept { return ways_[static_cast<std::size_t>(i)]; }
    /// What a new attack on `to` costs after `from`; from -1 is silence.
    [[nodiscard]] float attack(int from, int to) const noexcept {
        return from < 0 ? after_silence_[static_cast<std::size_t>(to)] : attack_[at(from, to)];
    }
    [[nodiscard]] const float* attacks(int from) const noexcept {
        return from < 0 ? after_silence_.data() : &attack_[at(from, 0)];
    }
    /// By how much what an attack costs differs at most between two places it comes from.
    [[nodiscard]] float attack_spread() const noexcept { return attack_spread_; }
    /// What moving there without an attack costs; `never` where it cannot be.
    [[nodiscard]] const float* moves(int from) const noexcept { return &move_[at(from, 0)]; }
    /// 1 for the ways that only a move of the bend leads to, 0 for all others.
    [[nodiscard]] const float* bends(int from) const noexcept { return &bend_[at(from, 0)]; }
    static constexpr float never = 1e9F;

    /// The plain way on another hole with the same pitch (3 blow for 2 draw), -1 where there is none.
    [[nodiscard]] int twin(int way) const noexcept { return twin_[static_cast<std::size_t>(way)]; }
    /// The upper pitch, if this way is an octave or the lower hole of one, plain; 0 otherwise.
    [[nodiscard]] double octave_above(int way) const noexcept {
        const int octave = octave_[static_cast<std::size_t>(way)];
        return octave < 0 ? 0.0 : (*this)[octave].midi[0];
    }
    /// How far the evidence of an octave's upper reed falls short, in nats a frame, and how much this player leans to
    /// octaves, in nats a note.
    void doubt_octaves(float doubt, float leaning) noexcept;
    /// The different pitches of all ways, as this player's reeds sound (MIDI): what evidence is read at.
    [[nodiscard]] const std::vector<double>& voices() const noexcept { return voices_; }

    [[nodiscard]] bool with_harp() const noexcept { return with_harp_; }
    /// Puts the ways where this player's reeds stand: `a4` in semitones over 440 Hz, each reed's own offset on top.
    void tune(double a4_semitones, const std::array<float, 2 * harp::hole_count>& reed_semitones) noexcept;

  private:
    [[nodiscard]] std::size_t at(int from, int to) const noexcept {
        return static_cast<std::size_t>(from) * ways_.size() + static_cast<std::size_t>(to);
    }
    void of_harp(const harp::Harp& harp);
    void of_anything();
    void price_changes();
    void number_voices();
    void find_twins();

    bool with_harp_;
    std::vector<Way> ways_;
    std::vector<int> twin_;
    std::vector<int> octave_;  // beside the ways: the octave way that this one is or may be the lower part of
    std::vector<double> voices_;
    std::vector<float> after_silence_;
    std::vector<float> attack_;
    float attack_spread_ = 0.0F;
    std::vector<float> move_;
    std::vector<float> bend_;
};

}  // namespace lw::hear
