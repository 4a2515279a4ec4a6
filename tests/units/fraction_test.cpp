// SPDX-License-Identifier: GPL-3.0-or-later
//
// Exact fractions keep the laws of arithmetic (properties, random values, seed printed on failure), stay
// reduced, and order as rational numbers do: cross-multiplied in 128 bits as the dumb twin.
#include "engine/units/fraction.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <limits>

namespace lw {
namespace {

/// What a lick can hold: denominators up to 2^20, places up to some thousand beats.
rc::Gen<Fraction> fractions() {
    return rc::gen::apply(
        [](std::int64_t top, std::int64_t bottom) {
            return Fraction{top, bottom};
        },
        rc::gen::inRange<std::int64_t>(-(1LL << 32), 1LL << 32),
        rc::gen::inRange<std::int64_t>(1, (1LL << 20) + 1));
}
/// Small enough that products of three stay inside 64 bits.
rc::Gen<Fraction> small_fractions() {
    return rc::gen::apply(
        [](std::int64_t top, std::int64_t bottom) {
            return Fraction{top, bottom};
        },
        rc::gen::inRange<std::int64_t>(-2000, 2001), rc::gen::inRange<std::int64_t>(1, 2001));
}

void expect_reduced(Fraction f) {
    RC_ASSERT(f.bottom() > 0);
    RC_ASSERT(std::gcd(f.top(), f.bottom()) == 1);
}

TEST(Fractions, AreAlwaysReducedWithTheSignOnTop) {
    EXPECT_EQ(Fraction(6, -4).top(), -3);
    EXPECT_EQ(Fraction(6, -4).bottom(), 2);
    EXPECT_EQ(Fraction(0, -7), Fraction{0});
    EXPECT_EQ(Fraction(0, -7).bottom(), 1);
    EXPECT_TRUE(rc::check("sums, differences, products and quotients are reduced", [] {
        const Fraction a = *fractions();
        const Fraction b = *fractions();
        expect_reduced(a + b);
        expect_reduced(a - b);
        const Fraction c = *small_fractions();
        const Fraction d = *small_fractions();
        expect_reduced(c * d);
        if (d != Fraction{0}) expect_reduced(c / d);
    }));
}

TEST(Fractions, KeepTheLawsOfArithmetic) {
    EXPECT_TRUE(rc::check("addition", [] {
        const Fraction a = *fractions();
        const Fraction b = *fractions();
        RC_ASSERT(a + b == b + a);
        RC_ASSERT(a + b - b == a);
        RC_ASSERT(a - a == Fraction{0});
        RC_ASSERT(a + Fraction{0} == a);
        RC_ASSERT(-(-a) == a);
        Fraction c = a;
        c += b;
        c -= a;
        RC_ASSERT(c == b);
    }));
    EXPECT_TRUE(rc::check("multiplication", [] {
        const Fraction a = *small_fractions();
        const Fraction b = *small_fractions();
        const Fraction c = *small_fractions();
        RC_ASSERT(a * b == b * a);
        RC_ASSERT((a * b) * c == a * (b * c));
        RC_ASSERT((a + b) + c == a + (b + c));
        RC_ASSERT(a * (b + c) == a * b + a * c);
        if (b != Fraction{0}) RC_ASSERT(a / b * b == a);
    }));
}

TEST(Fractions, OrderLikeRationalNumbers) {
    EXPECT_TRUE(rc::check("order", [] {
        __extension__ using Wide = __int128;
        const Fraction a = *fractions();
        const Fraction b = *fractions();
        const Wide left = Wide{a.top()} * b.bottom();
        const Wide right = Wide{b.top()} * a.bottom();
        RC_ASSERT((a < b) == (left < right));
        RC_ASSERT((a == b) == (left == right));
        RC_ASSERT((a <= b) == !(b < a));
        if (a < b) RC_ASSERT(a + Fraction(1, 3) < b + Fraction(1, 3));
    }));
}

TEST(Fractions, FloorIsTheLargestWholeNumberNotAbove) {
    EXPECT_EQ(Fraction(-1, 3).floor(), -1);
    EXPECT_EQ(Fraction(7, 2).floor(), 3);
    EXPECT_EQ(Fraction(-4, 2).floor(), -2);
    EXPECT_EQ(Fraction(0).floor(), 0);
    EXPECT_TRUE(rc::check("floor", [] {
        const Fraction a = *fractions();
        const Fraction whole{a.floor()};
        RC_ASSERT(whole <= a);
        RC_ASSERT(a < whole + Fraction{1});
        RC_ASSERT(a.whole() == (whole == a));
        RC_ASSERT(std::abs(a.value() - static_cast<double>(a.top()) / static_cast<double>(a.bottom())) == 0);
    }));
}

TEST(Fractions, ABarOfThirdsAddsUpExactly) {
    Fraction sum{0};
    for (int i = 0; i < 3 * 4096; ++i) sum += Fraction(1, 3);
    EXPECT_EQ(sum, Fraction{4096});
    for (int i = 0; i < 1 << 20; ++i) sum -= Fraction(1, 1 << 20);
    EXPECT_EQ(sum, Fraction{4095});
}

TEST(Fractions, SumsInsideTheReadersRangeDoNotOverflow) {
    // The largest denominators that a reader makes, coprime: the sum needs more than 64 bits before reducing.
    const std::int64_t big = 1LL << 20;
    const Fraction a(big * 4096 - 1, big);
    const Fraction b((big - 1) * 4096 - 1, big - 1);
    EXPECT_EQ((a + b) - b, a);
    EXPECT_LT(Fraction(std::numeric_limits<std::int64_t>::max() - 1, big),
              Fraction(std::numeric_limits<std::int64_t>::max(), big - 1));
}

}  // namespace
}  // namespace lw
