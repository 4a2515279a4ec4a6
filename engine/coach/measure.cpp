// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/measure.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

/// A reed needs this to speak at its pitch, and a joined note to arrive (design: within about 60 ms).
constexpr Seconds settling{0.040};
constexpr Seconds joining{0.070};
/// At its end a reed sags as the breath lets go.
constexpr Seconds letting_go{0.030};
/// How far a player's dip or join may lie from where ours lies; also half a turn of a slow vibrato.
constexpr double nearby = 0.080;
constexpr std::size_t least_samples = 5;
constexpr double travelling = 0.3;  // semitones within `nearby`

double middle_of(std::vector<double> v) {
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

struct Range {
    double low = 1e9, high = -1e9;
    void take(double v) {
        low = std::min(low, v);
        high = std::max(high, v);
    }
};

/// All depths that the written path has around a time of its own.
void take_around(const sound::SoundedNote& written, double at, Range& range) {
    for (int k = -4; k <= 4; ++k)
        range.take(bend_at(written, Seconds{std::clamp(at + nearby * k / 4.0, written.onset.value,
                                                       written.offset.value)})
                       .value);
}

}  // namespace

std::optional<BendMeasure> measure_bend(const sound::SoundedNote& written, const HeardPart& heard) {
    const Seconds length = heard.offset - heard.onset;
    Seconds skip = written.how == lick::Start::attack ? settling : joining;
    skip = std::min(skip, length / 3.0);
    const Seconds begin = heard.onset + skip;
    const Seconds end = heard.offset - std::min(letting_go, length / 5.0);
    std::vector<double> off;
    for (const hear::BendSample& s : heard.path) {
        if (s.at < begin || s.at > end) continue;
        Range range;
        take_around(written, (written.onset + (s.at - heard.onset)).value, range);
        take_around(written, (written.offset - (heard.offset - s.at)).value, range);
        // Where the written pitch travels, nearly everything is right: such moments say nothing.
        if (range.high - range.low > travelling) continue;
        off.push_back(s.depth.value > range.high ? s.depth.value - range.high
                                                 : std::min(0.0, s.depth.value - range.low));
    }
    if (off.size() < least_samples) return std::nullopt;
    BendMeasure m;
    m.middle = to_cents(Semitones{middle_of(off)});
    // Of three neighbours the middle one: a single odd frame is the ear's, not the player's.
    double worst = 0.0;
    for (std::size_t i = 1; i + 1 < off.size(); ++i) {
        const double v = middle_of({off[i - 1], off[i], off[i + 1]});
        if (std::abs(v) > std::abs(worst)) worst = v;
    }
    m.worst = to_cents(Semitones{worst});
    return m;
}

Semitones moved(const HeardPart& heard) {
    if (heard.path.empty()) return {};
    std::vector<double> depth;
    for (const hear::BendSample& s : heard.path) depth.push_back(s.depth.value);
    const double level = middle_of(depth);
    double most = 0.0;
    for (const double d : depth) most = std::max(most, std::abs(d - level));
    return {most};
}

}  // namespace lw::coach
