// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/walk_through.hpp"

#include "engine/lick/count.hpp"
#include "engine/lick/say.hpp"

namespace lw::lick {
namespace {

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

/// `for 2 beats`, `for 1 1/2 beats`; nothing for notes that fill less than a beat, whose length their
/// neighbours say.
std::string say_length(Beats length) {
    if (length.value <= Fraction{1}) return {};
    const std::int64_t whole = length.value.floor();
    const Fraction rest = length.value - Fraction{whole};
    std::string text = ", held for " + std::to_string(whole);
    if (rest != Fraction{0}) text += " " + std::to_string(rest.top()) + "/" + std::to_string(rest.bottom());
    return text + (length.value == Fraction{1} ? " beat" : " beats");
}

/// How the note is reached when it has no attack of its own.
std::string say_start(const Event& event, const Tab* before) {
    if (event.start == Start::attack || before == nullptr) return {};
    const std::string manner =
        event.start == Start::glide ? "gliding all the way, " : "without a new attack, ";
    if (before->holes == event.tab.holes) {
        if (event.tab.bend_quarter_steps < before->bend_quarter_steps) return manner + "let the bend up to ";
        if (event.tab.bend_quarter_steps > before->bend_quarter_steps) return manner + "bend on down to ";
        return manner + "stay on ";
    }
    return manner + "slide to ";
}

/// The length of a note with the holds behind it, as far as they stand in the same bar.
Beats length_in_bar(const Bar& bar, std::size_t event) {
    Beats length = bar.events[event].length;
    for (std::size_t i = event + 1; i < bar.events.size() && bar.events[i].kind == Event::Kind::hold; ++i)
        length += bar.events[i].length;
    return length;
}

std::string say_meter(const Meter& meter) {
    const std::string signature = std::to_string(meter.top) + "/" + std::to_string(meter.bottom);
    if (meter.compound())
        return signature + ", " + std::to_string(meter.beats()) +
               " slow beats to the bar, each of them three";
    return signature;
}

std::string say_feel(const Head& head) {
    if (head.meter.compound()) return {};
    if (head.feel.straight()) return ", straight";
    if (head.feel.ratio == Fraction{2}) return ", swung long and short";
    return ", swung " + std::to_string(head.feel.ratio.top()) + " to " +
           std::to_string(head.feel.ratio.bottom());
}

std::string say_tempo(BeatsPerMinute tempo) {
    const auto tenths = static_cast<std::int64_t>(tempo.value * 10.0 + 0.5);
    std::string text = std::to_string(tenths / 10);
    if (tenths % 10 != 0) text += "." + std::to_string(tenths % 10);
    return text;
}

}  // namespace

WalkThrough walk_through(const Lick& lick) {
    WalkThrough told;
    const Head& head = lick.head;
    told.what = "Harp in " + harp::name(head.harp);
    if (head.harp.tuning.name != harp::standard_tuning().name)
        told.what += ", tuned " + head.harp.tuning.name;
    if (head.position) {
        told.what += ", " + harp::ordinal(*head.position) + " position, so the music is in " +
                     std::string{harp::name(*key_of_music(head))};
    }
    told.what += ". " + say_meter(head.meter) + ", " + say_tempo(head.tempo) + " beats a minute" +
                 say_feel(head) + ".";
    told.count = "Count: " + say_count_in(lick) + "; then play.";

    int number = 0;
    const Tab* before = nullptr;
    const Tab* before_endings = nullptr;  // what every ending joins to
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        const Bar& bar = lick.bars[b];
        std::string text;
        if (bar.ending == 1) before_endings = before;
        if (bar.ending > 1) before = before_endings;
        if (bar.pickup) {
            text = "Pickup";
        } else {
            text = "Bar " + std::to_string(++number);
        }
        if (bar.opens_repeat) text += ", the repeat begins here";
        if (bar.ending != 0) text += ", " + harp::ordinal(bar.ending) + " ending";
        std::string chords;
        for (const ChordSpan& chord : bar.chords) {
            if (chord.symbol.empty()) continue;
            chords += (chords.empty() ? "" : ", then ") + chord.symbol;
        }
        if (!chords.empty()) text += ", over " + chords;
        text += ". ";
        for (std::size_t e = 0; e < bar.events.size(); ++e) {
            const Event& event = bar.events[e];
            if (event.breath_before) text += "Take a breath. ";
            const std::string place = say_place(lick, b, event.at);
            if (event.kind == Event::Kind::rest) {
                before = nullptr;
                if (event.at.value == Fraction{0} && event.length == bar.length)
                    text += "Rest for the whole bar. ";
                continue;
            }
            if (event.kind == Event::Kind::hold) {
                const bool over_bar_line = event.at.value == Fraction{0};
                if (over_bar_line)
                    text += "The last note holds on" + say_length(length_in_bar(bar, e)) + ". ";
                for (const Ornament& o : event.ornaments)
                    text += capital("from " + place) + " on, " + say(o) + ". ";
                continue;
            }
            text += capital(place) + ": " + say_start(event, before) + say(event.tab);
            for (const Ornament& o : event.ornaments) text += ", " + say(o);
            text += say_length(length_in_bar(bar, e)) + ". ";
            before = &event.tab;
        }
        if (bar.breath_at_end) text += "Take a breath. ";
        if (bar.closes_repeat) text += "Go back to the repeat. ";
        while (!text.empty() && text.back() == ' ') text.pop_back();
        told.bars.push_back(std::move(text));
    }
    return told;
}

}  // namespace lw::lick
