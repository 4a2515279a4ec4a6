// SPDX-License-Identifier: GPL-3.0-or-later
//
// The scorer itself, on cases worked by hand after the rules of mir_eval (C. Raffel et al., mir_eval: a transparent
// implementation of common MIR metrics, ISMIR 2014; defaults read in its code).
#include "tests/hear/listening/score.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace lw::listening {
namespace {

const harp::Harp c_harp{};

TruthNote planted(double onset, double offset, lick::Tab tab) {
    TruthNote t;
    t.note.onset = {onset};
    t.note.offset = {offset};
    t.note.tab = std::move(tab);
    t.note.bend = t.note.tab.bend();
    t.note.bend_start = t.note.bend;
    for (const int hole : t.note.tab.holes)
        t.pitches.push_back(*harp::pitch(c_harp, t.note.tab.note_of(hole)));
    t.note.pitch = t.pitches.back();
    t.note.confidence = 1.0;
    return t;
}

lick::Tab draw(int hole, int quarter_steps = 0) {
    return {.holes = {hole},
            .breath = harp::Breath::draw,
            .bent_hole = quarter_steps > 0 ? hole : 0,
            .bend_quarter_steps = quarter_steps};
}
lick::Tab blow(int hole) {
    return {.holes = {hole}, .breath = harp::Breath::blow};
}

std::vector<TruthNote> four_notes() {
    return {planted(0.0, 0.4, draw(4)), planted(0.5, 0.9, blow(4)), planted(1.0, 1.4, draw(3, 2)),
            planted(1.5, 2.0, draw(2))};
}

hear::Heard answer_of(const std::vector<TruthNote>& truth) {
    hear::Heard heard;
    for (const TruthNote& t : truth) heard.notes.push_back(t.note);
    return heard;
}

Score scored(const std::vector<TruthNote>& truth, const hear::Heard& heard) {
    return score(c_harp, truth, heard, {2.0});
}

TEST(Score, TheTruthItselfScoresOne) {
    const auto truth = four_notes();
    const Score s = scored(truth, answer_of(truth));
    for (const Hits& h : {s.onset, s.pitch, s.offset, s.tab, s.tab_strictly}) EXPECT_EQ(h.f1(), 1.0);
    EXPECT_EQ(percentile_of_sizes(s.onset_errors_s, 0.95), 0.0);
}

// mir_eval: 4 reference notes, 4 estimates, one 60 ms late: P = R = F = 0.75.
TEST(Score, SixtyMillisecondsLateIsAMiss) {
    const auto truth = four_notes();
    hear::Heard heard = answer_of(truth);
    heard.notes[1].onset += Seconds{0.060};
    const Score s = scored(truth, heard);
    EXPECT_EQ(s.onset.precision(), 0.75);
    EXPECT_EQ(s.onset.recall(), 0.75);
    EXPECT_EQ(s.onset.f1(), 0.75);
    EXPECT_EQ(s.tab.f1(), 0.75);
}

// mir_eval: the window's end belongs to it, after rounding the distance to four decimals.
TEST(Score, FiftyMillisecondsLateIsAHit) {
    const auto truth = four_notes();
    hear::Heard heard = answer_of(truth);
    heard.notes[1].onset = truth[1].note.onset + Seconds{0.05004};
    heard.notes[2].onset = truth[2].note.onset - Seconds{0.0502};
    EXPECT_EQ(scored(truth, heard).onset.matched, 3U);
}

// mir_eval: 4 reference notes, 5 estimates, 3 match: P 0.60, R 0.75, F 0.6667.
TEST(Score, ExtraNotesCostPrecision) {
    const auto truth = four_notes();
    hear::Heard heard = answer_of(truth);
    heard.notes[3].onset += Seconds{0.2};
    heard.notes.push_back(heard.notes[3]);
    const Score s = scored(truth, heard);
    EXPECT_DOUBLE_EQ(s.onset.precision(), 0.60);
    EXPECT_DOUBLE_EQ(s.onset.recall(), 0.75);
    EXPECT_NEAR(s.onset.f1(), 0.6667, 5e-5);
}

// mir_eval: one estimate near two reference notes counts once; and the largest matching counts, not the first found.
TEST(Score, MatchesAreOneToOneAndAsManyAsCanBe) {
    std::vector<TruthNote> truth = {planted(1.00, 1.02, draw(4)), planted(1.04, 1.4, draw(4))};
    hear::Heard heard;
    heard.notes = {truth[0].note};
    heard.notes[0].onset = {1.02};
    EXPECT_EQ(scored(truth, heard).onset.matched, 1U);
    // 1.02 fits both, 0.96 only the first: taken greedily, 1.02 would be spent on the first.
    heard.notes.push_back(heard.notes[0]);
    heard.notes[1].onset = {0.96};
    EXPECT_EQ(scored(truth, heard).onset.matched, 2U);
}

// mir_eval: 50 cents inclusive for notes, strictly less for frames.
TEST(Score, FiftyCents) {
    const auto truth = four_notes();
    hear::Heard heard = answer_of(truth);
    heard.notes[0].pitch = heard.notes[0].pitch + Semitones{0.5};
    heard.notes[1].pitch = heard.notes[1].pitch + Semitones{0.501};
    EXPECT_EQ(scored(truth, heard).pitch.matched, 3U);

    const auto frames_off_by = [&](double ratio) {
        hear::Heard frames;
        // 4 draw of a C harp is D5 (facts of the instrument: OEIS A291810), 587.33 Hz.
        for (int i = 0; i < 40; ++i)
            frames.frames.push_back({.at = {i * 0.01}, .pitch = Hz{587.3295 * ratio}, .level = {}});
        return score(c_harp, std::span{truth}.first(1), frames, {0.4});
    };
    EXPECT_EQ(frames_off_by(1.0290).voiced_right, 40U);  // 50 cents are a ratio of 1.029302
    EXPECT_EQ(frames_off_by(1.0294).voiced_right, 0U);
    EXPECT_EQ(frames_off_by(1.0294).voiced_found, 40U);
}

// mir_eval: a reference note of 0.2 s tolerates 50 ms at its end, one of 1.0 s 200 ms.
TEST(Score, OffsetsMayBeAFifthOff) {
    const TruthNote brief = planted(0.0, 0.2, draw(4));
    const TruthNote lasting = planted(0.0, 1.0, draw(4));
    const auto ends = [](const TruthNote& t, double late) {
        hear::HeardNote note = t.note;
        note.offset += Seconds{late};
        return offset_fits(t, note);
    };
    EXPECT_TRUE(ends(brief, 0.050));
    EXPECT_FALSE(ends(brief, 0.051));
    EXPECT_TRUE(ends(lasting, -0.200));
    EXPECT_FALSE(ends(lasting, -0.201));
}

TEST(Score, TwoDrawIsThreeBlowUnlessStrict) {
    const TruthNote t = planted(0.0, 0.4, draw(2));
    const hear::HeardNote three = planted(0.0, 0.4, blow(3)).note;
    EXPECT_TRUE(tab_fits(c_harp, t, three, false));
    EXPECT_FALSE(tab_fits(c_harp, t, three, true));
    EXPECT_FALSE(tab_fits(c_harp, t, planted(0.0, 0.4, blow(2)).note, false));
    EXPECT_FALSE(
        tab_fits(c_harp, t, planted(0.0, 0.4, {.holes = {2, 3}, .breath = harp::Breath::draw}).note, false));
    EXPECT_FALSE(tab_fits(c_harp, t, hear::HeardNote{}, false)) << "an answer without holes is no tab";
}

TEST(Score, ABendMayBeHalfASemitoneOff) {
    const TruthNote t = planted(0.0, 0.4, draw(3, 4));
    hear::HeardNote heard = t.note;
    heard.bend = {2.5};
    EXPECT_TRUE(tab_fits(c_harp, t, heard, true));
    heard.bend = {2.51};
    EXPECT_FALSE(tab_fits(c_harp, t, heard, true));
    heard.bend = {1.49};
    EXPECT_FALSE(tab_fits(c_harp, t, heard, true));
}

TEST(Score, KindsAreReadFromTheLine) {
    std::vector<hear::HeardNote> line = {
        planted(0.0, 0.4, draw(3)).note,
        planted(0.45, 0.9, draw(3)).note,
        planted(0.9, 1.2, draw(3, 4)).note,
        planted(1.2, 1.6, draw(3)).note,
        planted(1.6, 2.0, draw(4)).note,
        planted(2.5, 3.0, draw(4)).note,
        planted(3.0, 3.4, {.holes = {1, 4}, .breath = harp::Breath::blow}).note,
        planted(3.5, 3.9, {.holes = {4, 5}, .breath = harp::Breath::blow}).note,
        planted(4.0, 4.5, draw(4)).note,
    };
    line[2].joined = line[3].joined = line[4].joined = true;
    line[8].gestures = {{.gesture = lick::Gesture::shake, .other_hole = 5, .at = {4.0}}};
    const std::vector<Kind> want = {Kind::plain,   Kind::repeated,    Kind::bend,
                                    Kind::release, Kind::slide,       Kind::plain,
                                    Kind::octave,  Kind::double_stop, Kind::shake};
    const auto kinds = kinds_of(line);
    for (std::size_t i = 0; i < want.size(); ++i)
        EXPECT_EQ(kinds[i], 1U << static_cast<unsigned>(want[i])) << i << " is no " << name(want[i]);
}

TEST(Score, ErrorsAreSigned) {
    const auto truth = four_notes();
    hear::Heard heard = answer_of(truth);
    heard.notes[2].onset += Seconds{0.012};
    heard.notes[2].bend += Semitones{0.08};
    const Score s = scored(truth, heard);
    EXPECT_NEAR(*std::max_element(s.onset_errors_s.begin(), s.onset_errors_s.end()), 0.012, 1e-9);
    ASSERT_EQ(s.bend_errors_cents.size(), 1U);
    EXPECT_NEAR(s.bend_errors_cents[0], 8.0, 1e-9);
}

// Worked by hand: ten notes said 0.95 of which nine are right, ten said 0.55 of which six are.
TEST(Calibration, ErrorOfATableWorkedByHand) {
    std::vector<Judged> judged;
    for (int i = 0; i < 10; ++i) judged.push_back({0.95, i < 9});
    for (int i = 0; i < 10; ++i) judged.push_back({0.55, i < 6});
    EXPECT_NEAR(expected_calibration_error(judged), 0.5 * 0.05 + 0.5 * 0.05, 1e-12);
    // Pairs of right and wrong: 9 x 4 with more, 9 x 1 and 6 x 4 equal, 6 x 1 with less.
    EXPECT_NEAR(*area_under_curve(judged), (36.0 + 0.5 * 33.0) / 75.0, 1e-12);
    EXPECT_FALSE(area_under_curve(std::span{judged}.first(9)));
}

}  // namespace
}  // namespace lw::listening
