// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/playing.hpp"

#include <cmath>
#include <map>

#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/pitch_line.hpp"

namespace lw::listening {
namespace {

using lick::Gesture;
using lick::Start;

constexpr double step_s =
    128.0 / take_rate;  // between points of pitch and level; FluidSynth takes 64 samples at once

std::size_t index_of(harp::Reed reed) {
    return static_cast<std::size_t>(2 * (reed.hole - 1) + (reed.breath == harp::Breath::draw ? 1 : 0));
}

class Player {
  public:
    Player(const Phrase& phrase, std::uint64_t seed, ReedSamples& samples, const PlayerWishes& wishes)
        : phrase_(phrase), dice_(seed ^ 0x9d1a7e5c0ffee123ULL), wishes_(wishes) {
        tune(samples);
        set_time();
    }

    Playing play() {
        lay_out();
        for (std::size_t i = 0; i < phrase_.notes.size();) i = play_chain(i);
        playing_.length = {playing_.truth.back().note.offset.value + between(dice_, 0.4, 0.8)};
        return std::move(playing_);
    }

  private:
    void tune(ReedSamples& samples) {
        playing_.a4 = {between(dice_, 434.0, 446.0)};
        const bool keeps_error = dice_.chance(50);
        for (int i = 0; i < 2 * harp::hole_count; ++i) {
            const harp::Reed reed{1 + i / 2, i % 2 == 0 ? harp::Breath::blow : harp::Breath::draw};
            const double own = 4.0 * bell(dice_);  // within 10 cents: a harp that was played for some months
            const double sample = keeps_error ? samples.off_pitch(key_of(reed)).value : 0.0;
            playing_.reeds[static_cast<std::size_t>(i)] = {own + std::clamp(sample, -35.0, 35.0)};
        }
    }

    void set_time() {
        const double beat_s = 60.0 / phrase_.groove.tempo.value;
        double lead_s = between(dice_, 0.3, 0.8);
        if (wishes_.to_a_click) lead_s += beat_s * phrase_.groove.meter.beats();
        // A person alone leans forward and back by some hundredths of a beat in the course of a phrase.
        const double lean = wishes_.to_a_click ? 0.0 : between(dice_, 0.0, 0.025);
        const double phase = between(dice_, 0.0, 6.283);
        const int beats = static_cast<int>(phrase_.length.value.floor());
        for (int b = 0; b <= beats; ++b)
            playing_.beats.push_back({lead_s + beat_s * (b + lean * std::sin(phase + b * 6.283 / 16.0))});
    }

    [[nodiscard]] double time_of(Beats straight) const {
        const double beat = swung(phrase_.groove, straight);
        const auto whole = std::min(static_cast<std::size_t>(beat), playing_.beats.size() - 2);
        const double part = beat - static_cast<double>(whole);
        return playing_.beats[whole].value * (1.0 - part) + playing_.beats[whole + 1].value * part;
    }

    [[nodiscard]] int key_of(harp::Reed reed) const {
        return static_cast<int>(std::lround(harp::made_for(phrase_.harp, reed).midi));
    }
    [[nodiscard]] Pitch pitch_of(harp::Reed reed) const {
        const double a4 = 12.0 * std::log2(playing_.a4.value / 440.0);
        return {harp::made_for(phrase_.harp, reed).midi + a4 + playing_.reeds[index_of(reed)].value / 100.0};
    }

    /// Onsets and offsets of all notes, before anything sounds.
    void lay_out() {
        onset_.clear();
        offset_.clear();
        for (const PhraseNote& note : phrase_.notes)
            onset_.push_back(time_of(note.at) + wishes_.timing_sd_s * bell(dice_));
        for (std::size_t i = 0; i < phrase_.notes.size(); ++i) {
            const PhraseNote& note = phrase_.notes[i];
            const Beats end{note.at.value + note.length.value};
            const double length = time_of(end) - time_of(note.at);
            double offset = onset_[i] + length * between(dice_, 0.85, 1.0);
            if (i + 1 < phrase_.notes.size()) {
                const PhraseNote& next = phrase_.notes[i + 1];
                const bool touches = next.at == end;
                if (next.start != Start::attack) {
                    offset = onset_[i + 1];
                } else if (touches && next.breath_before) {
                    offset = onset_[i + 1] - std::min(0.4 * length, between(dice_, 0.10, 0.20));
                } else if (touches && next.tab == note.tab) {
                    offset = onset_[i + 1] - std::min(0.4 * length, between(dice_, 0.02, 0.06));
                } else if (touches && dice_.chance(8)) {
                    offset = onset_[i] + length * between(dice_, 0.55, 0.7);  // tongued short
                } else if (touches) {
                    offset = onset_[i + 1] - std::min(0.3 * length, between(dice_, 0.0, 0.025));
                }
            }
            offset_.push_back(offset);
        }
    }

    /// A note with the joined notes that hang on it: one breath, one line of pitch. Returns the note behind them.
    std::size_t play_chain(std::size_t first) {
        std::size_t behind = first + 1;
        while (behind < phrase_.notes.size() && phrase_.notes[behind].start != Start::attack) ++behind;
        const PhraseNote& note = phrase_.notes[first];
        const harp::Reed lead{note.tab.lead_hole(), note.tab.breath};
        PitchLine line{target(note)};
        std::vector<double> onsets{onset_[first]};
        for (std::size_t i = first + 1; i < behind; ++i) {
            const Pitch old = line.at({onset_[i]});
            line.travel({onset_[i]}, {between(dice_, 0.030, 0.060)}, target(phrase_.notes[i]));
            double t = onset_[i];
            while (std::abs((line.at({t}) - old).value) < 0.20) t += 0.0005;
            onsets.push_back(t);
        }
        onsets.push_back(offset_[behind - 1]);

        const bool shaken = !note.ornaments.empty() && note.ornaments.front().gesture == Gesture::shake;
        std::vector<hear::HeardGesture> gestures = lay_over(note, onset_[first], offset_[first], line);
        const double strength = std::clamp(88.0 + 10.0 * bell(dice_), 55.0, 118.0);
        if (shaken) {
            shake(note, onset_[first], offset_[first], strength);
        } else {
            for (const int hole : note.tab.holes) {
                const harp::Reed reed{hole, note.tab.breath};
                Voice voice{.key = key_of(reed),
                            .velocity = static_cast<int>(strength + 4.0 * bell(dice_)),
                            .on = {onset_[first] + (note.tab.chord() ? between(dice_, 0.0, 0.006) : 0.0)},
                            .off = {offset_[behind - 1]},
                            .pitch = {},
                            .level = level_};
                if (hole == lead.hole) {
                    for (double t = voice.on.value; t < voice.off.value + 0.3; t += step_s)
                        add_point(voice.pitch, {{t}, line.at({t})});
                } else {
                    voice.pitch = {{voice.on, pitch_of(reed)}};
                }
                playing_.voices.push_back(std::move(voice));
            }
        }
        for (std::size_t i = first; i < behind; ++i) {
            tell(phrase_.notes[i], onsets[i - first], onsets[i - first + 1], line);
            if (i == first) playing_.truth.back().note.gestures = gestures;
        }
        return behind;
    }

    static void add_point(std::vector<PitchPoint>& points, PitchPoint point) {
        if (points.empty() || std::abs((points.back().pitch - point.pitch).value) > 0.001)
            points.push_back(point);
    }

    /// Where the lead hole settles. Nobody bends to the cent.
    Pitch target(const PhraseNote& note) {
        const harp::Reed lead{note.tab.lead_hole(), note.tab.breath};
        const double miss = note.tab.bent_hole != 0 ? 0.06 * bell(dice_) : 0.0;
        const Pitch pitch = pitch_of(lead) - note.tab.bend() - Semitones{miss};
        settled_[&note] = pitch;
        return pitch;
    }

    std::vector<hear::HeardGesture> lay_over(const PhraseNote& note, double onset, double offset,
                                             PitchLine& line) {
        level_.clear();
        std::vector<hear::HeardGesture> told;
        const double length = offset - onset;
        for (const lick::Ornament& ornament : note.ornaments) {
            const harp::Reed reed{note.tab.lead_hole(), note.tab.breath};
            const double room = harp::bend_floor(phrase_.harp, reed).value - note.tab.bend().value;
            double at = onset;
            switch (ornament.gesture) {
                case Gesture::scoop:
                    line.from_below({onset}, {between(dice_, 0.08, 0.15)},
                                    {std::min(room, between(dice_, 0.5, 1.0))});
                    break;
                case Gesture::fall: {
                    const double takes = std::min(0.6 * length, between(dice_, 0.14, 0.24));
                    at = offset - takes;
                    line.sink({at}, {takes}, {std::min(room, between(dice_, 0.9, 1.3))});
                    for (double t = 0.0; t < takes; t += step_s)
                        level_.push_back({{at + t}, 1.0 - 0.5 * t / takes});
                    break;
                }
                case Gesture::dip:
                    at = onset + between(dice_, 0.25, 0.45) * length;
                    line.there_and_back({at}, {std::min(0.5 * length, between(dice_, 0.16, 0.26))},
                                        {std::min(room, between(dice_, 0.4, 0.9))});
                    break;
                case Gesture::vibrato: {
                    // Mostly loudness on this instrument, 4 to 7 times a second (common practice, no source).
                    at = onset + between(dice_, 0.15, 0.35) * length;
                    const Hz rate{between(dice_, 4.5, 6.5)};
                    const double depth = between(dice_, 0.15, 0.4);
                    line.wave({at}, {offset - at}, {between(dice_, 0.10, 0.30)}, rate);
                    for (double t = 0.0; t < offset - at; t += step_s)
                        level_.push_back(
                            {{at + t}, 1.0 - depth * (0.5 - 0.5 * std::cos(6.2832 * rate.value * t))});
                    break;
                }
                default:
                    break;
            }
            told.push_back({.gesture = ornament.gesture, .other_hole = ornament.other_hole, .at = {at}});
        }
        return told;
    }

    /// Two neighbouring holes in turn, the written one first; each reed begins anew while the other still rings.
    void shake(const PhraseNote& note, double onset, double offset, double strength) {
        const double half_s = 0.5 / between(dice_, 5.0, 7.5);
        bool other = false;
        for (double t = onset; t < offset - 0.03; t += half_s, other = !other) {
            const harp::Reed reed{other ? note.ornaments.front().other_hole : note.tab.lead_hole(),
                                  note.tab.breath};
            playing_.voices.push_back({.key = key_of(reed),
                                       .velocity = static_cast<int>(strength + 4.0 * bell(dice_)),
                                       .on = {t},
                                       .off = {std::min(offset, t + half_s + 0.010)},
                                       .pitch = {{{t}, pitch_of(reed)}},
                                       .level = {}});
        }
    }

    void tell(const PhraseNote& note, double onset, double offset, const PitchLine& line) {
        const harp::Reed lead{note.tab.lead_hole(), note.tab.breath};
        TruthNote truth{.note = {}, .at = note.at, .length = note.length, .pitches = {}};
        hear::HeardNote& told = truth.note;
        told.onset = {onset};
        told.offset = {offset};
        told.tab = note.tab;
        told.pitch = settled_.at(&note);
        told.bend = pitch_of(lead) - told.pitch;
        told.bend_start = pitch_of(lead) - line.at({onset});
        if (note.tab.bent_hole == 0) told.bend = {0.0};
        for (double t = std::ceil(onset / hear::frame_step.value) * hear::frame_step.value; t < offset;
             t += hear::frame_step.value)
            told.bend_path.push_back({{t}, pitch_of(lead) - line.at({t})});
        told.joined = note.start != Start::attack;
        told.confidence = 1.0;
        for (const int hole : note.tab.holes)
            truth.pitches.push_back(hole == lead.hole ? told.pitch : pitch_of({hole, note.tab.breath}));
        for (const lick::Ornament& ornament : note.ornaments) {
            if (ornament.gesture == Gesture::shake)
                truth.pitches.push_back(pitch_of({ornament.other_hole, note.tab.breath}));
        }
        playing_.truth.push_back(std::move(truth));
    }

    const Phrase& phrase_;
    support::Dice dice_;
    PlayerWishes wishes_;
    Playing playing_;
    std::vector<double> onset_;
    std::vector<double> offset_;
    std::vector<LevelPoint> level_;  // of the note that is being played
    std::map<const PhraseNote*, Pitch> settled_;
};

}  // namespace

Playing play(const Phrase& phrase, std::uint64_t seed, ReedSamples& samples, const PlayerWishes& wishes) {
    return Player{phrase, seed, samples, wishes}.play();
}

}  // namespace lw::listening
