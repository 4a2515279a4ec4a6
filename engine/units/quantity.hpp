// SPDX-License-Identifier: Apache-2.0
//
// Numbers that know their unit. Each unit is a type of its own: cents do not mix with semitones unless a line
// of code says so, and an operation without a meaning (a frequency plus a frequency, a pitch plus a pitch)
// does not compile. tests/units/must_not_compile_test.cpp holds those refusals.
#pragma once

#include <compare>

#include "engine/units/fraction.hpp"

namespace lw {

/// An amount of something that adds up: `Tag` names the unit, `Number` holds the count.
template <class Tag, class Number = double>
struct Quantity {
    Number value{};

    friend constexpr Quantity operator+(Quantity a, Quantity b) noexcept { return {a.value + b.value}; }
    friend constexpr Quantity operator-(Quantity a, Quantity b) noexcept { return {a.value - b.value}; }
    friend constexpr Quantity operator-(Quantity a) noexcept { return {-a.value}; }
    friend constexpr Quantity operator*(Quantity a, Number k) noexcept { return {a.value * k}; }
    friend constexpr Quantity operator*(Number k, Quantity a) noexcept { return {a.value * k}; }
    friend constexpr Quantity operator/(Quantity a, Number k) noexcept { return {a.value / k}; }
    friend constexpr Number operator/(Quantity a, Quantity b) noexcept { return a.value / b.value; }
    constexpr Quantity& operator+=(Quantity b) noexcept { return *this = *this + b; }
    constexpr Quantity& operator-=(Quantity b) noexcept { return *this = *this - b; }
    friend constexpr bool operator==(Quantity, Quantity) noexcept = default;
    friend constexpr auto operator<=>(Quantity, Quantity) noexcept = default;
};

/// A hundredth of an equal-tempered semitone.
using Cents = Quantity<struct CentsTag>;
/// An equal-tempered semitone, the twelfth part of an octave.
using Semitones = Quantity<struct SemitonesTag>;
/// Time as it passes.
using Seconds = Quantity<struct SecondsTag>;
/// Time on the page, exact: 1 is one felt beat, which is one slot of a lick (a dotted quarter in 6/8 and
/// 12/8).
using Beats = Quantity<struct BeatsTag, Fraction>;
/// Felt beats in a minute.
using BeatsPerMinute = Quantity<struct BeatsPerMinuteTag>;
/// Full-scale ratio in decibels.
using Decibels = Quantity<struct DecibelsTag>;

constexpr Cents to_cents(Semitones s) noexcept {
    return {s.value * 100.0};
}
constexpr Semitones to_semitones(Cents c) noexcept {
    return {c.value / 100.0};
}

/// A frequency. Frequencies are compared and scaled; two of them are never added.
struct Hz {
    double value = 0.0;
    friend constexpr Hz operator*(Hz f, double ratio) noexcept { return {f.value * ratio}; }
    friend constexpr double operator/(Hz a, Hz b) noexcept { return a.value / b.value; }
    friend constexpr bool operator==(Hz, Hz) noexcept = default;
    friend constexpr auto operator<=>(Hz, Hz) noexcept = default;
};

/// A place on the scale of pitch, counted in MIDI note numbers (60 is C4), with fractions: 60.5 is 50 cents
/// above. Two pitches differ by an interval; they are never added.
struct Pitch {
    double midi = 0.0;
    friend constexpr Pitch operator+(Pitch p, Semitones s) noexcept { return {p.midi + s.value}; }
    friend constexpr Pitch operator-(Pitch p, Semitones s) noexcept { return {p.midi - s.value}; }
    friend constexpr Semitones operator-(Pitch a, Pitch b) noexcept { return {a.midi - b.midi}; }
    friend constexpr bool operator==(Pitch, Pitch) noexcept = default;
    friend constexpr auto operator<=>(Pitch, Pitch) noexcept = default;
};

inline namespace literals {
constexpr Cents operator""_cents(long double v) {
    return {static_cast<double>(v)};
}
constexpr Cents operator""_cents(unsigned long long v) {
    return {static_cast<double>(v)};
}
constexpr Semitones operator""_semitones(long double v) {
    return {static_cast<double>(v)};
}
constexpr Semitones operator""_semitones(unsigned long long v) {
    return {static_cast<double>(v)};
}
constexpr Seconds operator""_s(long double v) {
    return {static_cast<double>(v)};
}
constexpr Seconds operator""_s(unsigned long long v) {
    return {static_cast<double>(v)};
}
constexpr Hz operator""_hz(long double v) {
    return {static_cast<double>(v)};
}
constexpr Hz operator""_hz(unsigned long long v) {
    return {static_cast<double>(v)};
}
}  // namespace literals

}  // namespace lw
