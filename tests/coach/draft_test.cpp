// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/coach/draft.hpp"

#include <gmock/gmock.h>

#include "tests/coach/planted.hpp"
#include "tests/hear/listening/phrase.hpp"

namespace lw::coach {
namespace {

Draft drafted(const std::vector<hear::HeardNote>& notes, const lick::Lick& like, bool given = true) {
    BeatGiven known;
    if (given) {
        known.tempo = like.head.tempo;
        known.meter = like.head.meter;
        known.feel = like.head.feel;
    }
    return make_draft(notes, find_beat(notes, known), {like.head.harp, like.head.position, "A take", {}});
}

/// Everything of a lick's tab lane that a perfect ear could hear.
std::string lanes(const lick::Lick& lick) {
    const std::string text = text::write_lick(lick);
    return text.substr(text.find("tab"));
}

// The lick is played (engine/sound) and written down again: the same text, but for what no ear hears.
TEST(Draft, WhatWasTypedComesBack) {
    for (const std::string_view text :
         {std::string_view{
              "harp: C\nposition: 2\nmeter: 4/4\ntempo: 92\nfeel: swing\n"
              "tab | (2d 3d') 4b 4d' >4d | (4d 3d') >3d . 2d{vibrato} | (2d 2d'') (1d 1b 4b) 2d'' >2d |\n"},
          std::string_view{
              "harp: A\nposition: 2\ntempo: 76\n"
              "tab | 2d (. 2d) (3d' 3d 4b 4d) 4d | 4b - (5b 4b) 3b | (2d 3d') >3dq ((4d' >4d) 4b) 4d | "
              "(3d' 2d'') 2d - . |\n"},
          std::string_view{"harp: D\nposition: 1\nmeter: 12/8\ntempo: 70\n"
                           "tab | (4b 4d 5b) (5d - 5b) 4b - | (6b 6d 6b) (5b - 4d) 4b . |\n"},
          std::string_view{"harp: low D\nposition: 1\nmeter: 3/4\ntempo: 112\n"
                           "tab | 4b - 5b | 4d 1+4d (4d 5d) | 4b - - |\n"}}) {
        const lick::Lick lick = test::typed(text);
        const Draft draft = drafted(test::heard(lick), lick);
        EXPECT_EQ(lanes(draft.lick), lanes(lick));
        EXPECT_THAT(draft.checks, ::testing::IsEmpty());
    }
}

TEST(Draft, EveryDraftReadsWithoutAFault) {
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        lick::Lick lick = support::random_lick(seed);
        const auto notes = test::heard(lick, {.drift = 1.05, .scatter = 0.02, .seed = seed});
        const Draft draft = drafted(notes, lick, seed % 2 == 0);
        const std::string text = write_draft(draft);
        const text::LickReading reading = text::read_lick(text);
        for (const auto& d : reading.diagnostics)
            EXPECT_NE(d.level, text::Level::error)
                << seed << ": " << d.slug << " line " << d.place.line << "\n"
                << text;
        EXPECT_EQ(text::format_lick(text), text);
    }
}

TEST(Draft, TokensSayWhichNoteBecameWhat) {
    const lick::Lick lick = test::typed(test::gate);
    const auto notes = test::heard(lick);
    const Draft draft = drafted(notes, lick);
    for (std::size_t i = 0; i < notes.size(); ++i) {
        ASSERT_TRUE(draft.tokens[i]);
        const lick::Event& e = draft.lick.bars[draft.tokens[i]->bar].events[draft.tokens[i]->event];
        EXPECT_EQ(e.kind, lick::Event::Kind::note);
        EXPECT_EQ(e.tab, notes[i].tab) << i;
    }
}

TEST(Draft, WhatIsUnsureIsSaidWorstFirst) {
    const lick::Lick lick = test::typed(test::straight);
    auto notes = test::heard(lick);
    notes[2].confidence = 0.5;
    notes[6].confidence = 0.2;
    const Draft draft = drafted(notes, lick);
    ASSERT_EQ(draft.checks.size(), 2U);
    EXPECT_EQ(draft.checks[0].words, "bar 2, beat 1: 4d (sure to 20 %)");
    EXPECT_EQ(draft.checks[1].words, "bar 1, the and of 2: 5b (sure to 50 %)");
    const std::string text = write_draft(draft);
    EXPECT_NE(text.find("\n# check: bar 2, beat 1: 4d (sure to 20 %)\n"), std::string::npos) << text;
    EXPECT_TRUE(text::read_lick(text).ok());
}

TEST(Draft, NothingHeardIsABarOfRest) {
    const Draft draft = make_draft({}, find_beat({}), {});
    EXPECT_EQ(draft.lick.bars.size(), 1U);
    EXPECT_TRUE(text::read_lick(write_draft(draft)).lick.bars.front().events.front().kind ==
                lick::Event::Kind::rest);
}

}  // namespace
}  // namespace lw::coach
