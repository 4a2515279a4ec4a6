// SPDX-License-Identifier: GPL-3.0-or-later
//
// Text -> model -> text and back, on licks made by chance. Seeds are given, so a failure can be run again.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include "engine/lick/unfold.hpp"
#include "engine/text/lesson.hpp"
#include "engine/text/text.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::text {
namespace {

std::string explained(const std::vector<Diagnostic>& diagnostics, const std::string& source) {
    std::string out;
    for (const Diagnostic& d : diagnostics) {
        if (d.level == Level::error) out += explain(d, "written.lick", source);
    }
    return out;
}

/// What sounds, told apart from how it is spelled: holds melt into their notes.
std::string sounding(const lick::Lick& lick) {
    std::string out;
    for (const lick::PlayedNote& n : lick::unfold(lick).notes) {
        out += to_text(n.tab) + "@" + std::to_string(n.start.value.top()) + "/" +
               std::to_string(n.start.value.bottom()) + "+" + std::to_string(n.length.value.top()) + "/" +
               std::to_string(n.length.value.bottom()) + " ";
    }
    return out;
}

class RoundTrip : public testing::TestWithParam<int> {};

TEST_P(RoundTrip, a_written_lick_reads_back_equal) {
    for (std::uint64_t seed = 0; seed < 250; ++seed) {
        const lick::Lick lick = support::random_lick(seed * 8 + static_cast<std::uint64_t>(GetParam()));
        const std::string text = write_lick(lick);
        const LickReading reading = read_lick(text);
        ASSERT_TRUE(reading.ok()) << "seed " << seed << "\n" << text << explained(reading.diagnostics, text);
        ASSERT_EQ(reading.lick, lick) << "seed " << seed << "\n" << text << write_lick(reading.lick);
        ASSERT_EQ(format_lick(text), text) << "written text is tidy already";
    }
}
INSTANTIATE_TEST_SUITE_P(Seeds, RoundTrip, testing::Range(0, 8));

TEST(RoundTrip, groups_that_a_model_does_not_name_are_inferred) {
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
        lick::Lick lick = support::random_lick(seed);
        for (lick::Bar& bar : lick.bars) bar.groups.clear();
        const std::string text = write_lick(lick);
        const LickReading reading = read_lick(text);
        bool fine = false;  // finer than what is inferred
        for (const lick::Bar& bar : lick.bars) {
            for (const lick::Event& e : bar.events) fine = fine || e.at.value.bottom() > 12;
        }
        if (fine) continue;
        ASSERT_TRUE(reading.ok()) << text << explained(reading.diagnostics, text);
        ASSERT_EQ(sounding(reading.lick), sounding(lick)) << text;
    }
}

}  // namespace
}  // namespace lw::text
