// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/slips.hpp"

#include <cmath>
#include <stdexcept>

#include "engine/text/text.hpp"

namespace lw::listening {
namespace {

using lick::Event;

double pitch_of(const Phrase& phrase, const lick::Tab& tab) {
    return harp::pitch(phrase.harp, tab.note_of(tab.lead_hole())).value().midi;
}

bool may_slip(const Phrase& phrase, std::size_t i) {
    if (i == 0 || i + 1 >= phrase.notes.size()) return false;
    const PhraseNote& note = phrase.notes[i];
    return note.start == lick::Start::attack && phrase.notes[i + 1].start == lick::Start::attack &&
           note.ornaments.empty() && !note.tab.chord();
}

/// A neighbouring plain note that sounds unlike this one and its neighbours.
std::optional<lick::Tab> other_note(support::Dice& dice, const Phrase& phrase, std::size_t i) {
    for (int tries = 0; tries < 20; ++tries) {
        const int hole = phrase.notes[i].tab.holes.front() + dice.roll(-1, 1);
        if (hole < 1 || hole > harp::hole_count) continue;
        const lick::Tab tab{.holes = {hole},
                            .breath = dice.chance(50) ? harp::Breath::blow : harp::Breath::draw};
        bool unlike = true;
        for (const std::size_t near : {i - 1, i, i + 1})
            unlike =
                unlike && std::abs(pitch_of(phrase, tab) - pitch_of(phrase, phrase.notes[near].tab)) >= 1.0;
        if (unlike) return tab;
    }
    return std::nullopt;
}

/// Events of a stretch, cut at bar lines: `first` and then holds, or rests.
void fill(std::vector<lick::Bar>& bars, Beats at, Beats length, const Event& first) {
    Event event = first;
    while (length.value > Fraction{0}) {
        const Fraction bar_length = bars.front().length.value;
        const auto bar = static_cast<std::size_t>((at.value / bar_length).floor());
        const Fraction in_bar = at.value - Fraction{static_cast<std::int64_t>(bar)} * bar_length;
        event.at = {in_bar};
        event.length = {std::min(length.value, bar_length - in_bar)};
        bars[bar].events.push_back(event);
        at += event.length;
        length = length - event.length;
        event = {};
        event.kind = first.kind == Event::Kind::rest ? Event::Kind::rest : Event::Kind::hold;
    }
}

}  // namespace

Slipped with_slips(const Phrase& phrase, std::uint64_t seed) {
    support::Dice dice{seed ^ 0x3c6ef372fe94f82bULL};
    Slipped out;
    out.played = phrase;
    out.played.notes.clear();
    bool slipped_before = false;
    for (std::size_t i = 0; i < phrase.notes.size(); ++i) {
        PhraseNote note = phrase.notes[i];
        const int kind = dice.roll(1, 24);
        // Two slips in a row have no one right name. Only a long note has room for one more, so that is tried oftener.
        const bool may = !slipped_before && kind <= 7 && may_slip(phrase, i);
        slipped_before = false;
        const auto other = may ? other_note(dice, phrase, i) : std::nullopt;
        if (kind == 1 && other) {
            note.tab = *other;
            out.wrong.push_back(i);
            slipped_before = true;
        } else if (kind == 2 && may) {
            out.missing.push_back(i);
            slipped_before = true;
            continue;
        } else if (kind >= 3 && other && note.length >= Beats{Fraction{1, 2}} &&
                   note.length.value.value() * 60.0 / phrase.groove.tempo.value >= 0.4) {
            note.length = {note.length.value / Fraction{2}};
            out.played.notes.push_back(note);
            out.written.emplace_back(i);
            out.extra.push_back(out.played.notes.size());
            note.at += note.length;
            note.tab = *other;
            note.breath_before = false;
            out.played.notes.push_back(note);
            out.written.emplace_back(std::nullopt);
            slipped_before = true;
            continue;
        }
        out.played.notes.push_back(note);
        out.written.emplace_back(i);
    }
    return out;
}

lick::Lick lick_of(const Phrase& phrase) {
    lick::Lick lick;
    lick.head.title = "phrase";
    lick.head.harp = phrase.harp;
    lick.head.position = phrase.position;
    lick.head.meter = phrase.groove.meter;
    lick.head.feel = phrase.groove.feel;
    lick.head.tempo = phrase.groove.tempo;
    const Fraction bar_length{phrase.groove.meter.beats()};
    lick.bars.resize(static_cast<std::size_t>((phrase.length.value / bar_length).floor()));
    for (lick::Bar& bar : lick.bars) bar.length = {bar_length};
    Beats at{};
    const Event rest{};
    for (const PhraseNote& note : phrase.notes) {
        fill(lick.bars, at, note.at - at, rest);
        Event event;
        event.kind = Event::Kind::note;
        event.tab = note.tab;
        event.start = note.start;
        event.ornaments = note.ornaments;
        event.breath_before = note.breath_before;
        fill(lick.bars, note.at, note.length, event);
        at = note.at + note.length;
    }
    fill(lick.bars, at, phrase.length - at, rest);
    text::LickReading reading = text::read_lick(text::write_lick(lick));
    if (!reading.ok())
        throw std::runtime_error("a phrase that cannot be read back: " + reading.diagnostics.front().words);
    return std::move(reading.lick);
}

}  // namespace lw::listening
