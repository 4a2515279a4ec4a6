// SPDX-License-Identifier: GPL-3.0-or-later
//
// Temperaments. Ratios and the rounded cents: O. Hansson, Theory of harmonica tuning, scale files for 1st,
// 2nd, 3rd and combined positions (2004). The half-tempered compromise: P. Missin, Compromise temperaments.
// Exact cents, frequencies and beat rates are recomputed from the ratios here.
#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

constexpr Breath blow = Breath::blow;
constexpr Breath draw = Breath::draw;

Harp in(std::string_view temperament) {
    Harp h;
    h.temperament = *temperament_named(temperament);
    return h;
}

TEST(Temperaments, RoundedCentsOfTheSource) {
    const std::array<int, 10> blown = {0, -14, 2, 0, -14, 2, 0, -14, 2, 0};
    const std::array<int, 10> level = {};
    const std::map<std::string, std::pair<std::array<int, 10>, std::array<int, 10>>> table = {
        {"equal", {level, level}},
        {"just 1st position", {blown, {4, 2, -12, 4, -2, -16, -12, 4, -2, -16}}},
        {"just 2nd position", {blown, {4, 2, -12, 4, -29, 6, -12, 4, -29, 6}}},
        {"just 3rd position", {blown, {4, 2, -12, 4, 20, 6, -12, 4, 20, 6}}},
        {"just 19-limit", {blown, {4, 2, -12, 4, 1, 6, -12, 4, 1, 6}}},
    };
    ASSERT_EQ(known_temperaments().size(), table.size() + 1);
    for (const auto& [name, cents] : table) {
        const auto t = temperament_named(name);
        ASSERT_TRUE(t) << name;
        for (int hole = 1; hole <= hole_count; ++hole) {
            const auto i = static_cast<std::size_t>(hole - 1);
            EXPECT_EQ(std::lround(t->at({hole, blow}).value), cents.first[i]) << name << " blow " << hole;
            EXPECT_EQ(std::lround(t->at({hole, draw}).value), cents.second[i]) << name << " draw " << hole;
        }
    }
    EXPECT_EQ(known_temperaments().front(), equal_temperament());
}

TEST(Temperaments, HalfTemperedChordsStandAsTheSourceSays) {
    // Roots 0, fifths +1, major thirds about -7.5, as members of the blow chord (C E G) and the draw chord
    // (G B D).
    const Temperament t = *temperament_named("half-tempered compromise");
    for (const int hole : {1, 4, 7, 10}) EXPECT_EQ(t.at({hole, blow}).value, 0);
    for (const int hole : {2, 5, 8}) EXPECT_NEAR(t.at({hole, blow}).value, -7.5, 0.5);
    for (const int hole : {3, 6, 9}) EXPECT_EQ(t.at({hole, blow}).value, 1);
    EXPECT_EQ(t.at({2, draw}).value, 0);
    for (const int hole : {3, 7}) EXPECT_NEAR(t.at({hole, draw}).value, -7.5, 0.5);
    for (const int hole : {1, 4, 8}) EXPECT_EQ(t.at({hole, draw}).value, 1);
}

double cents_above_one_blow(const Harp& h, Reed reed) {
    return 1200 * std::log2(frequency(h, reed) / frequency(h, Reed{1, blow}));
}

TEST(Temperaments, ExactCents) {
    // By definition: 1200 log2 of the ratio, to a thousandth.
    const Harp first = in("just 1st position");
    const Harp second = in("just 2nd position");
    const Harp third = in("just 3rd position");
    const Harp both = in("just 19-limit");
    EXPECT_NEAR(cents_above_one_blow(first, {1, draw}), 203.910, 5e-4);          // 9/8
    EXPECT_NEAR(cents_above_one_blow(first, {2, blow}), 386.314, 5e-4);          // 5/4
    EXPECT_NEAR(cents_above_one_blow(second, {5, draw}) - 1200, 470.781, 5e-4);  // 21/16
    EXPECT_NEAR(cents_above_one_blow(first, {5, draw}) - 1200, 498.045, 5e-4);   // 4/3
    EXPECT_NEAR(cents_above_one_blow(both, {5, draw}) - 1200, 501.423, 5e-4);    // 171/128
    EXPECT_NEAR(cents_above_one_blow(third, {5, draw}) - 1200, 519.551, 5e-4);   // 27/20
    EXPECT_NEAR(cents_above_one_blow(first, {3, blow}), 701.955, 5e-4);          // 3/2
    EXPECT_NEAR(cents_above_one_blow(first, {6, draw}) - 1200, 884.359, 5e-4);   // 5/3
    EXPECT_NEAR(cents_above_one_blow(second, {6, draw}) - 1200, 905.865, 5e-4);  // 27/16
    EXPECT_NEAR(cents_above_one_blow(first, {3, draw}), 1088.269, 5e-4);         // 15/8
}

TEST(Temperaments, Frequencies) {
    const Harp first = in("just 1st position");
    const Harp second = in("just 2nd position");
    EXPECT_NEAR(frequency(first, Reed{1, blow}).value, 261.6256, 5e-5);
    EXPECT_NEAR(frequency(first, Reed{5, blow}).value, 654.064, 5e-4);
    EXPECT_NEAR(frequency(first, Reed{6, blow}).value, 784.877, 5e-4);
    EXPECT_NEAR(frequency(first, Reed{3, draw}).value, 490.548, 5e-4);
    EXPECT_NEAR(frequency(second, Reed{5, draw}).value, 686.767, 5e-4);
    EXPECT_NEAR(frequency(first, Reed{5, draw}).value, 697.668, 5e-4);
    EXPECT_NEAR(frequency(first, Reed{6, draw}).value, 872.085, 5e-4);
    EXPECT_NEAR(frequency(second, Reed{6, draw}).value, 882.986, 5e-4);
}

TEST(Temperaments, ChordsBeatInEqualTemperamentAndNotWhenJust) {
    const auto beats = [](const Harp& h, int a, int b, int m, int n) {
        return std::abs(m * frequency(h, Reed{a, blow}).value - n * frequency(h, Reed{b, blow}).value);
    };
    EXPECT_NEAR(beats(in("equal"), 4, 5, 5, 4), 20.76, 0.005);  // C5 E5: |5 f1 - 4 f2|
    EXPECT_NEAR(beats(in("equal"), 4, 6, 3, 2), 1.77, 0.005);   // C5 G5: |3 f1 - 2 f2|
    for (const char* just :
         {"just 1st position", "just 2nd position", "just 3rd position", "just 19-limit"}) {
        EXPECT_NEAR(beats(in(just), 4, 5, 5, 4), 0, 1e-9) << just;
        EXPECT_NEAR(beats(in(just), 4, 6, 3, 2), 0, 1e-9) << just;
    }
    // The compromise lies between: slower beats than equal, faster than just.
    const double middle = beats(in("half-tempered compromise"), 4, 5, 5, 4);
    EXPECT_GT(middle, 5);
    EXPECT_LT(middle, 15);
}

TEST(Temperaments, BendsAndOverbendsStartFromTheReedAsItIsTuned) {
    const Harp h = in("just 2nd position");
    for (const HoleNote& n : every_note(h)) {
        const Reed sounding{n.hole, n.overbend ? other(n.breath) : n.breath};
        const double steps = n.overbend ? 1.0 : -n.bend().value;
        EXPECT_NEAR(12 * std::log2(*frequency(h, n) / frequency(h, sounding)), steps, 1e-9) << to_text(n);
        // The written pitch stays in equal temperament.
        EXPECT_EQ(pitch(h, n), pitch(Harp{}, n));
    }
}

TEST(Temperaments, AMovedReedMakesAPureChord) {
    // Our own choice (the source covers the standard layout): C Eb G blown and G Bb D drawn are pure minor
    // chords on natural minor, and D F# (1 or 4 draw against raised 5 draw) a pure major third.
    Harp h = in("just 1st position");
    h.tuning = *tuning_named("natural minor");
    EXPECT_NEAR(frequency(h, Reed{2, blow}) / frequency(h, Reed{1, blow}), 6.0 / 5, 1e-12);
    EXPECT_NEAR(frequency(h, Reed{3, draw}) / frequency(h, Reed{2, draw}), 6.0 / 5, 1e-12);
    h.tuning = *tuning_named("raised 5 draw");
    EXPECT_NEAR(frequency(h, Reed{5, draw}) / frequency(h, Reed{4, draw}), 5.0 / 4, 1e-12);
    h.tuning = *tuning_named("raised 3 blow");
    EXPECT_NEAR(frequency(h, Reed{6, draw}) / frequency(h, Reed{3, blow}), 2, 1e-12);
    // In equal temperament nothing is off anywhere.
    h.temperament = equal_temperament();
    for (const Tuning& t : known_tunings()) {
        h.tuning = t;
        for (int hole = 1; hole <= hole_count; ++hole)
            for (const Breath b : {blow, draw})
                EXPECT_EQ(frequency(h, Reed{hole, b}), frequency(h, made_for(h, {hole, b})));
    }
}

TEST(Temperaments, NamesAreReadGenerously) {
    for (const Temperament& t : known_temperaments()) EXPECT_EQ(temperament_named(t.name), t);
    EXPECT_EQ(temperament_named("Equal Temperament")->name, "equal");
    EXPECT_EQ(temperament_named("12-TET")->name, "equal");
    EXPECT_EQ(temperament_named("7-limit")->name, "just 2nd position");
    EXPECT_EQ(temperament_named("19-limit")->name, "just 19-limit");
    EXPECT_EQ(temperament_named("half-tempered")->name, "half-tempered compromise");
    EXPECT_FALSE(temperament_named("5-limit"));  // the trade uses it for two schemes
    EXPECT_FALSE(temperament_named("just"));
    EXPECT_FALSE(temperament_named(""));
}

}  // namespace
}  // namespace lw::harp
