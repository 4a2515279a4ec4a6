// SPDX-License-Identifier: Apache-2.0
//
// The shape of one note: how its bend ran, and which gestures of the trade that is. Private to the
// room. Everything here looks at a note that is held, frame by frame, in buffers made beforehand.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/lick/lick.hpp"

namespace lw::hear {

/// Frames of a note whose bend is kept: 10 s. A longer note keeps its first 10 s.
inline constexpr std::size_t longest_path = 1000;

/// A note that still sounds.
struct OpenNote {
    OpenNote() { depth.reserve(longest_path + 8); }  // a little more while what comes is foreseen
    bool open = false;
    int way = -1;  // as it began; of the same mouth later
    std::int64_t start = 0;
    Seconds onset;
    bool joined = false;
    bool bends = false;  // the reed can be pulled down at all
    std::vector<float>
        depth;  // semitones below the unbent reed; without a harp the pitch (MIDI) counted down from 0
    int frames = 0;
    std::optional<float> settled;  // depth of the plateau it stands on
    int rival = -1;                // another mouth that fits it better, if one does in most of its frames ...
    int rival_frames = 0;          // ... and in how many more frames than all others
    double rival_sounding = 0.0;
    // Evidence, for the confidence.
    float onset_odds = 0.0F;
    double sounding = 0.0, margin = 0.0, voice = 0.0;  // sums over the frames
};

/// The depth at which the last frames stand still, if they do: `plateau_frames` within a band.
inline constexpr std::size_t plateau_frames = 9;  // 90 ms
inline constexpr std::size_t quick_plateau_frames = 6;
[[nodiscard]] std::optional<float> plateau(std::span<const float> depth,
                                           std::size_t frames = plateau_frames) noexcept;

/// Gestures of a finished note: scoop, dip, fall, vibrato. At most four are written.
struct Shape {
    float start = 0.0F;    // depth at the start
    float settled = 0.0F;  // depth of the note itself
    float end = 0.0F;      // depth at the end
    std::array<HeardGesture, 4> gestures{};
    std::size_t gesture_count = 0;
};
/// `usual` is how far below this reed begins as a rule (Attacks), semitones: a scoop begins further below. Nothing where
/// no reed is known, as without a harp: then only what lies far below for long is a scoop.
[[nodiscard]] Shape shape_of(const OpenNote& note, std::optional<float> usual) noexcept;

/// How far below its settled depth a note with an attack of its own began, semitones: the mean from 20 to 80 ms. Nothing
/// of notes that are joined, too short, or never settled.
[[nodiscard]] std::optional<float> began_below(const OpenNote& note) noexcept;

}  // namespace lw::hear
