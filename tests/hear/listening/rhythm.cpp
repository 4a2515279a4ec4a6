// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/rhythm.hpp"

#include <span>

namespace lw::listening {
namespace {

/// A beat: parts of it in turn, negative for a rest. `weight` says how often it comes.
struct Pattern {
    int weight = 1;
    std::vector<Fraction> parts;
};

using F = Fraction;
const std::vector<Pattern>& patterns(const Groove& groove) {
    static const std::vector<Pattern> straight = {
        {28, {F{1}}},
        {40, {F{1, 2}, F{1, 2}}},
        {6, {F{-1, 2}, F{1, 2}}},
        {6, {F{1, 2}, F{1, 4}, F{1, 4}}},
        {6, {F{3, 4}, F{1, 4}}},
        {6, {F{1, 4}, F{1, 4}, F{1, 4}, F{1, 4}}},
        {4, {F{1, 3}, F{1, 3}, F{1, 3}}},
        {5, {F{-1}}},
    };
    static const std::vector<Pattern> swing = {
        {26, {F{1}}}, {42, {F{1, 2}, F{1, 2}}}, {8, {F{-1, 2}, F{1, 2}}}, {16, {F{1, 3}, F{1, 3}, F{1, 3}}},
        {5, {F{-1}}},
    };
    static const std::vector<Pattern> threes = {
        {22, {F{1}}}, {30, {F{1, 3}, F{1, 3}, F{1, 3}}}, {30, {F{2, 3}, F{1, 3}}}, {8, {F{-2, 3}, F{1, 3}}},
        {5, {F{-1}}},
    };
    if (groove.meter.compound()) return threes;
    return groove.feel.straight() ? straight : swing;
}

const Pattern& chance_pattern(support::Dice& dice, const Groove& groove) {
    const auto& all = patterns(groove);
    int sum = 0;
    for (const Pattern& p : all) sum += p.weight;
    while (true) {
        int left = dice.roll(1, sum);
        for (const Pattern& p : all) {
            left -= p.weight;
            if (left > 0) continue;
            // A tongue does about eight notes a second (common practice, no source).
            Fraction shortest{1};
            for (const F& part : p.parts) shortest = std::min(shortest, part < F{0} ? -part : part);
            if (shortest.value() * 60.0 / groove.tempo.value >= 0.115) return p;
            break;
        }
    }
}

}  // namespace

Groove chance_groove(support::Dice& dice) {
    Groove groove;
    groove.tempo = {static_cast<double>(dice.roll(60, 140))};
    const int kind = dice.roll(1, 100);
    if (kind > 75) {
        groove.meter = {12, 8};
    } else if (kind > 35) {
        groove.feel = {dice.chance(75) ? Fraction{2} : Fraction{3, 2}};
    }
    return groove;
}

std::vector<Slot> chance_rhythm(support::Dice& dice, const Groove& groove, int notes) {
    std::vector<Slot> slots;
    bool breath = false;
    for (Fraction beat{0}; std::ssize(slots) < notes; beat += Fraction{1}) {
        Fraction at = beat;
        for (const Fraction part : chance_pattern(dice, groove).parts) {
            if (std::ssize(slots) == notes) break;
            const bool rest = part < Fraction{0};
            const Fraction length = rest ? -part : part;
            if (!rest) {
                // A note on the beat may be the one before, held.
                const bool held = !slots.empty() && at == beat && length == Fraction{1} && dice.chance(25) &&
                                  slots.back().at.value + slots.back().length.value == at &&
                                  slots.back().length.value <= Fraction{2};
                if (held) {
                    slots.back().length.value += length;
                } else {
                    slots.push_back({{at}, {length}, breath});
                    breath = dice.chance(7);
                }
            }
            at += length;
        }
    }
    // A phrase comes to rest on its last note.
    Slot& last = slots.back();
    const Fraction end = Fraction{(last.at.value + last.length.value).floor()} + Fraction{1};
    last.length.value = end - last.at.value;
    return slots;
}

double swung(const Groove& groove, Beats straight) {
    const Fraction beat{straight.value.floor()};
    if (groove.feel.straight() || straight.value - beat != Fraction{1, 2}) return straight.value.value();
    return beat.value() + (groove.feel.ratio / (groove.feel.ratio + Fraction{1})).value();
}

}  // namespace lw::listening
