// SPDX-License-Identifier: GPL-3.0-or-later
// MIDI files as others read them: the npm package midi-file 1.2.4 (events), midicsv 1.1 (events), FluidSynth
// 2.3 with TimGM6mb (sound) and aubio 0.4.9 (pitch of that sound).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/exchange/midi.hpp"
#include "engine/lick/unfold.hpp"
#include "tests/exchange/lick_by_hand.hpp"
#include "tests/exchange/outside.hpp"
#include "tests/support/random_lick.hpp"

namespace lw::exchange {
namespace {

using lick::Breath;

constexpr double ticks = 960.0;

/// What the independent reader found, sorted for questions.
struct Found {
    struct Key {
        double on, off;
        int channel, key, velocity;
    };
    std::vector<Key> keys;
    std::map<int, std::vector<std::pair<double, int>>> wheel;  // by channel: tick, signed value
    std::map<int, std::vector<std::pair<int, int>>> controls;
    std::vector<std::pair<double, std::string>> markers, lyrics, texts;
    std::string title;
    std::vector<std::pair<double, int>> tempos;
    std::vector<std::pair<int, int>> meters;
    std::map<int, int> programs;
    double end = 0.0;
};

Found look_at(const nlohmann::json& file) {
    EXPECT_EQ(file["format"], 1);
    EXPECT_EQ(file["division"], 960);
    Found found;
    std::map<std::pair<int, int>, std::size_t> sounding;
    for (const auto& e : file["events"]) {
        const double tick = e[0];
        const std::string type = e[2];
        const int channel = e[3], a = e[4], b = e[5];
        const std::string text = e[6];
        if (type == "noteOn") {
            EXPECT_FALSE(sounding.contains({channel, a})) << "struck again while it sounds, tick " << tick;
            sounding[{channel, a}] = found.keys.size();
            found.keys.push_back({tick, -1, channel, a, b});
        } else if (type == "noteOff") {
            if (!sounding.contains({channel, a})) {
                ADD_FAILURE() << "an end without a start, tick " << tick;
                continue;
            }
            found.keys[sounding[{channel, a}]].off = tick;
            sounding.erase({channel, a});
        } else if (type == "pitchBend") {
            found.wheel[channel].push_back({tick, a});
        } else if (type == "controller") {
            EXPECT_EQ(tick, 0.0);
            found.controls[channel].push_back({a, b});
        } else if (type == "programChange") {
            found.programs[channel] = a;
        } else if (type == "marker") {
            found.markers.push_back({tick, text});
        } else if (type == "lyrics") {
            found.lyrics.push_back({tick, text});
        } else if (type == "text") {
            found.texts.push_back({tick, text});
        } else if (type == "trackName" && e[1] == 0) {
            found.title = text;
        } else if (type == "setTempo") {
            found.tempos.push_back({tick, a});
        } else if (type == "timeSignature") {
            found.meters.push_back({a, b});
        }
        found.end = std::max(found.end, tick);
    }
    EXPECT_TRUE(sounding.empty());
    return found;
}

/// Semitones the wheel stands above the key at a tick, by the range that the file itself sets.
double wheel_at(const Found& found, int channel, double tick) {
    double value = 0.0;
    for (const auto& [at, v] : found.wheel.at(channel)) {
        if (at > tick) break;
        value = v;
    }
    return value / 8192.0 * found.controls.at(channel)[2].second;
}

int channel_of(std::size_t voice) {
    return static_cast<int>(voice < 9 ? voice : voice + 1);  // 9 is percussion
}

std::vector<nlohmann::json> read_all(const std::string& name, const std::vector<MidiScore>& scores) {
    const auto folder = outside::fresh_folder(name);
    std::vector<std::filesystem::path> files;
    for (std::size_t i = 0; i < scores.size(); ++i) {
        files.push_back(folder / (std::to_string(i) + ".mid"));
        outside::write(files.back(), midi_bytes(scores[i]));
    }
    return outside::run_node("read_midi.cjs", files);
}

void check_head(const Found& found, const lick::Lick& lick, BeatsPerMinute tempo) {
    EXPECT_EQ(found.title, lick.head.title);
    ASSERT_EQ(found.tempos.size(), 1U);
    const double quarters = tempo.value * lick.head.meter.quarters_per_beat().value();
    EXPECT_NEAR(found.tempos[0].second, 60e6 / quarters, 0.5001);
    ASSERT_EQ(found.meters.size(), 1U);
    EXPECT_EQ(found.meters[0], (std::pair{lick.head.meter.top, lick.head.meter.bottom}));
}

void check_markers(const Found& found, const lick::Unfolded& played, double line, double beat,
                   const std::vector<double>& starts) {
    std::vector<std::pair<double, std::string>> expected;
    for (const double start : starts) {
        bool standing = false;
        for (const lick::PlayedChord& chord : played.chords) {
            const double at = start + chord.start.value.value() * beat - line;
            if (!chord.symbol.empty()) expected.push_back({at, chord.symbol});
            if (chord.symbol.empty() && standing) expected.push_back({at, "N.C."});
            standing = !chord.symbol.empty();
        }
    }
    ASSERT_EQ(found.markers.size(), expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_NEAR(found.markers[i].first, expected[i].first, 1.0);
        EXPECT_EQ(found.markers[i].second, expected[i].second);
    }
}

bool shaken(const sound::SoundedNote& note) {
    return std::any_of(note.ornaments.begin(), note.ornaments.end(), [](const lick::PlayedOrnament& o) {
        return o.ornament.gesture == lick::Gesture::shake;
    });
}

// Every hole of every note sounds on its channel at the pitch of the model, from onset to offset; nothing
// else is struck; range, tempo, meter, title, chords are those of the lick.
TEST(PlayedMidi, AnIndependentReaderGivesBackTheModel) {
    std::vector<lick::Lick> licks;
    std::vector<sound::Performance> performances;
    std::vector<MidiScore> scores;
    for (std::uint64_t seed = 100; seed < 160; ++seed) {
        licks.push_back(support::random_lick(seed));
        sound::Choices choices;
        choices.repeats = seed % 3 == 0 ? 2 : 1;
        choices.tempo = BeatsPerMinute{seed % 2 == 0 ? 0.0 : 70.0};
        performances.push_back(sound::perform(licks.back(), choices));
        scores.push_back(played_midi(licks.back(), performances.back()));
    }
    const auto files = read_all("played", scores);
    std::size_t compared = 0;
    std::size_t bent = 0;
    for (std::size_t f = 0; f < files.size(); ++f) {
        const lick::Lick& lick = licks[f];
        const sound::Performance& performance = performances[f];
        const lick::Unfolded played = lick::unfold(lick);
        const Found found = look_at(files[f]);
        check_head(found, lick, performance.tempo);
        const double beat = ticks * lick.head.meter.quarters_per_beat().value();
        const double a_second = beat * performance.tempo.value / 60.0;
        const double line = played.start < Beats{} ? -lick.head.meter.beats() * beat : 0.0;
        const double zero = performance.phrase_starts.front().value;
        std::vector<double> starts;
        for (const Seconds s : performance.phrase_starts) starts.push_back((s.value - zero) * a_second);
        check_markers(found, played, line, beat, starts);
        const auto tick_of = [&](Seconds at) { return (at.value - zero) * a_second - line; };

        for (const auto& [channel, controls] : found.controls) {
            const std::vector<std::pair<int, int>> range = {{101, 0}, {100, 0},   {6, 12},
                                                            {38, 0},  {101, 127}, {100, 127}};
            EXPECT_EQ(controls, range) << channel;
            EXPECT_EQ(found.programs.at(channel), harmonica_program);
        }
        ASSERT_EQ(found.lyrics.size(), performance.notes.size());
        std::size_t attacks_expected = 0;
        for (std::size_t n = 0; n < performance.notes.size(); ++n) {
            const sound::SoundedNote& note = performance.notes[n];
            EXPECT_NEAR(found.lyrics[n].first, tick_of(note.onset), 0.51);
            if (shaken(note)) continue;  // told apart below
            std::vector<int> holes{note.tab.lead_hole()};
            for (const int hole : note.tab.holes)
                if (hole != note.tab.lead_hole()) holes.push_back(hole);
            for (std::size_t v = 0; v < holes.size(); ++v) {
                const int channel = channel_of(v);
                const harp::HoleNote plain{holes[v], note.tab.breath, 0, note.tab.overbend};
                const double reed =
                    69.0 + 12.0 * std::log2(harp::frequency(lick.head.harp, plain)->value / 440.0);
                const double from = tick_of(note.onset), to = tick_of(note.offset);
                const auto key = std::find_if(found.keys.begin(), found.keys.end(), [&](const Found::Key& k) {
                    return k.channel == channel && k.on <= from + 0.51 && k.off >= to - 1.51;
                });
                ASSERT_NE(key, found.keys.end()) << "lick " << f << " note " << n << " hole " << holes[v];
                if (note.how == lick::Start::attack) {
                    EXPECT_NEAR(key->on, from, 0.51);
                    EXPECT_NEAR(key->velocity, note.strength * 127.0, 0.51);
                    ++attacks_expected;
                }
                EXPECT_NEAR(key->key, reed, 0.5);
                for (int k = 0; k < 40; ++k) {
                    const Seconds at = note.onset + (note.offset - note.onset) * (k / 40.0);
                    const double tick =
                        std::clamp(tick_of(at), std::max(key->on, std::ceil(from - 0.5)), key->off - 1);
                    const Seconds then{zero + (tick + line) / a_second};
                    const double depth = v == 0 ? sound::bend_at(note, then).value : 0.0;
                    const double heard = key->key + wheel_at(found, channel, tick);
                    // Half a tick and one step of the sampling away (2 cents or 5 ms) the path has been
                    // there.
                    double low = depth, high = depth;
                    for (int ms = -6; v == 0 && ms <= 6; ++ms) {
                        const double near = sound::bend_at(note, then + Seconds{ms * 0.001}).value;
                        low = std::min(low, near);
                        high = std::max(high, near);
                    }
                    EXPECT_LE(heard, reed - low + 0.021) << "lick " << f << " note " << n << " at " << k;
                    EXPECT_GE(heard, reed - high - 0.021) << "lick " << f << " note " << n << " at " << k;
                    ++compared;
                    if (depth > 0.3) ++bent;
                }
            }
        }
        const auto attacks_found = static_cast<std::size_t>(std::count_if(
            found.keys.begin(), found.keys.end(), [](const Found::Key& k) { return k.channel >= 0; }));
        EXPECT_GE(attacks_found, attacks_expected);
    }
    EXPECT_GT(compared, 50'000U);
    EXPECT_GT(bent, 5'000U);
}

TEST(PlayedMidi, ABendMovesOneHoleOfAChordOnly) {
    lick::Lick lick;
    lick.bars.push_back(by_hand::bar_of({by_hand::tab({3, 4}, Breath::draw, 2, 3)}));
    const Found found = look_at(read_all("chord", {played_midi(lick, sound::perform(lick))})[0]);
    ASSERT_EQ(found.keys.size(), 2U);
    // 3 draw is B4 = 71 and 4 draw D5 = 74 on a C harp (OEIS A291810): one stays, one sinks to Bb.
    EXPECT_NEAR(found.keys[0].key + wheel_at(found, found.keys[0].channel, 480), 70.0, 0.001);
    EXPECT_NEAR(found.keys[1].key + wheel_at(found, found.keys[1].channel, 480), 74.0, 0.001);
    EXPECT_NE(found.keys[0].channel, found.keys[1].channel);
}

TEST(PlayedMidi, AJoinedBendIsOneStrike) {
    lick::Lick lick;
    lick::Bar bar = by_hand::bar_of({by_hand::tab({4}, Breath::draw, 2), by_hand::tab({4}, Breath::draw)});
    bar.events[1].start = lick::Start::joined;
    lick.bars.push_back(bar);
    const Found found = look_at(read_all("joined", {played_midi(lick, sound::perform(lick))})[0]);
    ASSERT_EQ(found.keys.size(), 1U);
    EXPECT_EQ(found.keys[0].key, 74);
    EXPECT_NEAR(wheel_at(found, 0, 900), -1.0, 0.001);
    EXPECT_NEAR(wheel_at(found, 0, 1100), 0.0, 0.001);
    ASSERT_EQ(found.lyrics.size(), 2U);
    EXPECT_EQ(found.lyrics[1].second, ">4d");
}

TEST(PlayedMidi, AShakeChangesHoles) {
    lick::Lick lick;
    lick::Bar bar = by_hand::bar_of({});
    bar.events = {by_hand::note(Beats{}, Beats{4}, by_hand::tab({4}, Breath::draw))};
    lick::Ornament shake;
    shake.gesture = lick::Gesture::shake;
    shake.other_hole = 5;
    bar.events[0].ornaments.push_back(shake);
    lick.bars.push_back(bar);
    const Found found = look_at(read_all("shake", {played_midi(lick, sound::perform(lick))})[0]);
    ASSERT_GT(found.keys.size(), 10U);
    for (std::size_t i = 0; i < found.keys.size(); ++i) {
        // 4 draw D5 = 74, 5 draw F5 = 77 (OEIS A291810).
        EXPECT_EQ(found.keys[i].key, i % 2 == 0 ? 74 : 77);
        if (i > 0) {
            EXPECT_NEAR(found.keys[i].on, found.keys[i - 1].off, 1.01);
        }
    }
}

// Temperament and A4: 5 blow of a just C harp lies 13.7 cents under the equal E (5/4 against four semitones:
// 386.314 - 400), and A4 = 442 lifts everything by 7.85 cents.
TEST(PlayedMidi, TemperamentAndMasterPitchAreHeard) {
    lick::Lick lick;
    lick.bars.push_back(by_hand::bar_of({by_hand::tab({5}, Breath::blow), by_hand::tab({4}, Breath::blow)}));
    lick.head.harp.a4 = Hz{442.0};
    for (const harp::Temperament& t : harp::known_temperaments())
        if (t.at({5, Breath::blow}).value < -13.0) lick.head.harp.temperament = t;
    ASSERT_FALSE(lick.head.harp.temperament == harp::equal_temperament());
    const Found found = look_at(read_all("just", {played_midi(lick, sound::perform(lick))})[0]);
    EXPECT_NEAR(wheel_at(found, 0, 300) * 100.0, 7.85 - 13.7, 0.5);
    EXPECT_NEAR(wheel_at(found, 0, 1300) * 100.0, 7.85, 0.1);
}

// Ticks are exact and keys are the notated pitches; quarter steps go to the semitone above and say so.
TEST(PlainMidi, AnIndependentReaderGivesBackWhatIsWritten) {
    std::vector<lick::Lick> licks;
    std::vector<MidiScore> scores;
    for (std::uint64_t seed = 200; seed < 260; ++seed) {
        licks.push_back(support::random_lick(seed));
        scores.push_back(plain_midi(licks.back()));
    }
    const auto files = read_all("plain", scores);
    std::size_t notes = 0;
    std::size_t rounded = 0;
    for (std::size_t f = 0; f < files.size(); ++f) {
        const lick::Lick& lick = licks[f];
        const lick::Unfolded played = lick::unfold(lick);
        const Found found = look_at(files[f]);
        check_head(found, lick, lick.head.tempo);
        EXPECT_TRUE(found.wheel.empty());
        const double beat = ticks * lick.head.meter.quarters_per_beat().value();
        const double line = played.start < Beats{} ? -lick.head.meter.beats() * beat : 0.0;
        check_markers(found, played, line, beat, {0.0});
        std::multiset<std::tuple<long, long, int>> expected, got;
        for (const lick::PlayedNote& note : played.notes) {
            const long on = std::lround(note.start.value.value() * beat - line);
            const long off = std::lround((note.start + note.length).value.value() * beat - line);
            std::set<int> keys;
            for (const int hole : note.tab.holes) {
                const double pitch = harp::pitch(lick.head.harp, note.tab.note_of(hole))->midi;
                keys.insert(static_cast<int>(std::floor(pitch + 0.5)));
                if (pitch != std::floor(pitch)) ++rounded;
            }
            for (const int key : keys) expected.insert({on, off, key});
            notes += keys.size();
        }
        for (const Found::Key& k : found.keys) got.insert({std::lround(k.on), std::lround(k.off), k.key});
        EXPECT_EQ(got, expected) << "lick " << f;
    }
    EXPECT_GT(notes, 1000U);
    EXPECT_GT(rounded, 0U);
}

TEST(PlainMidi, AQuarterStepSaysSo) {
    lick::Lick lick;
    lick.bars.push_back(by_hand::bar_of({by_hand::tab({5}, Breath::draw, 1)}));
    const Found found = look_at(read_all("quarter", {plain_midi(lick)})[0]);
    ASSERT_EQ(found.keys.size(), 1U);
    EXPECT_EQ(found.keys[0].key, 77);  // 5 draw is F5 = 77 (OEIS A291810)
    ASSERT_EQ(found.texts.size(), 2U);
    EXPECT_EQ(found.texts[1].second, "5dq is a quarter step lower");
}

TEST(PlainMidi, MidicsvReadsTheSame) {
    const lick::Lick lick = support::random_lick(11);
    const MidiScore score = plain_midi(lick);
    const auto folder = outside::fresh_folder("midicsv");
    outside::write(folder / "lick.mid", midi_bytes(score));
    std::istringstream lines{outside::run("midicsv '" + (folder / "lick.mid").string() + "'")};
    std::multiset<std::pair<long, int>> expected, got;
    for (const MidiEvent& e : score.tracks[1].events)
        if (e.kind == MidiEvent::Kind::note_on) expected.insert({e.tick, e.a});
    for (std::string line; std::getline(lines, line);) {
        long track = 0, tick = 0;
        int channel = 0, key = 0, velocity = 0;
        if (std::sscanf(line.c_str(), "%ld, %ld, Note_on_c, %d, %d, %d", &track, &tick, &channel, &key,
                        &velocity) == 5)
            got.insert({tick, key});
    }
    EXPECT_EQ(got, expected);
    EXPECT_FALSE(got.empty());
}

// FluidSynth plays the plain file, aubio hears the notated pitch: every note of a C harp and its bends, as
// whole notes. Program 80, the square lead of General MIDI, because the font's own harmonica is out of tune.
TEST(PlainMidi, FluidSynthPlaysAndAubioHearsTheNotatedPitches) {
    lick::Lick lick;
    lick.head.tempo = BeatsPerMinute{120.0};
    std::vector<double> pitches;
    std::vector<lick::Tab> tabs;
    const auto every = harp::every_note(lick.head.harp);
    for (const harp::HoleNote& n : every) {
        lick::Tab t = by_hand::tab({n.hole}, n.breath, n.bend_quarter_steps);
        t.overbend = n.overbend;
        tabs.push_back(t);
        pitches.push_back(harp::pitch(lick.head.harp, n)->midi);
    }
    for (std::size_t i = 0; i < tabs.size(); i += 4)
        lick.bars.push_back(
            by_hand::bar_of({tabs.begin() + static_cast<long>(i),
                             tabs.begin() + static_cast<long>(std::min(i + 4, tabs.size()))}));
    MidiChoices choices;
    choices.program = 80;
    const auto folder = outside::fresh_folder("heard");
    outside::write(folder / "lick.mid", midi_bytes(plain_midi(lick, choices)));
    const std::string wav = (folder / "lick.wav").string();
    outside::run("fluidsynth -q -n -i -R 0 -C 0 -r 44100 -F '" + wav +
                 "' /usr/share/sounds/sf2/TimGM6mb.sf2 '" + (folder / "lick.mid").string() + "' 2>&1");
    std::istringstream heard{
        outside::run("aubiopitch -i '" + wav + "' -p yinfast -u midi -B 4096 -H 512 2>/dev/null")};
    std::vector<std::vector<double>> by_note(pitches.size());
    for (double at = 0.0, midi = 0.0; heard >> at >> midi;) {
        // The middle half of each half second; aubio stamps a frame at its start.
        const double place = (at + 2048.0 / 44100.0) / 0.5;
        const auto note = static_cast<std::size_t>(place);
        const double part = place - std::floor(place);
        if (note < by_note.size() && part > 0.25 && part < 0.75) by_note[note].push_back(midi);
    }
    for (std::size_t i = 0; i < by_note.size(); ++i) {
        ASSERT_GT(by_note[i].size(), 5U) << i;
        std::nth_element(by_note[i].begin(), by_note[i].begin() + static_cast<long>(by_note[i].size() / 2),
                         by_note[i].end());
        EXPECT_NEAR(by_note[i][by_note[i].size() / 2], pitches[i], 0.15) << harp::to_text(every[i]);
    }
    EXPECT_GE(by_note.size(), 32U);  // twenty reeds and twelve bends at the least
}

}  // namespace
}  // namespace lw::exchange
