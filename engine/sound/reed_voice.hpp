// SPDX-License-Identifier: Apache-2.0
//
// The harp as it sounds: a performance in, samples out.
//
// Every reed that sounds is a strand: one table (reed_tables.hpp) read at the model's own pitch, through a
// breath that swells, leans and dies. Strands add up (air is shared, so a chord is not as loud as its notes
// one by one); then come the noise of the breath, the body of harp and player (two fixed resonances) and the
// hand (a low-pass that `{wah}` closes and opens). Left out on purpose: any drift of pitch. A plain note
// stands within 1 cent of the model, so that a learner may tune by it.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/sound/performance.hpp"
#include "engine/sound/reed_tables.hpp"

namespace lw::sound {

inline constexpr Hz clip_rate{48000.0};

/// Plays one performance from its beginning. Mono, full scale is 1; a plain note peaks near 0.3, a hard chord
/// below 1. Any rate from 8 kHz to 192 kHz; harmonics that do not fit below 20 kHz or 0.42 of the rate are
/// left out. The same performance gives the same samples however the calls are cut. `render` never allocates,
/// waits or fails. Not for two threads at once.
class ReedVoice {
  public:
    /// `tables` must outlive the voice.
    ReedVoice(const ReedTables& tables, const harp::Harp& harp, const Performance& performance,
              Hz rate = clip_rate);
    ~ReedVoice();
    ReedVoice(ReedVoice&&) noexcept;
    ReedVoice& operator=(ReedVoice&&) noexcept;

    /// Writes the next samples; silence after the end.
    void render(std::span<float> out) noexcept;
    /// Samples of the whole performance, its tail included.
    [[nodiscard]] std::int64_t length() const noexcept;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

/// The whole performance at once.
[[nodiscard]] std::vector<float> render_voice(const ReedTables& tables, const harp::Harp& harp,
                                              const Performance& performance, Hz rate = clip_rate);

}  // namespace lw::sound
