// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/say.hpp"

#include <algorithm>
#include <array>

#include "engine/lick/count.hpp"

namespace lw::lick {
namespace {

std::string_view say(Breath breath) noexcept {
    return breath == Breath::blow ? "blow" : "draw";
}

/// `2`, `2 and 3`, `1, 2 and 3`.
std::string listed(const std::vector<int>& numbers) {
    std::string text;
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        if (i > 0) text += i + 1 == numbers.size() ? " and " : ", ";
        text += std::to_string(numbers[i]);
    }
    return text;
}

}  // namespace

std::string say_bend(int quarter_steps) {
    static constexpr std::array<std::string_view, 8> words = {"",
                                                              "quarter step",
                                                              "half step",
                                                              "half step and a quarter",
                                                              "whole step",
                                                              "whole step and a quarter",
                                                              "step and a half",
                                                              "step and a half and a quarter"};
    if (quarter_steps >= 0 && quarter_steps < static_cast<int>(words.size()))
        return std::string{words[static_cast<std::size_t>(quarter_steps)]};
    return std::to_string(quarter_steps) + " quarter steps";
}

std::string say(const Tab& tab) {
    if (tab.holes.empty()) return {};
    if (tab.overbend)
        return std::to_string(tab.holes.front()) + (tab.breath == Breath::blow ? " overblow" : " overdraw");
    std::string text = listed(tab.holes) + " " + std::string{say(tab.breath)};
    std::vector<int> blocked;  // holes between the outer ones that do not sound: the tongue lies there
    for (int hole = tab.holes.front(); hole < tab.holes.back(); ++hole)
        if (!std::binary_search(tab.holes.begin(), tab.holes.end(), hole)) blocked.push_back(hole);
    if (!blocked.empty()) text += ", tongue on " + listed(blocked);
    if (tab.bend_quarter_steps > 0) {
        if (tab.chord()) text += ", " + std::to_string(tab.bent_hole);
        text += " bent a " + say_bend(tab.bend_quarter_steps);
    }
    return text;
}

std::string say(const Ornament& ornament) {
    switch (ornament.gesture) {
        case Gesture::approach:
            return "quickly from " + say(ornament.from);
        case Gesture::dip:
            return "with a dip";
        case Gesture::scoop:
            return "scooped up from below";
        case Gesture::fall:
            return "falling off at its end";
        case Gesture::vibrato:
            return "with vibrato";
        case Gesture::shake:
            return "shaken with " + std::to_string(ornament.other_hole);
        case Gesture::wah:
            return "with a wah of the hands";
        case Gesture::flutter:
            return "with a flutter of the tongue";
        case Gesture::slap:
            return "with a tongue slap";
        case Gesture::accent:
            return "accented";
        case Gesture::brief:
            return "cut short";
        case Gesture::ghost:
            return "barely there";
    }
    return {};
}

std::vector<CountInBeat> count_in(const Lick& lick) {
    const int beats = lick.head.meter.beats();
    std::vector<CountInBeat> count;
    for (int beat = 1; beat <= beats; ++beat) count.push_back({beat, beat == 1});
    if (lick.bars.empty()) return count;

    // The beats of the phrase before its first note are counted too: they are where the learner waits.
    const Bar& first = lick.bars.front();
    const int missing = first.pickup ? beats - static_cast<int>(first.length.value.floor()) : 0;
    for (int beat = 1; beat <= missing; ++beat) count.push_back({beat, beat == 1});
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        const Bar& bar = lick.bars[b];
        const auto note = std::find_if(bar.events.begin(), bar.events.end(),
                                       [](const Event& e) { return e.kind == Event::Kind::note; });
        const Fraction until = note == bar.events.end() ? bar.length.value : note->at.value;
        for (std::int64_t beat = 0; Fraction{beat} < until; ++beat) {
            // A note inside a beat: that beat's number is spoken, the note falls after it.
            const int number = beat_number(lick, b, Beats{Fraction{beat}});
            count.push_back({number, number == 1});
        }
        if (note != bar.events.end()) break;
    }
    return count;
}

std::string say_count_in(const Lick& lick) {
    std::string text;
    for (const CountInBeat& beat : count_in(lick)) {
        if (!text.empty()) text += beat.first_of_bar ? ", " : " ";
        text += std::to_string(beat.number);
    }
    return text;
}

}  // namespace lw::lick
