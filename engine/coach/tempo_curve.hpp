// SPDX-License-Identifier: Apache-2.0
//
// The take's own time: a smooth curve from beats to seconds through the onsets of a go. Private to the room.
//
// A penalised least-squares curve (Whittaker, On a new method of graduation, Proc. Edinburgh Math. Soc. 41, 1923;
// Eilers, A perfect smoother, Anal. Chem. 75, 2003): it pays for every onset that it misses and for every change of
// tempo. An even change of tempo over the whole phrase is free; beyond it the curve bends slowly, over a bar or two, so
// it follows a player who hurries and leaves a late note late. Onsets far from it count less with every round (Tukey's
// biweight), so that one slip does not pull its neighbours.
#pragma once

#include <span>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::coach {

/// One onset: where it is written, when it came.
struct Sighting {
    double beat = 0.0;
    Seconds at;
};

class TempoCurve {
  public:
    TempoCurve() = default;
    /// `sightings` in order of beats, at least two at different beats; otherwise the curve is a line at `guess`.
    TempoCurve(std::span<const Sighting> sightings, double guess_seconds_a_beat);

    [[nodiscard]] Seconds at(double beat) const noexcept;
    /// The beat that is due at a time.
    [[nodiscard]] double beat_at(Seconds time) const noexcept;
    [[nodiscard]] double seconds_a_beat(double beat) const noexcept;
    [[nodiscard]] std::span<const double> beats() const noexcept { return beats_; }

  private:
    [[nodiscard]] std::size_t piece(double beat) const noexcept;
    std::vector<double> beats_;    // knots, strictly rising
    std::vector<double> seconds_;  // beside them, strictly rising
};

}  // namespace lw::coach
