// SPDX-License-Identifier: GPL-3.0-or-later
//
// Operations without a meaning do not compile. Each refusal stands beside the sensible twin that does, so a
// type that refuses everything would not pass either.
#include <gtest/gtest.h>

#include "engine/units/quantity.hpp"

namespace lw {
namespace {

template <class A, class B>
concept adds = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept subtracts = requires(A a, B b) {
    a - b;
};
template <class A, class B>
concept multiplies = requires(A a, B b) {
    a* b;
};
template <class A, class B>
concept divides = requires(A a, B b) {
    a / b;
};
template <class A, class B>
concept compares = requires(A a, B b) {
    a < b;
};
template <class A, class B>
concept equals = requires(A a, B b) {
    a == b;
};
template <class A, class B>
concept becomes = std::is_convertible_v<A, B> || std::is_constructible_v<B, A>;

// Pitches: a place, not an amount.
static_assert(!adds<Pitch, Pitch>);
static_assert(!multiplies<Pitch, double>);
static_assert(!adds<Pitch, Cents>);
static_assert(!adds<Pitch, double>);
static_assert(adds<Pitch, Semitones> && subtracts<Pitch, Semitones>);
static_assert(std::is_same_v<decltype(Pitch{} - Pitch{}), Semitones>);

// Frequencies: compared and scaled, never added.
static_assert(!adds<Hz, Hz> && !subtracts<Hz, Hz>);
static_assert(!multiplies<Hz, Hz>);
static_assert(!adds<Hz, double>);
static_assert(!compares<Hz, double> && !compares<Hz, Pitch>);
static_assert(multiplies<Hz, double> && compares<Hz, Hz>);
static_assert(std::is_same_v<decltype(Hz{} / Hz{}), double>);

// Units do not mix unless a line of code says so.
static_assert(!adds<Cents, Semitones> && !subtracts<Semitones, Cents>);
static_assert(!compares<Cents, Semitones> && !equals<Cents, Semitones>);
static_assert(!becomes<Cents, Semitones> && !becomes<Semitones, Cents>);
static_assert(!becomes<Cents, double>);
static_assert(!adds<Cents, double> && !adds<double, Cents>);
static_assert(!multiplies<Cents, Cents>);
static_assert(!divides<double, Cents>);
static_assert(adds<Cents, Cents> && multiplies<Cents, double> && multiplies<double, Cents>);
static_assert(std::is_same_v<decltype(Cents{} / Cents{}), double>);
static_assert(!adds<Seconds, Beats> && !compares<Seconds, Beats> && !becomes<Seconds, Beats>);
static_assert(!adds<BeatsPerMinute, Beats> && !becomes<BeatsPerMinute, Hz>);
static_assert(!adds<Decibels, Cents>);

// Time on the page is exact: a floating number does not slip in and lose its fraction.
static_assert(!becomes<double, Fraction> && !becomes<float, Fraction>);
static_assert(!multiplies<Beats, double> && !adds<Fraction, double> && !equals<Fraction, double>);
static_assert(becomes<int, Fraction> && multiplies<Beats, int> && multiplies<Beats, Fraction>);

TEST(Units, ConvertWhereALineSaysSo) {
    using namespace literals;
    static_assert(to_cents(1.5_semitones) == 150_cents);
    static_assert(to_semitones(50_cents) == 0.5_semitones);
    static_assert(Pitch{69} + 3_semitones == Pitch{72});
    static_assert(440_hz * 2 == 880.0_hz);
    static_assert(1.5_s + 0.5_s == 2_s);
    Cents drift = 10_cents;
    drift += 5_cents;
    drift -= 1_cents;
    EXPECT_EQ(drift, 14_cents);
    EXPECT_EQ(-drift / 7.0, -2_cents);
    EXPECT_EQ(2.0 * drift, 28_cents);
    EXPECT_EQ(Beats{Fraction(2, 3)} + Beats{Fraction(1, 3)}, Beats{1});
    EXPECT_EQ(Beats{Fraction(2, 3)} / Beats{Fraction(1, 3)}, Fraction{2});
}

}  // namespace
}  // namespace lw
