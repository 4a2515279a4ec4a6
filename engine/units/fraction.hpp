// SPDX-License-Identifier: Apache-2.0
//
// An exact fraction. Places in the beat are thirds, sixths and sixteenths; a double cannot hold a third, and
// a bar that "almost" adds up is a fault no teacher would understand. So time on the page is exact, and turns
// into seconds only when it is played.
//
// Range: the reader keeps every denominator it makes at or below 2^20, and sums run in 128 bits before they
// are reduced, so no phrase that was read can overflow.
#pragma once

#include <compare>
#include <concepts>
#include <cstdint>
#include <numeric>

namespace lw {

class Fraction {
  public:
    constexpr Fraction() noexcept = default;
    // A whole number is a fraction without more words: `slots == 4` should read as it is said.
    constexpr Fraction(std::int64_t whole) noexcept : top_(whole) {}  // NOLINT(google-explicit-constructor)
    // A floating number would lose its fraction on the way in: 0.5 beats would be none at all.
    Fraction(std::floating_point auto) = delete;
    /// `bottom` must not be 0; the sign ends up on top and common factors go.
    constexpr Fraction(std::int64_t top, std::int64_t bottom) noexcept : Fraction(reduced(top, bottom)) {}

    [[nodiscard]] constexpr std::int64_t top() const noexcept { return top_; }
    [[nodiscard]] constexpr std::int64_t bottom() const noexcept { return bottom_; }
    [[nodiscard]] constexpr double value() const noexcept {
        return static_cast<double>(top_) / static_cast<double>(bottom_);
    }
    [[nodiscard]] constexpr bool whole() const noexcept { return bottom_ == 1; }
    /// The largest whole number that is not above it: floor(-1/3) is -1.
    [[nodiscard]] constexpr std::int64_t floor() const noexcept {
        return top_ / bottom_ - ((top_ % bottom_ != 0 && top_ < 0) ? 1 : 0);
    }

    friend constexpr Fraction operator-(Fraction a) noexcept {
        a.top_ = -a.top_;
        return a;
    }
    friend constexpr Fraction operator+(Fraction a, Fraction b) noexcept {
        return reduced(Wide{a.top_} * b.bottom_ + Wide{b.top_} * a.bottom_, Wide{a.bottom_} * b.bottom_);
    }
    friend constexpr Fraction operator-(Fraction a, Fraction b) noexcept { return a + (-b); }
    friend constexpr Fraction operator*(Fraction a, Fraction b) noexcept {
        return reduced(Wide{a.top_} * b.top_, Wide{a.bottom_} * b.bottom_);
    }
    /// `b` must not be 0.
    friend constexpr Fraction operator/(Fraction a, Fraction b) noexcept {
        return reduced(Wide{a.top_} * b.bottom_, Wide{a.bottom_} * b.top_);
    }
    constexpr Fraction& operator+=(Fraction b) noexcept { return *this = *this + b; }
    constexpr Fraction& operator-=(Fraction b) noexcept { return *this = *this - b; }

    friend constexpr bool operator==(Fraction a, Fraction b) noexcept {
        return a.top_ == b.top_ && a.bottom_ == b.bottom_;
    }
    friend constexpr std::strong_ordering operator<=>(Fraction a, Fraction b) noexcept {
        return Wide{a.top_} * b.bottom_ <=> Wide{b.top_} * a.bottom_;
    }

  private:
    __extension__ using Wide = __int128;

    static constexpr Fraction reduced(Wide top, Wide bottom) noexcept {
        if (bottom < 0) {
            top = -top;
            bottom = -bottom;
        }
        Wide a = top < 0 ? -top : top;
        Wide b = bottom;
        while (b != 0) {
            const Wide rest = a % b;
            a = b;
            b = rest;
        }
        Fraction f;
        f.top_ = static_cast<std::int64_t>(top / a);
        f.bottom_ = static_cast<std::int64_t>(bottom / a);
        return f;
    }

    std::int64_t top_ = 0;
    std::int64_t bottom_ = 1;
};

}  // namespace lw
