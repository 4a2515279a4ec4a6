// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/slips.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "engine/lick/unfold.hpp"

namespace lw::listening {
namespace {

TEST(Slips, APhraseIsTheLickItIsSpelledAs) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const Phrase phrase = chance_phrase(seed, {.several_holes = seed % 3 == 0});
        const lick::Lick lick = lick_of(phrase);
        const lick::Unfolded played = lick::unfold(lick);
        ASSERT_EQ(played.notes.size(), phrase.notes.size()) << seed;
        for (std::size_t i = 0; i < phrase.notes.size(); ++i) {
            const PhraseNote& note = phrase.notes[i];
            EXPECT_EQ(played.notes[i].start, note.at) << seed;
            EXPECT_EQ(played.notes[i].length, note.length) << seed;
            EXPECT_EQ(played.notes[i].tab, note.tab) << seed;
            EXPECT_EQ(played.notes[i].how, note.start) << seed;
            EXPECT_EQ(played.notes[i].ornaments.size(), note.ornaments.size()) << seed;
            // The player swings as the language says it.
            EXPECT_DOUBLE_EQ(lick::swung(lick, played, note.at).value.value(), swung(phrase.groove, note.at))
                << seed;
        }
    }
}

TEST(Slips, AreWhatTheySay) {
    std::size_t wrong = 0;
    std::size_t missing = 0;
    std::size_t extra = 0;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const Phrase phrase = chance_phrase(seed);
        const Slipped slipped = with_slips(phrase, seed);
        ASSERT_EQ(slipped.written.size(), slipped.played.notes.size());
        ASSERT_EQ(slipped.played.notes.size(),
                  phrase.notes.size() + slipped.extra.size() - slipped.missing.size());
        for (std::size_t i = 0; i < slipped.written.size(); ++i) {
            const PhraseNote& note = slipped.played.notes[i];
            const bool is_extra =
                std::find(slipped.extra.begin(), slipped.extra.end(), i) != slipped.extra.end();
            EXPECT_EQ(is_extra, !slipped.written[i]);
            if (!slipped.written[i]) continue;
            const std::size_t from = *slipped.written[i];
            const bool is_wrong =
                std::find(slipped.wrong.begin(), slipped.wrong.end(), from) != slipped.wrong.end();
            EXPECT_EQ(note.tab != phrase.notes[from].tab, is_wrong) << seed;
            EXPECT_EQ(note.at, phrase.notes[from].at);
        }
        wrong += slipped.wrong.size();
        missing += slipped.missing.size();
        extra += slipped.extra.size();
    }
    EXPECT_GT(wrong, 60U);
    EXPECT_GT(missing, 60U);
    EXPECT_GT(extra, 60U);
}

}  // namespace
}  // namespace lw::listening
