// SPDX-License-Identifier: Apache-2.0
//
// A practice clip: the harp in a small room, the clicks dry beside it, brought to one loudness.
#pragma once

#include <vector>

#include "engine/sound/loudness.hpp"
#include "engine/sound/reed_voice.hpp"

namespace lw::sound {

/// Sound ready for a file: frames of `channels` samples in turn, full scale is 1.
struct Clip {
    Hz rate = clip_rate;
    int channels = 2;
    std::vector<float> samples;
    [[nodiscard]] std::size_t frames() const noexcept {
        return samples.size() / static_cast<std::size_t>(channels);
    }
    [[nodiscard]] Seconds length() const noexcept { return {static_cast<double>(frames()) / rate.value}; }
};

/// -16 LUFS: music tracks (AES TD1008 as reported by the trade press). A true peak of -1 dBTP is the
/// broadcasters' limit (EBU R 128); clips stay half a decibel under it, because lossy codecs overshoot.
inline constexpr Lufs clip_loudness{-16.0};
inline constexpr Decibels highest_true_peak{-1.0};
inline constexpr Decibels true_peak_ceiling{-1.5};

struct MixChoices {
    bool harp = true;
    bool clicks = true;
    bool room = true;
    bool normalise = true;  // to clip_loudness and true_peak_ceiling
    Hz rate = clip_rate;
};

/// The whole clip, stereo. Same performance, same samples. Its length is the performance's, to the sample.
[[nodiscard]] Clip render_clip(const ReedTables& tables, const harp::Harp& harp,
                               const Performance& performance, const MixChoices& choices = {});
/// Makes its own tables: some 3 ms more.
[[nodiscard]] Clip render_clip(const harp::Harp& harp, const Performance& performance,
                               const MixChoices& choices = {});

/// Brings a clip to `wanted`; where that would lift a peak above `ceiling` a limiter with 10 ms of foresight
/// holds it. If more than 9 dB of limiting were needed the clip stays quieter. Silence stays silence.
void normalise(Clip& clip, Lufs wanted = clip_loudness, Decibels ceiling = true_peak_ceiling);

}  // namespace lw::sound
