// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/labels.hpp"

#include <gtest/gtest.h>

#include "tests/hear/listening/score.hpp"

namespace lw::listening {
namespace {

TEST(Labels, ATrackWrittenByHand) {
    const auto read = read_labels(
        "# played on the porch\n"
        "0.000000\t0.100000\tharp: low D\n"
        "0.9\t1.4\t2d''\r\n"
        "0.50\t0.90\t3d\n"
        "1.4\t1.8\t>2d{vibrato}\n"
        "2.0\t2.5\t1+4b\n"
        "3.0\t4.0\t4d{shake 5}\n");
    ASSERT_TRUE(read) << read.error();
    EXPECT_EQ(harp::name(read->harp), "low D");
    ASSERT_EQ(read->truth.size(), 5U);
    // 3 draw of a C harp is B4, MIDI 71 (OEIS A291810); a low D lies ten semitones under it.
    EXPECT_EQ(read->truth[0].note.pitch, Pitch{61.0});
    EXPECT_EQ(read->truth[1].note.bend, Semitones{2.0});
    EXPECT_EQ(read->truth[1].note.onset, Seconds{0.9});
    EXPECT_TRUE(read->truth[2].note.joined);
    EXPECT_EQ(read->truth[2].note.gestures.at(0).gesture, lick::Gesture::vibrato);
    EXPECT_EQ(read->truth[3].pitches.size(), 2U);
    EXPECT_EQ(read->truth[4].note.gestures.at(0).other_hole, 5);
}

TEST(Labels, EachFaultSaysItsLine) {
    const auto error = [](std::string_view text) { return read_labels(text).error(); };
    EXPECT_EQ(error("0\t1\t4d\n"), "line 1: no label names the harp; add one with the words \"harp: C\"");
    EXPECT_EQ(error("0\t1\tharp: C\n\n0 1 4d\n"),
              "line 3: a label is onset, tab key, offset, tab key, words");
    EXPECT_EQ(error("0\t1\tharp: C\nnan\t1\t4d\n"), "line 2: onset and offset are seconds, such as 1.25");
    EXPECT_EQ(error("0\t1\tharp: C\n2\t1\t4d\n"), "line 2: the note ends before it begins");
    EXPECT_EQ(error("0\t1\tharp: C\n1\t2\t.\n"), "line 2: \".\" is no note");
    EXPECT_EQ(error("0\t1\tharp: C\n0\t1\tharp: D\n"),
              "line 2: a second harp; one take is played on one harp");
    EXPECT_TRUE(error("0\t1\tharp: C\n1\t2\t5d''\n").starts_with("line 2: "));
    EXPECT_TRUE(error("0\t1\tharp: H\n").starts_with("line 1: "));
}

TEST(Labels, ALickSaysWhatButNotWhen) {
    const auto read = truth_of_lick("title: x\nharp: C\ntab |: 4d 4b (3d' >3d) 2d :|\n");
    ASSERT_TRUE(read) << read.error();
    ASSERT_EQ(read->truth.size(), 10U) << "the repeat is played out";
    std::vector<hear::HeardNote> heard;
    for (const TruthNote& t : read->truth) heard.push_back(t.note);
    EXPECT_EQ(score_in_order(read->harp, read->truth, heard).tab.f1(), 1.0);
    // One left out, one too many, two exchanged: 8 of 10 stay in order.
    heard.erase(heard.begin() + 1);
    heard.insert(heard.begin() + 4, heard[4]);
    std::swap(heard[6], heard[7]);
    const Score s = score_in_order(read->harp, read->truth, heard);
    EXPECT_EQ(s.tab.matched, 8U);
    EXPECT_EQ(s.tab.answered, 10U);
}

}  // namespace
}  // namespace lw::listening
