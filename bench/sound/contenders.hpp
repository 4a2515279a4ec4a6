// SPDX-License-Identifier: GPL-3.0-or-later
//
// The argument: our reed voice renders a phrase at least as fast as FluidSynth renders the same phrase, dry, with
// its font loaded beforehand, at the same rate and length, harp alone; and at least 100 times real time.
//
// Each contender prepares once (not timed), then renders the phrase as often as asked (timed in CPU seconds of this
// process). Both give 48 kHz float; FluidSynth cannot render one channel, so its second one is part of its price.
#pragma once

#include <cstdint>
#include <memory>

#include "engine/lick/lick.hpp"

namespace lw::bench {

/// Eight bars in the middle of the job: triplets, bends, joined notes, octaves, a chord, vibrato.
[[nodiscard]] lick::Lick phrase();

class Contender {
  public:
    virtual ~Contender() = default;
    /// Renders the whole phrase once; gives back the highest sample, so that nobody renders silence.
    virtual float render() = 0;
};

[[nodiscard]] std::unique_ptr<Contender> our_voice(const lick::Lick& lick);
/// Null with words on stderr when there is no soundfont.
[[nodiscard]] std::unique_ptr<Contender> fluidsynth(const lick::Lick& lick);

}  // namespace lw::bench
