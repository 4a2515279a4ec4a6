// SPDX-License-Identifier: GPL-3.0-or-later
//
// The staff read back: from glyphs and places to pitches and lengths, by a reader that knows only what a
// musician knows of a G clef (a line or space for each letter, accidentals hold to the end of the bar; common
// practice), held against the harp's pitches and the lick's lengths.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/music_glyphs.hpp"
#include "engine/draw/staff_score.hpp"
#include "engine/text/lesson.hpp"
#include "tests/draw/ink_rules.hpp"
#include "tests/support/random_lick.hpp"

namespace {

using namespace lw;
using namespace lw::test;
namespace music = draw::music;

lick::Lick every_note_of(harp::Key key) {
    lick::Lick lick;
    lick.head.harp.key = key;
    for (const harp::HoleNote& n : harp::every_note(lick.head.harp)) {
        if (lick.bars.empty() || lick.bars.back().events.size() == 4) {
            lick.bars.emplace_back();
            lick.bars.back().length = Beats{4};
        }
        lick::Event e;
        e.kind = lick::Event::Kind::note;
        e.at = Beats{static_cast<std::int64_t>(lick.bars.back().events.size())};
        e.length = Beats{1};
        e.tab = {{n.hole}, n.breath, n.bend_quarter_steps > 0 ? n.hole : 0, n.bend_quarter_steps, n.overbend};
        lick.bars.back().events.push_back(e);
    }
    while (lick.bars.back().events.size() < 4) {
        lick::Event rest;
        rest.at = Beats{static_cast<std::int64_t>(lick.bars.back().events.size())};
        rest.length = Beats{1};
        lick.bars.back().events.push_back(rest);
    }
    return lick;
}

/// Reads the heads of a staff with one bar line picture: owner to MIDI number.
std::map<int, double> read_pitches(const Picture& p, const lick::Lick& lick, double space) {
    double middle = 0.0;
    int lines = 0;
    int octave = 0;
    for (const Command& c : p.commands) {
        if (c.part != Part::staff) continue;
        if (c.kind == Command::Kind::path && c.box.width > p.width / 2.0) {
            middle += c.box.y + c.box.height / 2.0;
            ++lines;
        }
        if (c.glyph == music::g_clef_8_above) octave = 1;
        if (c.glyph == music::g_clef_8_below) octave = -1;
    }
    EXPECT_EQ(lines, 5);
    middle /= lines;
    std::map<int, int> step_of;
    std::map<int, char32_t> sign_of;
    for (const Command& c : p.commands) {
        if (c.part != Part::staff_note || c.kind != Command::Kind::music) continue;
        const int line = static_cast<int>(std::lround((middle - c.at.y) / (space / 2.0)));
        if (c.glyph == music::head_black) step_of[c.owner] = line + 6 + 7 * octave;
        if (c.glyph >= music::flat && c.glyph <= music::sharp) sign_of[c.owner] = c.glyph;
    }
    constexpr std::array<int, 7> letters = {0, 2, 4, 5, 7, 9, 11};
    std::map<int, double> midi;
    std::map<int, int> holds;
    std::size_t bar = 0;
    for (const auto& [owner, step] : step_of) {
        const std::size_t now = p.tokens[static_cast<std::size_t>(owner)].bar;
        if (now != bar) holds.clear();
        bar = now;
        if (sign_of.contains(owner))
            holds[step] = sign_of[owner] == music::flat ? -1 : sign_of[owner] == music::sharp ? 1 : 0;
        const int letter = (step % 7 + 7) % 7;
        midi[owner] =
            60 + 12 * ((step - letter) / 7) + letters[static_cast<std::size_t>(letter)] + holds[step];
    }
    EXPECT_LE(bar, lick.bars.size());
    return midi;
}

TEST(Staff, EveryNoteOfEveryHarpCanBeReadBack) {
    for (int key = 0; key < 12; ++key) {
        for (const int position : {0, 1, 2, 3, 5, 12}) {
            SCOPED_TRACE("key " + std::to_string(key) + " position " + std::to_string(position));
            lick::Lick lick = every_note_of({key});
            if (position > 0) lick.head.position = position;
            draw::LineChoices c;
            c.staff = true;
            const std::map<int, double> read = read_pitches(draw::breath_line(lick, c), lick, 4.6);
            int owner = 0;
            for (const harp::HoleNote& n : harp::every_note(lick.head.harp)) {
                ASSERT_TRUE(read.contains(owner));
                ASSERT_EQ(read.at(owner), harp::pitch(lick.head.harp, n)->midi) << harp::to_text(n);
                ++owner;
            }
            ASSERT_EQ(static_cast<int>(read.size()), owner);
        }
    }
}

// Common practice: flats for blue notes and flat keys, sharps for what sharp keys have; step 0 is C4.
TEST(Staff, SpellingSuitsTheKey) {
    using draw::spelled_pitch;
    using draw::StaffPitch;
    EXPECT_EQ(spelled_pitch({60}, {0}), (StaffPitch{0, 0}));
    EXPECT_EQ(spelled_pitch({70}, {7}), (StaffPitch{6, -2}));    // b3 of G: B flat
    EXPECT_EQ(spelled_pitch({61}, {7}), (StaffPitch{1, -2}));    // b5 of G: D flat
    EXPECT_EQ(spelled_pitch({66}, {7}), (StaffPitch{3, 2}));     // 7 of G: F sharp
    EXPECT_EQ(spelled_pitch({68}, {4}), (StaffPitch{4, 2}));     // 3 of E: G sharp
    EXPECT_EQ(spelled_pitch({68}, {8}), (StaffPitch{5, -2}));    // A flat in A flat
    EXPECT_EQ(spelled_pitch({64}, {1}), (StaffPitch{2, 0}));     // b3 of D flat: E, not F flat
    EXPECT_EQ(spelled_pitch({67}, {1}), (StaffPitch{4, 0}));     // b5 of D flat: G, not a double flat
    EXPECT_EQ(spelled_pitch({71}, {11}), (StaffPitch{6, 0}));    // B in B
    EXPECT_EQ(spelled_pitch({70}, {11}), (StaffPitch{5, 2}));    // 7 of B: A sharp
    EXPECT_EQ(spelled_pitch({69.5}, {7}), (StaffPitch{6, -3}));  // a quarter step below B flat
    EXPECT_EQ(spelled_pitch({47}, {0}), (StaffPitch{-8, 0}));    // B2
}

Fraction power(int value) {
    return {1, std::int64_t{1} << value};
}

TEST(Staff, DrawnLengthsFillEveryBarAndEveryNote) {
    for (std::uint64_t seed = 0; seed < 1000 && !HasFailure(); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const lick::Lick lick = support::random_lick(seed);
        const std::vector<draw::Token> tokens = draw::written_tokens(lick);
        const draw::StaffRhythm rhythm = draw::staff_rhythm(lick, tokens);
        const Fraction beat = lick.head.meter.quarters_per_beat() * Fraction{1, 4};
        std::vector<Fraction> bars(lick.bars.size());
        std::map<int, Fraction> drawn;  // by note
        std::size_t begun = 0;
        std::size_t ties_out = 0;
        std::size_t ties_in = 0;
        for (const draw::StaffNote& n : rhythm.notes) {
            Fraction length = power(n.value) * (n.dots > 0 ? Fraction{3, 2} : Fraction{1});
            for (int t = n.tuplet; t >= 0; t = rhythm.tuplets[static_cast<std::size_t>(t)].outer) {
                const draw::Tuplet& tuplet = rhythm.tuplets[static_cast<std::size_t>(t)];
                length = length * Fraction{tuplet.in_time_of, tuplet.parts};
            }
            if (n.whole_bar) length = lick.bars[n.bar].length.value * beat;
            ASSERT_EQ(n.at.value * beat, bars[n.bar]) << "bar " << n.bar;
            ASSERT_TRUE(length == n.length.value * beat) << "bar " << n.bar;
            ASSERT_LE(n.value, 7);
            bars[n.bar] += length;
            if (n.token < 0) continue;
            const draw::Token& token = tokens[static_cast<std::size_t>(n.token)];
            drawn[token.note() ? n.token : token.held] += length;
            begun += n.tied_in ? 0 : 1;
            ties_out += n.tied_out ? 1 : 0;
            ties_in += n.tied_in ? 1 : 0;
        }
        for (std::size_t b = 0; b < bars.size(); ++b)
            ASSERT_TRUE(bars[b] == lick.bars[b].length.value * beat);
        std::map<int, Fraction> written;
        std::size_t notes = 0;
        std::size_t half_ties = 0;  // into a second ending
        for (std::size_t i = 0; i < tokens.size(); ++i) {
            const draw::Token& t = tokens[i];
            written[t.note() ? static_cast<int>(i) : t.held] += t.written->length.value * beat;
            notes += t.note() ? 1 : 0;
            half_ties += !t.note() && (i == 0 || tokens[i - 1].next != static_cast<int>(i)) ? 1 : 0;
        }
        ASSERT_TRUE(drawn == written);
        ASSERT_EQ(begun, notes);
        ASSERT_EQ(ties_in, ties_out + half_ties);
    }
}

// The list of ink_rules.hpp lets all ink of the staff meet (stems and beams do); heads, accidentals, dots,
// flags and rests of two notes may not.
TEST(Staff, SignsOfDifferentNotesKeepApart) {
    for (std::uint64_t seed = 0; seed < 400 && !HasFailure(); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        draw::LineChoices c;
        c.staff = true;
        c.width = 330.0 + static_cast<double>(seed % 7) * 90.0;
        const Picture p = draw::breath_line(support::random_lick(seed), c);
        std::vector<const Command*> signs;
        for (const Command& k : p.commands)
            if (k.part == Part::staff_note && k.kind == Command::Kind::music &&
                k.glyph < music::tuplet_digit(0))
                signs.push_back(&k);
        for (std::size_t i = 0; i < signs.size(); ++i)
            for (std::size_t j = i + 1; j < signs.size(); ++j)
                if (signs[i]->owner != signs[j]->owner || signs[i]->owner < 0) {
                    ASSERT_FALSE(overlap(signs[i]->box, signs[j]->box))
                        << describe(*signs[i]) << " with " << describe(*signs[j]);
                }
    }
}

// Every width and size ends: a bar that is too long for a line is cut at most at every place in it.
TEST(BreathLine, EveryWidthAndScaleEnds) {
    std::ifstream in{LICKWRIGHT_DEMO_LESSON, std::ios::binary};
    std::stringstream source;
    source << in.rdbuf();
    const text::LessonReading reading = text::read_lesson(source.str());
    ASSERT_TRUE(reading.ok());
    std::vector<lick::Lick> licks;
    for (const text::LessonLick& l : reading.lesson.licks) licks.push_back(l.lick);
    ASSERT_FALSE(licks.empty());
    const std::size_t demo = licks.size();
    for (std::uint64_t seed = 0; seed < 200; ++seed) licks.push_back(support::random_lick(seed));
    // Every pair of width and scale comes by; the demo's licks meet a ninth of them each, others a few.
    std::size_t turn = 0;
    for (std::size_t l = 0; l < licks.size(); ++l) {
        const std::size_t stride = l < demo ? 9 : 67;
        for (int width = 120; width <= 1200; width += 37) {
            for (int tenths = 5; tenths <= 30; tenths += 3) {
                if ((turn++) % stride != l % stride) continue;
                draw::LineChoices c;
                c.width = width;
                c.scale = tenths / 10.0;
                c.staff = turn % 2 == 0;
                const Picture p = draw::breath_line(licks[l], c);
                std::size_t places = 0;
                for (const lick::Bar& bar : licks[l].bars) places += bar.events.size() * 4 + 32;
                ASSERT_LE(p.systems.size(), places);
                ASSERT_LE(p.commands.size(), places * 60);
            }
        }
    }
    for (std::size_t l = 0; l < demo; ++l) {
        draw::LineChoices c;
        c.width = 499.0;
        c.scale = 1.7;
        const Picture p = draw::breath_line(licks[l], c);
        EXPECT_LE(p.systems.size(), 2 * licks[l].bars.size());
    }
}

}  // namespace
