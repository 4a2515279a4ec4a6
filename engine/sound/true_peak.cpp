// SPDX-License-Identifier: Apache-2.0
//
// True peak: the wave between the samples, by a windowed sinc (Kaiser, beta 8; the annex of BS.1770 leaves
// the filter open and asks for four times oversampling at 48 kHz).
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "engine/sound/loudness.hpp"

namespace lw::sound {
namespace {

constexpr int reach = 12;  // samples to each side
constexpr int taps = 2 * reach;

double bessel0(double x) noexcept {
    double sum = 1.0;
    double term = 1.0;
    for (int k = 1; k < 40; ++k) {
        term *= (x / (2.0 * k)) * (x / (2.0 * k));
        sum += term;
    }
    return sum;
}

/// Weights of the samples around a place `part` of the way from one sample to the next.
std::array<float, taps> weights_at(double part) noexcept {
    constexpr double beta = 8.0;
    std::array<float, taps> w{};
    double sum = 0.0;
    std::array<double, taps> exact{};
    for (int i = 0; i < taps; ++i) {
        const double x = i - (reach - 1) - part;
        const double u = x / reach;
        const double sinc = x == 0.0 ? 1.0 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
        exact[i] = std::abs(u) >= 1.0 ? 0.0 : sinc * bessel0(beta * std::sqrt(1.0 - u * u)) / bessel0(beta);
        sum += exact[i];
    }
    for (int i = 0; i < taps; ++i) w[i] = static_cast<float>(exact[i] / sum);
    return w;
}

int oversampling(Hz rate) noexcept {
    return rate.value < 96000.0 ? 4 : rate.value < 192000.0 ? 2 : 1;
}

class Interpolator {
  public:
    explicit Interpolator(Hz rate) : parts_(oversampling(rate)) {
        for (int p = 1; p < parts_; ++p) {
            phases_[p - 1] = weights_at(double(p) / parts_);
            float total = 0.0F;
            for (const float w : phases_[p - 1]) total += std::abs(w);
            gain_ = std::max(gain_, total);
            bow_ = std::max(bow_, bow_of(phases_[p - 1]));
        }
    }
    /// No value between samples is higher than this: the highest of the samples around times a constant, and where the
    /// wave is smooth, the highest of the two beside it and what its second differences can add.
    [[nodiscard]] float bound(float around, float second_difference) const noexcept {
        return std::min(around * gain_, around + bow_ * second_difference);
    }
    /// The highest between x[reach - 1] and x[reach]; `x` holds `taps` samples.
    [[nodiscard]] float between(const float* x) const noexcept {
        float high = 0.0F;
        for (int p = 0; p + 1 < parts_; ++p) {
            // Four sums side by side, so that the compiler may use wide registers.
            std::array<float, 4> sum{};
            for (int i = 0; i < taps; i += 4) {
                for (int k = 0; k < 4; ++k) sum[k] += phases_[p][i + k] * x[i + k];
            }
            high = std::max(high, std::abs((sum[0] + sum[1]) + (sum[2] + sum[3])));
        }
        return high;
    }

  private:
    /// The weights less those of the straight line through the two middle samples with the same sum and first moment are
    /// a weighted sum of second differences: the sum of those weights' sizes.
    static float bow_of(const std::array<float, taps>& w) noexcept {
        double moment = 0.0;
        for (int i = 0; i < taps; ++i) moment += double{w[i]} * (i - (reach - 1));
        double slope = 0.0;
        double value = 0.0;
        double total = 0.0;
        for (int i = 0; i < taps; ++i) {
            const double line = i == reach - 1 ? 1.0 - moment : i == reach ? moment : 0.0;
            slope += w[i] - line;
            value += slope;
            total += std::abs(value);
        }
        return static_cast<float>(total);
    }

    int parts_;
    std::array<std::array<float, taps>, 3> phases_{};
    float gain_ = 1.0F;
    float bow_ = 0.0F;
};

/// One channel with silence before and behind.
std::vector<float> channel_of(std::span<const float> interleaved, int channels, int channel) {
    const std::size_t frames = interleaved.size() / static_cast<std::size_t>(channels);
    std::vector<float> x(frames + 2 * taps, 0.0F);
    for (std::size_t i = 0; i < frames; ++i) x[i + taps] = interleaved[i * channels + channel];
    return x;
}

/// Does this channel say what the first says? Practice clips often hold one line on both.
bool repeats_first(std::span<const float> interleaved, int channels, int channel) noexcept {
    for (std::size_t i = 0; i + channel < interleaved.size(); i += channels)
        if (interleaved[i] != interleaved[i + channel]) return false;
    return true;
}

constexpr std::size_t block = 64;

}  // namespace

double true_peak(std::span<const float> interleaved, int channels, Hz rate) {
    const Interpolator interpolator{rate};
    float peak = 0.0F;
    for (const float x : interleaved) peak = std::max(peak, std::abs(x));
    for (int c = 0; c < channels; ++c) {
        if (c > 0 && repeats_first(interleaved, channels, c)) continue;
        const std::vector<float> x = channel_of(interleaved, channels, c);
        for (std::size_t at = 0; at + taps <= x.size(); at += block) {
            const std::size_t end = std::min(at + block, x.size() - taps + 1);
            float local = 0.0F;
            float second = 0.0F;
            for (std::size_t i = at; i < end + taps - 1; ++i) local = std::max(local, std::abs(x[i]));
            for (std::size_t i = at + 1; i + 1 < end + taps - 1; ++i)
                second = std::max(second, std::abs(x[i - 1] - 2.0F * x[i] + x[i + 1]));
            // Nothing here can be higher than what is known: most of a clip is passed over.
            if (interpolator.bound(local, second) <= peak) continue;
            for (std::size_t i = at; i < end; ++i) peak = std::max(peak, interpolator.between(&x[i]));
        }
    }
    return peak;
}

std::vector<float> true_peaks(std::span<const float> interleaved, int channels, Hz rate) {
    const Interpolator interpolator{rate};
    const std::size_t frames = interleaved.size() / static_cast<std::size_t>(channels);
    std::vector<float> peaks(frames, 0.0F);
    for (int c = 0; c < channels; ++c) {
        const std::vector<float> x = channel_of(interleaved, channels, c);
        for (std::size_t i = 0; i < frames; ++i) peaks[i] = std::max(peaks[i], std::abs(x[i + taps]));
        for (std::size_t i = 0; i <= frames; ++i) {
            // Between frame i - 1 and frame i.
            const float high = interpolator.between(&x[i + taps - reach]);
            if (i > 0) peaks[i - 1] = std::max(peaks[i - 1], high);
            if (i < frames) peaks[i] = std::max(peaks[i], high);
        }
    }
    return peaks;
}

}  // namespace lw::sound
