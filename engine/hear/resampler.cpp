// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/resampler.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>

namespace lw::hear {
namespace {

constexpr int zero_crossings = 20;   // a side; fewer and sound above 9 kHz folds into the top bands
constexpr double kaiser_beta = 8.0;  // 80 dB of stop band
constexpr float loudest = 8.0F;      // full scale is 1; a square of this is far from overflow

/// The modified Bessel function of order 0 by its series; the terms fall off fast for arguments up to 10.
double bessel_i0(double x) noexcept {
    double sum = 1.0;
    double term = 1.0;
    for (int k = 1; k < 40 && term > 1e-17 * sum; ++k) {
        term *= (x / 2.0 / k) * (x / 2.0 / k);
        sum += term;
    }
    return sum;
}

/// `x` in zero crossings; `middle` is bessel_i0(kaiser_beta).
double kernel(double x, double middle) noexcept {
    const double edge = x / zero_crossings;
    if (std::abs(edge) >= 1.0) return 0.0;
    const double window = bessel_i0(kaiser_beta * std::sqrt(1.0 - edge * edge)) / middle;
    const double turn = std::numbers::pi * x;
    return window * (std::abs(turn) < 1e-9 ? 1.0 : std::sin(turn) / turn);
}

/// Four sums side by side: the compiler may turn them into one register without changing the order of any sum.
float dot(const float* a, const float* b, int n) noexcept {
    float s[8] = {};
    int i = 0;
    for (; i + 8 <= n; i += 8)
        for (int j = 0; j < 8; ++j) s[j] += a[i + j] * b[i + j];
    for (; i < n; ++i) s[0] += a[i] * b[i];
    return ((s[0] + s[4]) + (s[1] + s[5])) + ((s[2] + s[6]) + (s[3] + s[7]));
}

}  // namespace

Resampler::Resampler(double rate) {
    const double in_rate = std::isfinite(rate) ? std::clamp(rate, 8000.0, 192000.0) : ear_rate;
    ratio_ = in_rate / ear_rate;
    const double crossing = std::max(ratio_, 1.0);  // input samples between zero crossings
    half_ = static_cast<int>(std::ceil(zero_crossings * crossing));
    // The kernel is smooth against its zero crossings: 512 rows to each keep straight lines between rows 100 dB true.
    phases_ = std::clamp(static_cast<int>(std::ceil(512.0 / crossing)), 64, 512);
    table_.resize(static_cast<std::size_t>(phases_ + 1) * static_cast<std::size_t>(2 * half_));
    const double middle = bessel_i0(kaiser_beta);
    for (int p = 0; p <= phases_; ++p) {
        float* row = &table_[static_cast<std::size_t>(p) * static_cast<std::size_t>(2 * half_)];
        // Tap k stands at input sample floor(place) - half + 1 + k.
        for (int k = 0; k < 2 * half_; ++k) {
            const double from_place = k - half_ + 1 - static_cast<double>(p) / phases_;
            row[k] = static_cast<float>(kernel(from_place / crossing, middle) / crossing);
        }
    }
    base_ = -half_;
    held_ = static_cast<std::size_t>(half_);
    input_.assign(static_cast<std::size_t>(4 * half_) + most_in, 0.0F);
    out_.resize(static_cast<std::size_t>(
                    std::ceil(static_cast<double>(2 * half_ + static_cast<int>(most_in)) / ratio_)) +
                4);
}

void Resampler::ready(std::int64_t end) noexcept {
    out_count_ = 0;
    const int taps = 2 * half_;
    for (;;) {
        const double place = static_cast<double>(made_) * ratio_;
        const auto whole = static_cast<std::int64_t>(place);
        if (whole + half_ >= end) break;
        const double part = (place - static_cast<double>(whole)) * phases_;
        const int phase = static_cast<int>(part);
        const auto mix = static_cast<float>(part - phase);
        const float* in = &input_[static_cast<std::size_t>(whole - half_ + 1 - base_)];
        const float* row = &table_[static_cast<std::size_t>(phase) * static_cast<std::size_t>(taps)];
        float y = dot(in, row, taps);
        if (mix > 0.0F) y += mix * (dot(in, row + taps, taps) - y);
        out_[out_count_++] = y;
        ++made_;
    }
    // Forget what no later output needs.
    const auto keep_from = static_cast<std::int64_t>(static_cast<double>(made_) * ratio_) - half_ + 1;
    const std::int64_t drop = std::min(keep_from - base_, static_cast<std::int64_t>(held_));
    if (drop > 0) {
        held_ -= static_cast<std::size_t>(drop);
        std::memmove(input_.data(), &input_[static_cast<std::size_t>(drop)], held_ * sizeof(float));
        base_ += drop;
    }
}

std::span<const float> Resampler::step(std::span<const float> in) noexcept {
    const std::size_t n = std::min(in.size(), most_in);
    for (std::size_t i = 0; i < n; ++i)
        input_[held_ + i] = std::isfinite(in[i]) ? std::clamp(in[i], -loudest, loudest) : 0.0F;
    held_ += n;
    taken_ += static_cast<std::int64_t>(n);
    ready(base_ + static_cast<std::int64_t>(held_));
    return {out_.data(), out_count_};
}

std::span<const float> Resampler::finish() noexcept {
    const auto n = static_cast<std::size_t>(half_) + 1;
    std::fill_n(&input_[held_], n, 0.0F);
    held_ += n;
    const auto all = static_cast<std::int64_t>(std::ceil(static_cast<double>(taken_) / ratio_));
    ready(base_ + static_cast<std::int64_t>(held_));
    while (out_count_ > 0 && made_ > all) {
        --out_count_;
        --made_;
    }
    return {out_.data(), out_count_};
}

}  // namespace lw::hear
