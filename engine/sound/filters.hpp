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

/// y = b0 x + b1 x1 + b2 x2 - a1 y1 - a2 y2, kept as two states that wait for x and for each other only: the
/// way from one sample to the next is one product and two sums, about half of the textbook's transposed form.
template <class Number>
struct Biquad {
    Number b0{1}, b1{0}, b2{0}, a1{0}, a2{0};
    Number c1{0}, c2{0};  // b1 - a1 b0, b2 - a2 b0
    Number s1{0}, s2{0};

    Number operator()(Number x) noexcept {
        const Number y = b0 * x + s1;
        const Number next = (c1 * x + s2) - a1 * s1;
        s2 = c2 * x - a2 * s1;
        s1 = next;
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
    f.c1 = static_cast<Number>((b1 - a1 / a0 * b0) / a0);
    f.c2 = static_cast<Number>((b2 - a2 / a0 * b0) / a0);
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
        const double a1 = 1.0 / (1.0 + g * (g + k));
        const double a2 = g * a1;
        const double a3 = g * a2;
        // One step of the loop, multiplied out: states and input to states and output.
        s1_from_s1_ = static_cast<float>(2.0 * a1 - 1.0);
        s1_from_s2_ = static_cast<float>(-2.0 * a2);
        s1_from_x_ = static_cast<float>(2.0 * a2);
        s2_from_s1_ = static_cast<float>(2.0 * a2);
        s2_from_s2_ = static_cast<float>(1.0 - 2.0 * a3);
        s2_from_x_ = static_cast<float>(2.0 * a3);
        y_from_s1_ = static_cast<float>(a2);
        y_from_s2_ = static_cast<float>(1.0 - a3);
        y_from_x_ = static_cast<float>(a3);
    }
    float operator()(float x) noexcept {
        const float y = y_from_x_ * x + (y_from_s1_ * s1_ + y_from_s2_ * s2_);
        const float s1 = (s1_from_x_ * x + s1_from_s2_ * s2_) + s1_from_s1_ * s1_;
        s2_ = (s2_from_x_ * x + s2_from_s1_ * s1_) + s2_from_s2_ * s2_;
        s1_ = s1;
        return y;
    }
    void reset() noexcept { s1_ = s2_ = 0.0F; }

  private:
    float s1_from_s1_ = 0.0F, s1_from_s2_ = 0.0F, s1_from_x_ = 0.0F;
    float s2_from_s1_ = 0.0F, s2_from_s2_ = 0.0F, s2_from_x_ = 0.0F;
    float y_from_s1_ = 0.0F, y_from_s2_ = 0.0F, y_from_x_ = 1.0F;
    float s1_ = 0.0F, s2_ = 0.0F;
};

}  // namespace lw::sound
