// SPDX-License-Identifier: GPL-3.0-or-later
//
// The ear on sound it was not made with: harmonicas out of two soundfonts, the second never used for tuning. A handful of
// takes keeps a change from doing harm unseen; how well we listen is measured by bench/hear on hundreds.
#include <gtest/gtest.h>

#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace lw::listening {
namespace {

struct Floor {
    const char* instrument;
    Condition condition;
    double tab;  // F1; some hundredths under what was measured when this was written
};

class Hearing : public testing::TestWithParam<Floor> {};

TEST_P(Hearing, KeepsWhatItCould) {
    const Floor& floor = GetParam();
    const Instrument& instrument = *instrument_named(floor.instrument);
    auto maker = TakeMaker::open(instrument);
    ASSERT_TRUE(maker) << "install " << instrument.package;
    Score sum{};
    for (std::uint64_t seed = 301; seed <= 304; ++seed) {
        const Take take = maker->make({.condition = floor.condition, .seed = seed});
        const hear::Heard heard =
            hear::listen(take.samples, take_rate, {.harp = take.phrase.harp, .a4 = {}, .reeds = {}});
        sum += score(take.phrase.harp, take.truth, heard,
                     {static_cast<double>(take.samples.size()) / take_rate});
    }
    EXPECT_GE(sum.tab.f1(), floor.tab);
    RecordProperty("tab_f1", std::to_string(sum.tab.f1()));
}

INSTANTIATE_TEST_SUITE_P(Samples, Hearing,
                         testing::Values(Floor{"fluid-harmonica", Condition::clean, 0.94},
                                         Floor{"fluid-harmonica", Condition::room, 0.85},
                                         Floor{"tim-harmonica", Condition::clean, 0.92}));

}  // namespace
}  // namespace lw::listening
