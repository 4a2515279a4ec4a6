// SPDX-License-Identifier: Apache-2.0
//
// The plain ear: sums harmonics and looks for rises, with nothing learned. It stands beside the learned one so that
// the table (bench/hear) can say what learning gains. Private to the room.
//
// A pitch is as salient as its harmonics stand out together (harmonic summation: A. Klapuri, Multiple fundamental
// frequency estimation by summing harmonic amplitudes, ISMIR 2006, from memory) less what stands half-way between
// them, which betrays a guess an octave too low. The best one is taken out and a second looked for. An attack is a
// rise of the short bands at the harmonics of a pitch over 30 ms (spectral flux).
#pragma once

#include <array>

#include "engine/hear/evidence.hpp"

namespace lw::hear {

class PlainSalience final : public Salience {
  public:
    PlainSalience();
    void step(const View& view, Evidence& about_earlier) noexcept override;

  private:
    static constexpr int kept = 16;  // frames; lookahead and the rise before it fit
    std::array<std::array<float, feature_count>, kept> past_;
    int count_ = 0;
};

}  // namespace lw::hear
