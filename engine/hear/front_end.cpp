// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/front_end.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>

namespace lw::hear {
namespace {

double hz(double midi) noexcept {
    return 440.0 * std::exp2((midi - 69.0) / 12.0);
}

/// A periodic Hann window that sums to 1.
std::vector<double> hann(int n) {
    std::vector<double> w(static_cast<std::size_t>(n));
    for (int i = 0; i < n; ++i)
        w[static_cast<std::size_t>(i)] = (1.0 - std::cos(2.0 * std::numbers::pi * i / n)) / n;
    return w;
}

// The transform is of doubles so that every machine hears the same: C libraries differ in the last bit of a sine, which
// is gone when a power becomes a float, and in the logarithm to base 10 of a float, but not in the natural one.
void power_of(const kissfft<double>& fft, const double* in, int window, std::complex<double>* spectrum,
              float* power) noexcept {
    fft.transform_real(in, spectrum);
    const int half = window / 2;
    const auto square = [](double x) { return x * x; };
    power[0] = static_cast<float>(square(spectrum[0].real()));
    power[half] = static_cast<float>(square(spectrum[0].imag()));  // kissfft keeps the last bin there
    for (int k = 1; k < half; ++k)
        power[k] = static_cast<float>(square(spectrum[k].real()) + square(spectrum[k].imag()));
}

float feature(float band) noexcept {
    constexpr float decibels = 10.0F / std::numbers::ln10_v<float>;
    return (decibels * std::log(band + 1e-10F) + 60.0F) / 30.0F;
}

}  // namespace

FrontEnd::Band FrontEnd::band(double centre, double step, double bin_width, int bins) {
    const double f = hz(centre);
    const double below = std::max(f - hz(centre - step), bin_width);
    const double above = std::max(hz(centre + step) - f, bin_width);
    Band b;
    b.weight = static_cast<int>(weights_.size());
    b.first = -1;
    for (int k = 0; k < bins; ++k) {
        const double from = k * bin_width - f;
        const double weight = 1.0 - std::abs(from) / (from < 0 ? below : above);
        if (weight <= 0.0) continue;
        if (b.first < 0) b.first = k;
        b.count = k - b.first + 1;
        weights_.push_back(static_cast<float>(weight));
    }
    if (b.first < 0) b.first = 0;
    return b;
}

FrontEnd::FrontEnd() : long_hann_(hann(long_window)), short_hann_(hann(short_window)) {
    for (int i = 0; i < long_bands; ++i)
        long_band_[static_cast<std::size_t>(i)] =
            band(lowest_band + i / 2.0, 0.5, ear_rate / long_window, long_bins);
    for (int i = 0; i < short_bands; ++i)
        short_band_[static_cast<std::size_t>(i)] =
            band(lowest_short_band + 2.0 * i, 2.0, ear_rate / short_window, short_bins);
    windowed_.resize(long_window);
    spectrum_.resize(long_window / 2);
    short_power_.resize(short_bins);
    samples_.assign(capacity + long_window, 0.0F);
    // Frame 0 stands in the middle of its window: half a window of silence goes before it.
    held_ = long_window / 2;
    base_ = -long_window / 2;
}

std::size_t FrontEnd::take(std::span<const float> samples) noexcept {
    const std::size_t n = std::min(samples.size(), samples_.size() - held_);
    std::copy_n(samples.begin(), n, samples_.begin() + static_cast<std::ptrdiff_t>(held_));
    held_ += n;
    return n;
}

bool FrontEnd::next(View& view) noexcept {
    const std::int64_t first = frames_ * hop - long_window / 2;
    const auto end = static_cast<std::int64_t>(held_) + base_;
    if (first + long_window > end) {
        // Nothing more to see: make room, but keep the last window, which `latest` may ask for.
        const std::int64_t drop = std::min(first, end - long_window) - base_;
        if (drop > 0 && held_ > capacity / 2) {
            held_ -= static_cast<std::size_t>(drop);
            std::memmove(samples_.data(), &samples_[static_cast<std::size_t>(drop)], held_ * sizeof(float));
            base_ += drop;
        }
        return false;
    }
    const float* at = &samples_[static_cast<std::size_t>(first - base_)];
    for (int i = 0; i < long_window; ++i)
        windowed_[static_cast<std::size_t>(i)] =
            static_cast<double>(at[i]) * long_hann_[static_cast<std::size_t>(i)];
    power_of(long_fft_, windowed_.data(), long_window, spectrum_.data(), view.power.data());

    const float* middle = at + (long_window - short_window) / 2;
    double energy[4] = {};
    for (int i = 0; i < short_window; i += 4)
        for (int j = 0; j < 4; ++j) {
            const auto k = static_cast<std::size_t>(i + j);
            windowed_[k] = static_cast<double>(middle[k]) * short_hann_[k];
            energy[j] += windowed_[k] * static_cast<double>(middle[k]);
        }
    view.energy = static_cast<float>((energy[0] + energy[1]) + (energy[2] + energy[3]));
    power_of(short_fft_, windowed_.data(), short_window, spectrum_.data(), short_power_.data());

    const auto sum = [&](const Band& b, const float* power) {
        float s = 0.0F;
        for (int k = 0; k < b.count; ++k)
            s += weights_[static_cast<std::size_t>(b.weight + k)] * power[b.first + k];
        return s;
    };
    for (std::size_t i = 0; i < long_bands; ++i)
        view.features[i] = feature(sum(long_band_[i], view.power.data()));
    for (std::size_t i = 0; i < short_bands; ++i)
        view.features[long_bands + i] = feature(sum(short_band_[i], short_power_.data()));
    ++frames_;
    return true;
}

}  // namespace lw::hear
