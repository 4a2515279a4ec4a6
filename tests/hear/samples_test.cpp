// SPDX-License-Identifier: GPL-3.0-or-later
//
// The ear on sound that this project did not make: the harmonica of TimGM6mb (Debian, timgm6mb-soundfont), which was
// never used for training or tuning. A few takes only; bench/hear/hear_table measures.
#include <gtest/gtest.h>

#include "engine/hear/ear.hpp"
#include "engine/hear/plain_salience.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace lw::hear {
namespace {

using listening::Condition;

class HeldOut : public ::testing::Test {
  protected:
    void SetUp() override {
        const listening::Instrument* instrument = listening::instrument_named("tim-harmonica");
        ASSERT_NE(instrument, nullptr);
        ASSERT_TRUE(instrument->held_out);
        maker = listening::TakeMaker::open(*instrument);
        ASSERT_TRUE(maker.has_value()) << "timgm6mb-soundfont is missing; tools/setup --tests brings it";
    }
    listening::Take take(Condition condition, std::uint64_t seed) {
        return maker->make({listening::instrument_named("tim-harmonica"), condition, seed, false});
    }
    static Seconds length(const listening::Take& t) {
        return {static_cast<double>(t.samples.size()) / listening::take_rate};
    }
    static Given knowing(const listening::Take& t) {
        Given g;
        g.harp = t.phrase.harp;
        return g;
    }
    std::optional<listening::TakeMaker> maker;
};

TEST_F(HeldOut, LearnedHearsBetterThanPlain) {
    listening::Score both;
    for (const auto& [condition, least] :
         {std::pair{Condition::clean, 0.95}, std::pair{Condition::room, 0.85}}) {
        listening::Score learned, plain;
        // Twelve takes: fewer hold too few bends for a median to mean something.
        for (std::uint64_t seed = 501; seed < 513; ++seed) {
            const listening::Take t = take(condition, seed);
            learned += listening::score(t.phrase.harp, t.truth,
                                        listen(t.samples, listening::take_rate, knowing(t)), length(t));
            plain += listening::score(
                t.phrase.harp, t.truth,
                heard_in(looks_at(std::make_unique<PlainSalience>(), t.samples, listening::take_rate),
                         knowing(t)),
                length(t));
        }
        EXPECT_GE(learned.tab.f1(), least) << name(condition);
        EXPECT_GT(learned.tab.f1(), plain.tab.f1()) << name(condition);
        both += learned;
    }
    // Onset within 10 ms, bend within 10 cents, at the median.
    EXPECT_LE(*listening::percentile_of_sizes(both.onset_errors_s, 0.5), 0.010);
    EXPECT_LE(*listening::percentile_of_sizes(both.bend_errors_cents, 0.5), 10.0);
}

}  // namespace
}  // namespace lw::hear
