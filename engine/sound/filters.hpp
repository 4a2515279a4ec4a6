// SPDX-License-Identifier: Apache-2.0
//
// The two filters of the room: a second-order section with fixed values, and a low-pass that may move while
// it runs. Private to the room. Neither allocates; both are exact in double or float as `Number` says.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/units/quantity.hpp"

namespace lw::sound {

/// y = b0 x + b1 x1 + b2 x2 - a1 y1 - a2 y2, transposed direct form II.
template <class Number>
struct Biquad {
    Number b0{1}, b1{0}, b2{0}, a1{0}, a2{0};
    Number s1{0}, s2{0};

    Number operator()(Number x) noexcept {
        const Number y = b0 * x + s1;
        s1 = b1 * x - a1 * y + s2;
        s2 = b2 * x - a2 * y;
        return y;
    }
    void reset() noexcept { s1 = s2 = Number{0}; }
};

namespace detail {
/// A centre must stay below half the rate; nine tenths of it is as near as a filter of this kind is well
/// behaved.
inline double turn(Hz centre, Hz rate) noexcept {
    return 2.0 * std::numbers::pi * std::min(centre.value, 0.45 * rate.value) / rate.value;
}
template <class Number>
Biquad<Number> scaled(double b0, double b1, double b2, double a0, double a1, double a2) noexcept {
    Biquad<Number> f;
    f.b0 = static_cast<Number>(b0 / a0);
    f.b1 = static_cast<Number>(b1 / a0);
    f.b2 = static_cast<Number>(b2 / a0);
    f.a1 = static_cast<Number>(a1 / a0);
    f.a2 = static_cast<Number>(a2 / a0);
    return f;
}
}  // namespace detail

// The next three after R. Bristow-Johnson, Cookbook formulae for audio equalizer biquad filter coefficients
// (formulas from memory; the tests measure the responses).

/// A bell of `gain` at `centre`; `q` is centre over width.
template <class Number>
Biquad<Number> bell(Hz centre, double q, Decibels gain, Hz rate) noexcept {
    const double w = detail::turn(centre, rate);
    const double a = std::pow(10.0, gain.value / 40.0);
    const double alpha = std::sin(w) / (2.0 * q);
    return detail::scaled<Number>(1 + alpha * a, -2 * std::cos(w), 1 - alpha * a, 1 + alpha / a,
                                  -2 * std::cos(w), 1 - alpha / a);
}

template <class Number>
Biquad<Number> high_pass(Hz corner, double q, Hz rate) noexcept {
    const double w = detail::turn(corner, rate);
    const double alpha = std::sin(w) / (2.0 * q);
    const double c = std::cos(w);
    return detail::scaled<Number>((1 + c) / 2, -(1 + c), (1 + c) / 2, 1 + alpha, -2 * c, 1 - alpha);
}

/// Peak gain 1 at `centre`.
template <class Number>
Biquad<Number> band_pass(Hz centre, double q, Hz rate) noexcept {
    const double w = detail::turn(centre, rate);
    const double alpha = std::sin(w) / (2.0 * q);
    return detail::scaled<Number>(alpha, 0, -alpha, 1 + alpha, -2 * std::cos(w), 1 - alpha);
}

/// A resonant low-pass whose corner may change at any sample without a click (trapezoidal state-variable
/// form; V. Zavalishin, The Art of VA Filter Design, 2012, from memory).
class MovingLowPass {
  public:
    void set(Hz corner, double q, Hz rate) noexcept {
        const double g = std::tan(detail::turn(corner, rate) / 2.0);
        const double k = 1.0 / q;
        a1_ = static_cast<float>(1.0 / (1.0 + g * (g + k)));
        a2_ = static_cast<float>(g / (1.0 + g * (g + k)));
        a3_ = static_cast<float>(g * g / (1.0 + g * (g + k)));
    }
    float operator()(float x) noexcept {
        const float v3 = x - s2_;
        const float v1 = a1_ * s1_ + a2_ * v3;
        const float v2 = s2_ + a2_ * s1_ + a3_ * v3;
        s1_ = 2.0F * v1 - s1_;
        s2_ = 2.0F * v2 - s2_;
        return v2;
    }
    void reset() noexcept { s1_ = s2_ = 0.0F; }

  private:
    float a1_ = 1.0F, a2_ = 0.0F, a3_ = 0.0F;
    float s1_ = 0.0F, s2_ = 0.0F;
};

}  // namespace lw::sound
