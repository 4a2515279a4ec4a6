// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/loudness.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lw::sound {
namespace {

// ITU-R BS.1770-4, annex 1.
constexpr double offset_db = -0.691;
constexpr double absolute_gate = -70.0;
constexpr double relative_gate = -10.0;
// EBU Tech 3342.
constexpr double range_gate = -20.0;
constexpr std::size_t momentary_hops = 4;  // of 100 ms: blocks of 400 ms overlap by three quarters
constexpr std::size_t short_term_hops = 30;

Lufs loudness_of(double mean_square) noexcept {
    return mean_square <= 1e-20 ? silence : Lufs{offset_db + 10.0 * std::log10(mean_square)};
}
double mean_square_of(double lufs) noexcept {
    return std::pow(10.0, (lufs - offset_db) / 10.0);
}

double mean_above(const std::vector<double>& blocks, double gate) noexcept {
    double sum = 0.0;
    std::size_t count = 0;
    for (const double block : blocks) {
        if (block > gate) {
            sum += block;
            ++count;
        }
    }
    return count == 0 ? 0.0 : sum / static_cast<double>(count);
}

}  // namespace

Biquad<double> weighting_shelf(Hz rate) noexcept {
    constexpr double f0 = 1681.974450955533;
    constexpr double gain = 3.999843853973347;
    constexpr double q = 0.7071752369554196;
    const double k = std::tan(std::numbers::pi * f0 / rate.value);
    const double vh = std::pow(10.0, gain / 20.0);
    const double vb = std::pow(vh, 0.4996667741545416);
    return detail::scaled<double>(vh + vb * k / q + k * k, 2.0 * (k * k - vh), vh - vb * k / q + k * k,
                                  1.0 + k / q + k * k, 2.0 * (k * k - 1.0), 1.0 - k / q + k * k);
}

Biquad<double> weighting_high_pass(Hz rate) noexcept {
    constexpr double f0 = 38.13547087602444;
    constexpr double q = 0.5003270373238773;
    const double k = std::tan(std::numbers::pi * f0 / rate.value);
    const double a0 = 1.0 + k / q + k * k;
    return detail::scaled<double>(1.0, -2.0, 1.0, 1.0, 2.0 * (k * k - 1.0) / a0, (1.0 - k / q + k * k) / a0);
}

LoudnessMeter::LoudnessMeter(int channels, Hz rate)
    : channels_(static_cast<std::size_t>(channels), {weighting_shelf(rate), weighting_high_pass(rate)}),
      hop_(static_cast<std::size_t>(std::lround(rate.value / 10.0))) {}

void LoudnessMeter::add(std::span<const float> interleaved) {
    const std::size_t width = channels_.size();
    std::size_t at = 0;
    const std::size_t frames = interleaved.size() / width;
    while (at < frames) {
        const std::size_t n = std::min(hop_ - in_hop_, frames - at);
        for (std::size_t c = 0; c < width; ++c) {
            Weighting w = channels_[c];
            double energy = 0.0;
            for (std::size_t i = at; i < at + n; ++i) {
                const double y = w.high_pass(w.shelf(double{interleaved[i * width + c]}));
                energy += y * y;
            }
            // Silence must not leave numbers too small to be quick behind.
            if (energy < 1e-40) {
                w.shelf.reset();
                w.high_pass.reset();
            }
            channels_[c] = w;
            hop_energy_ += energy;
        }
        at += n;
        in_hop_ += n;
        if (in_hop_ == hop_) {
            hops_.push_back(hop_energy_ / static_cast<double>(hop_));
            hop_energy_ = 0.0;
            in_hop_ = 0;
        }
    }
}

double LoudnessMeter::mean_of_last(std::size_t end, std::size_t hops) const noexcept {
    double sum = 0.0;
    for (std::size_t i = end - hops; i < end; ++i) sum += hops_[i];
    return sum / static_cast<double>(hops);
}

std::vector<double> LoudnessMeter::means(std::size_t hops) const {
    std::vector<double> all;
    for (std::size_t end = hops; end <= hops_.size(); ++end) all.push_back(mean_of_last(end, hops));
    return all;
}

Lufs LoudnessMeter::integrated() const {
    const std::vector<double> blocks = means(momentary_hops);
    const double loud = mean_above(blocks, mean_square_of(absolute_gate));
    if (loud <= 0.0) return silence;
    const double gate = std::max(mean_square_of(absolute_gate), loud * std::pow(10.0, relative_gate / 10.0));
    return loudness_of(mean_above(blocks, gate));
}

Lufs LoudnessMeter::momentary() const {
    return hops_.size() < momentary_hops ? silence : loudness_of(mean_of_last(hops_.size(), momentary_hops));
}

Lufs LoudnessMeter::short_term() const {
    return hops_.size() < short_term_hops ? silence
                                          : loudness_of(mean_of_last(hops_.size(), short_term_hops));
}

Lufs LoudnessMeter::highest_momentary() const {
    const std::vector<double> blocks = means(momentary_hops);
    return blocks.empty() ? silence : loudness_of(*std::max_element(blocks.begin(), blocks.end()));
}

LoudnessUnits LoudnessMeter::range() const {
    std::vector<double> blocks = means(short_term_hops);
    const double loud = mean_above(blocks, mean_square_of(absolute_gate));
    const double gate = std::max(mean_square_of(absolute_gate), loud * std::pow(10.0, range_gate / 10.0));
    std::erase_if(blocks, [&](double block) { return block <= gate; });
    if (blocks.empty()) return {};
    std::sort(blocks.begin(), blocks.end());
    const auto percentile = [&](double part) {
        return blocks[static_cast<std::size_t>(std::lround(part * static_cast<double>(blocks.size() - 1)))];
    };
    return {loudness_of(percentile(0.95)).value - loudness_of(percentile(0.10)).value};
}

Decibels to_decibels(double ratio) noexcept {
    return {20.0 * std::log10(std::max(ratio, 1e-10))};
}
double to_ratio(Decibels decibels) noexcept {
    return std::pow(10.0, decibels.value / 20.0);
}

}  // namespace lw::sound
