// SPDX-License-Identifier: Apache-2.0
//
// A click in the recording: the player had a metronome on, or plays to one of our own clips. A click is a burst that is
// over within some 60 ms and comes again and again after the same time; a harp's notes are neither. The bar that is
// counted before the phrase says where the first beat is.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::coach {

struct ClickTrack {
    Seconds first;            // of the first click
    Seconds period;           // between two
    int count = 0;            // clicks that were found on the grid
    std::vector<Seconds> at;  // each of them, in order
    int counted = 0;          // those before the first note that follow each other without a hole
};

/// Finds clicks while the sound runs. Memory: some bytes for every burst.
class ClickFinder {
  public:
    /// `rate` in samples a second, 8000 to 192000.
    explicit ClickFinder(double rate);
    /// One channel; samples that are not finite count as silence.
    void push(std::span<const float> samples);
    /// The click, if there is one: at least four even bursts in a row before `first_note`, or three and later ones,
    /// within 12 ms of a grid of 30 to 300 a minute. Later ones refine the grid. Four or more may be a counted bar:
    /// the first note may then come anywhere in the bar after it. So may three that are alike and all there is.
    [[nodiscard]] std::optional<ClickTrack> find(Seconds first_note) const;

  private:
    struct Burst {
        double at = 0.0;        // seconds
        double strength = 0.0;  // dB over what was before
    };
    void step(double energy);

    double rate_;
    std::size_t hop_;
    std::size_t in_hop_ = 0;
    double energy_ = 0.0;
    double before_ = 0.0;         // last sample, for the difference that takes low tones out
    std::vector<double> recent_;  // energies of the last hops
    std::size_t hops_ = 0;
    double loudest_ = -200.0;  // dB
    std::vector<Burst> bursts_;
};

}  // namespace lw::coach
