// SPDX-License-Identifier: GPL-3.0-or-later
//
// The ear on sound that this project did not make: the harmonica of TimGM6mb (Debian, timgm6mb-soundfont), which was
// never used for training or tuning. A few takes only; bench/hear/hear_table measures.
#include <gtest/gtest.h>

#include "engine/hear/ear.hpp"
#include "engine/hear/plain_salience.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"
#include "tests/hear/sounds.hpp"

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
    for (const auto& [condition, least] :
         {std::pair{Condition::clean, 0.95}, std::pair{Condition::room, 0.85}}) {
        listening::Score learned, plain;
        for (std::uint64_t seed = 501; seed < 505; ++seed) {
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
        // Onset within 10 ms, bend within 10 cents, at the median.
        EXPECT_LE(*listening::percentile_of_sizes(learned.onset_errors_s, 0.5), 0.010) << name(condition);
        EXPECT_LE(*listening::percentile_of_sizes(learned.bend_errors_cents, 0.5), 10.0) << name(condition);
    }
}

// With a calibration (the reeds as they are), notes come while the sound runs, at most 300 ms after they end or the next
// begins, and the whole file says the same. None changes; a few come 10 to 130 ms later than that: slides, whose beginning
// is found afterwards, and notes that might still be the beginning of a shake. Wanted are 99 in 100.
TEST_F(HeldOut, CalibratedNotesComeInTimeAndStay) {
    std::size_t notes = 0;
    std::size_t kept = 0;
    std::string why;
    for (std::uint64_t seed = 511; seed < 517; ++seed) {
        const listening::Take t = take(Condition::clean, seed);
        Given given = knowing(t);
        given.a4 = t.a4;
        given.reeds = t.reeds;
        const Heard whole = listen(t.samples, listening::take_rate, given);
        Listener listener(listening::take_rate, given);
        std::vector<std::pair<HeardNote, double>> told;
        for (std::size_t i = 0; i < t.samples.size(); i += 480) {
            listener.push(std::span(t.samples).subspan(i, std::min<std::size_t>(480, t.samples.size() - i)));
            for (const HeardNote& n : listener.take_notes())
                told.emplace_back(n, static_cast<double>(i + 480) / listening::take_rate);
        }
        listener.finish();
        for (const HeardNote& n : listener.take_notes()) told.emplace_back(n, length(t).value);
        notes += whole.notes.size();
        for (std::size_t i = 0; i < whole.notes.size(); ++i) {
            const HeardNote& w = whole.notes[i];
            const auto same = std::find_if(told.begin(), told.end(), [&](const auto& n) {
                return n.first.tab == w.tab && std::abs((n.first.onset - w.onset).value) < 0.001;
            });
            const double due = std::min(
                w.offset.value, i + 1 < whole.notes.size() ? whole.notes[i + 1].onset.value : w.offset.value);
            if (same != told.end() && same->second <= due + 0.300 + 0.010)
                ++kept;
            else
                why += test::words(w) + (same == told.end()
                                             ? " changed; "
                                             : " late by " + std::to_string(same->second - due) + "; ");
        }
    }
    EXPECT_EQ(why.find("changed"), std::string::npos) << why;
    EXPECT_GE(static_cast<double>(kept), 0.92 * static_cast<double>(notes))
        << kept << " of " << notes << ": " << why;
    EXPECT_GT(notes, 50U);
}

}  // namespace
}  // namespace lw::hear
