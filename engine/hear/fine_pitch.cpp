// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/fine_pitch.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {
namespace {

constexpr int most_harmonics = 8;  // higher ones are weak, and beat with the noise of the breath
constexpr double bin_width = ear_rate / long_window;
constexpr double highest_hz = 7000.0;    // the resampler's edge lies above
constexpr double reach_semitones = 0.6;  // a little more than the half semitone between two bins of evidence
constexpr double agree_cents = 35.0;     // harmonics of one reed agree far better, those of another far worse

}  // namespace

std::optional<double> fine_pitch(const std::array<float, long_bins>& power, double rough_midi) noexcept {
    const double rough = 440.0 * std::exp2((rough_midi - 69.0) / 12.0);
    struct Vote {
        double cents;
        double weight;
    };
    std::array<Vote, most_harmonics> votes;
    int count = 0;
    float strongest = 0.0F;
    for (int h = 1; h <= most_harmonics && h * rough < highest_hz; ++h) {
        const double place = h * rough / bin_width;
        // Never so far that the next harmonic's peak comes within reach.
        const double reach =
            std::clamp(place * (std::exp2(reach_semitones / 12.0) - 1.0), 1.5, 0.45 * rough / bin_width);
        const int from = std::max(2, static_cast<int>(std::ceil(place - reach)));
        const int to = std::min(long_bins - 3, static_cast<int>(place + reach));
        int peak = -1;
        for (int k = from; k <= to; ++k) {
            const auto i = static_cast<std::size_t>(k);
            if (power[i] < power[i - 1] || power[i] < power[i + 1]) continue;
            if (peak < 0 || power[i] > power[static_cast<std::size_t>(peak)]) peak = k;
        }
        if (peak < 0) continue;
        const auto p = static_cast<std::size_t>(peak);
        const float height = power[p];
        if (height < 1e-11F) continue;
        strongest = std::max(strongest, height);
        const bool above = power[p + 1] > power[p - 1];
        const double ratio = std::sqrt(static_cast<double>(above ? power[p + 1] : power[p - 1]) / height);
        const double part = std::clamp((2.0 * ratio - 1.0) / (1.0 + ratio), -0.5, 0.5);
        const double hz = (peak + (above ? part : -part)) * bin_width / h;
        votes[static_cast<std::size_t>(count++)] = {1200.0 * std::log2(hz / rough),
                                                    std::sqrt(static_cast<double>(height)) * h};
    }
    // Harmonics 30 dB below the strongest say little.
    double total = 0.0;
    for (int i = 0; i < count; ++i) total += votes[static_cast<std::size_t>(i)].weight;
    if (count == 0 || total <= 0.0) return std::nullopt;
    std::sort(votes.begin(), votes.begin() + count,
              [](const Vote& a, const Vote& b) { return a.cents < b.cents; });
    double half = total / 2.0;
    double middle = votes[0].cents;
    for (int i = 0; i < count; ++i) {
        middle = votes[static_cast<std::size_t>(i)].cents;
        half -= votes[static_cast<std::size_t>(i)].weight;
        if (half <= 0.0) break;
    }
    double sum = 0.0;
    double weight = 0.0;
    for (int i = 0; i < count; ++i) {
        const Vote& v = votes[static_cast<std::size_t>(i)];
        if (std::abs(v.cents - middle) > agree_cents) continue;
        sum += v.weight * v.cents;
        weight += v.weight;
    }
    const double cents = sum / weight;
    if (std::abs(cents) > reach_semitones * 100.0) return std::nullopt;
    return rough_midi + cents / 100.0;
}

void find_peaks(const View& view, const Evidence& evidence, std::array<Peak, most_peaks>& peaks) noexcept {
    peaks.fill(Peak{});
    int count = 0;
    for (int i = 0; i < sounding_bins; ++i) {
        const auto k = static_cast<std::size_t>(i);
        const int here = evidence.sounding[k];
        const int below = i > 0 ? evidence.sounding[k - 1] : -128;
        const int above = i + 1 < sounding_bins ? evidence.sounding[k + 1] : -128;
        if (odds(evidence.sounding[k]) < -1.0F || here < below || here <= above) continue;
        // The true place of a peak lies towards the larger neighbour.
        const double lean = 0.25 * (above - below) / std::max(1.0, 2.0 * here - above - below + 1.0);
        const double rough = lowest_sounding + i / 2.0 + std::clamp(lean, -0.25, 0.25);
        Peak found{static_cast<float>(fine_pitch(view.power, rough).value_or(rough)),
                   odds(evidence.sounding[k])};
        if (count < most_peaks) {
            peaks[static_cast<std::size_t>(count++)] = found;
        } else {
            const auto weakest = std::min_element(
                peaks.begin(), peaks.end(), [](const Peak& a, const Peak& b) { return a.odds < b.odds; });
            if (weakest->odds < found.odds) *weakest = found;
        }
    }
    std::sort(peaks.begin(), peaks.begin() + count,
              [](const Peak& a, const Peak& b) { return a.midi < b.midi; });
}

}  // namespace lw::hear
