// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/phrase.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace lw::listening {
namespace {

using harp::Breath;
using lick::Gesture;
using lick::Start;
using lick::Tab;

/// Standard keys come three times as often as low and high ones.
harp::Harp chance_harp(support::Dice& dice) {
    static const std::array<const char*, 12> standard = {"G",  "Ab", "A",  "Bb", "B", "C",
                                                         "Db", "D",  "Eb", "E",  "F", "F#"};
    static const std::array<const char*, 8> others = {"low C", "low Db", "low D",  "low Eb",
                                                      "low E", "low F",  "low F#", "high G"};
    return harp::harp_named(dice.chance(75) ? dice.pick(standard) : dice.pick(others)).value();
}

struct Range {
    int low = 1;
    int high = 6;
};

/// The holes a position lives on; the first one is where it comes home to.
Range chance_range(support::Dice& dice, int position) {
    switch (position) {
        case 1:
            return dice.chance(60) ? Range{3, 7} : (dice.chance(50) ? Range{6, 10} : Range{1, 5});
        case 3:
            return dice.chance(60) ? Range{3, 7} : Range{4, 9};
        default:
            return dice.chance(80) ? Range{1, 6} : Range{3, 8};
    }
}

class Walk {
  public:
    Walk(support::Dice& dice, const Phrase& phrase) : dice_(dice), phrase_(phrase) {
        range_ = chance_range(dice, phrase.position);
        hole_ = dice.roll(range_.low, range_.high);
        breath_ = phrase.position == 1 ? Breath::blow : Breath::draw;
    }

    Tab next() {
        const int kind = dice_.roll(1, 100);
        if (started_ && kind <= 14) return now_;  // again
        if (kind <= 34) {
            breath_ = harp::other(breath_);
        } else {
            const int distance = kind <= 82 ? 1 : (kind <= 95 ? 2 : 3);
            const int way = hole_ - distance < range_.low    ? 1
                            : hole_ + distance > range_.high ? -1
                                                             : (dice_.chance(50) ? 1 : -1);
            hole_ = std::clamp(hole_ + way * distance, range_.low, range_.high);
            if (dice_.chance(40)) breath_ = harp::other(breath_);
        }
        // 3 blow and 2 draw are one pitch: in a line of draws a player stays on 2 draw.
        if (hole_ == 3 && breath_ == Breath::blow && started_ && now_.breath == Breath::draw &&
            dice_.chance(80)) {
            hole_ = std::max(2, range_.low);
            breath_ = Breath::draw;
        }
        now_ = Tab{.holes = {hole_}, .breath = breath_};
        started_ = true;
        bend(now_);
        return now_;
    }
    /// What the walk goes on from, when something else was played.
    void stand_on(const Tab& tab) {
        now_ = tab;
        hole_ = tab.holes.front();
        breath_ = tab.breath;
    }

  private:
    void bend(Tab& tab) {
        const int deepest = static_cast<int>(harp::deepest_bend(phrase_.harp, {hole_, breath_}).value);
        if (hole_ == 5 && breath_ == Breath::draw && dice_.chance(4)) {
            tab.bent_hole = 5;
            tab.bend_quarter_steps = 1;
        }
        if (deepest == 0 || !dice_.chance(32)) return;
        tab.bent_hole = hole_;
        tab.bend_quarter_steps = 2 * dice_.roll(1, deepest);
        // The blue third of second position lies a quarter step under 3 draw.
        if (hole_ == 3 && breath_ == Breath::draw && dice_.chance(30)) tab.bend_quarter_steps = 1;
    }

    support::Dice& dice_;
    const Phrase& phrase_;
    Range range_;
    int hole_ = 4;
    Breath breath_ = Breath::draw;
    Tab now_;
    bool started_ = false;
};

double seconds_of(const Phrase& phrase, const PhraseNote& note) {
    const double begin = swung(phrase.groove, note.at);
    const double end = swung(phrase.groove, {note.at.value + note.length.value});
    return (end - begin) * 60.0 / phrase.groove.tempo.value;
}

/// The same reed at another depth, or a neighbour in the same breath; nothing where neither can be.
bool join(support::Dice& dice, const Phrase& phrase, const PhraseNote& before, PhraseNote& note) {
    const int hole = before.tab.holes.front();
    const int deepest = static_cast<int>(harp::deepest_bend(phrase.harp, {hole, before.tab.breath}).value);
    const int kind = dice.roll(1, 100);
    if (deepest > 0 && kind <= 16) {
        Tab tab{.holes = {hole}, .breath = before.tab.breath};
        int depth = dice.chance(before.tab.bent_hole != 0 ? 75 : 0) ? 0 : 2 * dice.roll(0, deepest);
        if (std::abs(depth - before.tab.bend_quarter_steps) < 2) return false;
        if (depth > 0) {
            tab.bent_hole = hole;
            tab.bend_quarter_steps = depth;
        }
        note.tab = tab;
        note.start = Start::joined;
        return true;
    }
    if (kind > 95 && before.tab.bent_hole == 0) {
        const int to = hole + (hole == 10 || (hole > 1 && dice.chance(50)) ? -1 : 1);
        note.tab = {.holes = {to}, .breath = before.tab.breath};
        note.start = Start::joined;
        return true;
    }
    return false;
}

/// Another hole in the same breath: a neighbour, one over it, or the octave.
void add_holes(support::Dice& dice, const Phrase& phrase, Tab& tab) {
    const int hole = tab.holes.front();
    const int kind = dice.roll(1, 100);
    std::vector<int> holes;
    if (kind <= 45) {
        holes = {hole, hole + 1};
    } else if (kind <= 90) {
        for (const harp::Split& split : harp::splits(phrase.harp)) {
            if (split.octave() && split.low == hole && split.breath == tab.breath) {
                holes = {split.low, split.high};
                break;
            }
        }
    } else {
        holes = {hole, hole + 1, hole + 2};
    }
    if (holes.empty() || holes.back() > harp::hole_count) return;
    tab = {.holes = holes, .breath = tab.breath};
}

void decorate(support::Dice& dice, const Phrase& phrase, PhraseNote& note, bool always) {
    const double seconds = seconds_of(phrase, note);
    const harp::Reed reed{note.tab.holes.front(), note.tab.breath};
    const double room = harp::bend_floor(phrase.harp, reed).value - note.tab.bend().value;
    const bool plain = note.tab.bent_hole == 0;
    const int kind = dice.roll(1, always ? 40 : 100);
    const auto with = [&](Gesture g, int other = 0) {
        note.ornaments.push_back({.gesture = g, .other_hole = other, .from = {}});
    };
    if (kind <= 6 && seconds > 0.3 && room >= 0.45) return with(Gesture::scoop);
    if (kind > 6 && kind <= 11 && seconds > 0.3 && room >= 0.9 && plain) return with(Gesture::fall);
    if (kind > 11 && kind <= 16 && seconds > 0.4 && room >= 0.45) return with(Gesture::dip);
    if (kind > 16 && kind <= 28 && seconds > 0.5) return with(Gesture::vibrato);
    if (kind > 28 && kind <= 40 && seconds > 0.55 && plain) {
        const int other = reed.hole == harp::hole_count ? reed.hole - 1 : reed.hole + 1;
        return with(Gesture::shake, other);
    }
}

}  // namespace

Phrase chance_phrase(std::uint64_t seed, const PhraseWishes& wishes) {
    support::Dice dice{seed};
    Phrase phrase;
    phrase.harp = chance_harp(dice);
    const int kind = dice.roll(1, 100);
    phrase.position = kind <= 50 ? 2 : (kind <= 75 ? 1 : (kind <= 93 ? 3 : (kind <= 96 ? 12 : 5)));
    phrase.groove = chance_groove(dice);
    const int notes = dice.roll(wishes.least_notes, wishes.most_notes);
    const std::vector<Slot> slots = chance_rhythm(dice, phrase.groove, notes);
    Walk walk{dice, phrase};
    for (const Slot& slot : slots) {
        PhraseNote note;
        note.at = slot.at;
        note.length = slot.length;
        note.breath_before = slot.breath_before;
        PhraseNote* before = phrase.notes.empty() ? nullptr : &phrase.notes.back();
        const bool touches = before != nullptr && !note.breath_before &&
                             before->at.value + before->length.value == note.at.value &&
                             before->ornaments.empty() && !before->tab.chord();
        if (touches && join(dice, phrase, *before, note)) {
            walk.stand_on(note.tab);
            phrase.notes.push_back(note);
            continue;
        }
        note.tab = walk.next();
        if (wishes.several_holes && note.tab.bent_hole == 0) {
            const bool again = before != nullptr && before->tab.chord() &&
                               before->tab.breath == note.tab.breath &&
                               before->tab.holes.front() == note.tab.holes.front();
            if (again) {
                note.tab = before->tab;
            } else if (dice.chance(60)) {
                add_holes(dice, phrase, note.tab);
            }
        }
        phrase.notes.push_back(note);
    }
    for (std::size_t i = 0; i < phrase.notes.size(); ++i) {
        PhraseNote& note = phrase.notes[i];
        const bool leads_on = i + 1 < phrase.notes.size() && phrase.notes[i + 1].start != Start::attack;
        if (note.start == Start::attack && !leads_on && !note.tab.chord())
            decorate(dice, phrase, note, wishes.gestures);
    }
    const PhraseNote& last = phrase.notes.back();
    const int beats = phrase.groove.meter.beats();
    const Fraction end = last.at.value + last.length.value;
    phrase.length = {Fraction{((end / Fraction{beats}) + Fraction{beats - 1, beats}).floor() * beats}};
    return phrase;
}

}  // namespace lw::listening
