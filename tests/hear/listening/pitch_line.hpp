// SPDX-License-Identifier: GPL-3.0-or-later
//
// The pitch of one voice over time: levels, smooth ways between them, and gestures laid over.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::listening {

class PitchLine {
  public:
    explicit PitchLine(Pitch start) : start_(start) {}
    /// From where the line stands at `begin` to `to`, a raised cosine.
    void travel(Seconds begin, Seconds length, Pitch to) { travels_.push_back({begin, length, to}); }
    /// Starts `depth` below and has risen at `end`.
    void from_below(Seconds begin, Seconds length, Semitones depth) {
        overlays_.push_back({Shape::from_below, begin, length, depth, 0.0});
    }
    void there_and_back(Seconds begin, Seconds length, Semitones depth) {
        overlays_.push_back({Shape::there_and_back, begin, length, depth, 0.0});
    }
    /// Sinks to `depth` at the end and stays there.
    void sink(Seconds begin, Seconds length, Semitones depth) {
        overlays_.push_back({Shape::sink, begin, length, depth, 0.0});
    }
    /// Between the line and `depth` below it, `rate` times a second.
    void wave(Seconds begin, Seconds length, Semitones depth, Hz rate) {
        overlays_.push_back({Shape::wave, begin, length, depth, rate.value});
    }

    [[nodiscard]] Pitch at(Seconds t) const {
        double pitch = start_.midi;
        for (const Travel& way : travels_)
            pitch += (way.to.midi - pitch) * rise((t - way.begin).value / way.length.value);
        for (const Overlay& o : overlays_) pitch -= o.depth.value * share(o, (t - o.begin).value);
        return {pitch};
    }

  private:
    enum class Shape { from_below, there_and_back, sink, wave };
    struct Travel {
        Seconds begin;
        Seconds length;
        Pitch to;
    };
    struct Overlay {
        Shape shape;
        Seconds begin;
        Seconds length;
        Semitones depth;
        double rate;
    };
    static double rise(double part) {
        return 0.5 - 0.5 * std::cos(std::numbers::pi * std::clamp(part, 0.0, 1.0));
    }
    static double share(const Overlay& o, double t) {
        const double part = t / o.length.value;
        switch (o.shape) {
            case Shape::from_below:
                return 1.0 - rise(part);
            case Shape::sink:
                return rise(part);
            case Shape::there_and_back:
                return part <= 0.0 || part >= 1.0 ? 0.0 : 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * part);
            case Shape::wave:
                return part <= 0.0 || part >= 1.0 ? 0.0
                                                  : 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * o.rate * t);
        }
        return 0.0;
    }

    Pitch start_;
    std::vector<Travel> travels_;
    std::vector<Overlay> overlays_;
};

}  // namespace lw::listening
