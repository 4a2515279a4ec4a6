// SPDX-License-Identifier: Apache-2.0
#include "engine/lick/count.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace lw::lick {
namespace {

/// `half way`, `one sixth`, `three fifths`; figures where words would be long: `19/24`.
std::string part_in_words(Fraction part) {
    static constexpr std::array<std::string_view, 12> numbers = {
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"};
    static constexpr std::array<std::string_view, 13> parts = {
        "",        "",       "",      "third", "quarter",  "fifth",  "sixth",
        "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"};
    if (part == Fraction{1, 2}) return "half way";
    if (part.bottom() < 3 || part.bottom() > 12 || part.top() < 1 || part.top() > 11)
        return std::to_string(part.top()) + "/" + std::to_string(part.bottom());
    std::string text{numbers[static_cast<std::size_t>(part.top())]};
    text += " ";
    text += parts[static_cast<std::size_t>(part.bottom())];
    if (part.top() > 1) text += "s";
    return text;
}

}  // namespace

std::string_view offbeat_word(const Meter& meter, Fraction part) noexcept {
    if (meter.compound()) {
        if (part == Fraction{1, 3}) return "and";
        if (part == Fraction{2, 3}) return "a";
        return {};
    }
    if (part == Fraction{1, 2}) return "and";
    if (part == Fraction{1, 3}) return "trip";
    if (part == Fraction{2, 3}) return "let";
    if (part == Fraction{1, 4}) return "e";
    if (part == Fraction{3, 4}) return "a";
    return {};
}

int beat_number(const Lick& lick, std::size_t bar, Beats at) noexcept {
    const Bar& b = lick.bars[bar];
    const Fraction missing = b.pickup ? Fraction{lick.head.meter.beats()} - b.length.value : Fraction{0};
    return static_cast<int>((at.value + missing).floor()) + 1;
}

std::vector<CountWord> count(const Lick& lick, std::size_t bar) {
    const Bar& b = lick.bars[bar];
    std::set<Fraction> places;
    for (std::int64_t beat = 0; Fraction{beat} < b.length.value; ++beat) places.insert(Fraction{beat});
    for (const Group& g : b.groups) {
        for (int i = 0; i < g.parts; ++i) places.insert((g.at + g.length * Fraction{i, g.parts}).value);
    }
    std::vector<CountWord> words;
    for (const Fraction& place : places) {
        const Fraction part = place - Fraction{place.floor()};
        CountWord w;
        w.at = Beats{place};
        w.on_beat = part == Fraction{0};
        w.word = w.on_beat ? std::to_string(beat_number(lick, bar, w.at))
                           : std::string{offbeat_word(lick.head.meter, part)};
        if (w.word.empty()) continue;
        w.starts_note = std::any_of(b.events.begin(), b.events.end(), [&](const Event& e) {
            return e.kind == Event::Kind::note && e.at == w.at;
        });
        words.push_back(std::move(w));
    }
    return words;
}

std::string say_place(const Lick& lick, std::size_t bar, Beats at) {
    const std::string number = std::to_string(beat_number(lick, bar, at));
    const Fraction part = at.value - Fraction{at.value.floor()};
    if (part == Fraction{0}) return "beat " + number;
    const std::string_view word = offbeat_word(lick.head.meter, part);
    if (!word.empty()) return "the " + std::string{word} + " of " + number;
    return part_in_words(part) + " into beat " + number;
}

}  // namespace lw::lick
