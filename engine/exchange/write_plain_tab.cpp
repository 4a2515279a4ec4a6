// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <map>

#include "engine/exchange/plain_tab.hpp"
#include "engine/lick/count.hpp"
#include "engine/text/spelling.hpp"

namespace lw::exchange {
namespace {

/// Characters as they are counted on a screen: the arrows are three bytes and one column.
std::size_t columns_of(std::string_view text) noexcept {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

void pad(std::string& text, std::size_t columns) {
    const std::size_t have = columns_of(text);
    if (have < columns) text.append(columns - have, ' ');
}

/// What stands at one place of a bar, from top to bottom.
struct Column {
    std::string chord;
    std::string tab;
    std::string count;
};

/// One bar as three rows of equal width, its lines before and after included.
struct BarText {
    std::string chords;
    std::string tab;
    std::string count;
};

std::string token(const lick::Event& event, text::Spelling spelling) {
    std::string t;
    if (event.breath_before) t += ", ";
    switch (event.kind) {
        case lick::Event::Kind::rest:
            return t + ".";
        case lick::Event::Kind::hold:
            t += "_";
            break;
        case lick::Event::Kind::note:
            if (event.start == lick::Start::joined) t += ">";
            if (event.start == lick::Start::glide) t += ">>";
            t += text::spelled(event.tab, spelling);
            break;
    }
    for (const lick::Ornament& o : event.ornaments) {
        t += '{';
        t += lick::word(o.gesture);
        if (o.gesture == lick::Gesture::shake) t += ' ' + std::to_string(o.other_hole);
        if (o.gesture == lick::Gesture::approach) t += ' ' + text::spelled(o.from, spelling);
        t += '}';
    }
    return t;
}

std::string line_before(const lick::Bar& bar, bool first_of_line) {
    if (bar.opens_repeat) return "|: ";
    if (bar.ending != 0) return "|" + std::to_string(bar.ending) + " ";
    if (bar.pickup) return "";
    return first_of_line ? "| " : "";
}

BarText bar_text(const lick::Lick& lick, std::size_t index, bool first_of_line, text::Spelling spelling) {
    const lick::Bar& bar = lick.bars[index];
    std::map<Fraction, Column> columns;
    for (const lick::ChordSpan& chord : bar.chords)
        columns[chord.at.value].chord = chord.symbol.empty() ? "." : chord.symbol;
    for (const lick::Event& event : bar.events) columns[event.at.value].tab = token(event, spelling);
    for (const lick::CountWord& word : lick::count(lick, index)) columns[word.at.value].count = word.word;
    BarText text;
    text.tab = line_before(bar, first_of_line);
    for (const auto& [at, column] : columns) {
        const std::size_t start = columns_of(text.tab);
        pad(text.chords, start);
        pad(text.count, start);
        text.chords += column.chord;
        text.tab += column.tab;
        text.count += column.count;
        const std::size_t widest =
            std::max({columns_of(text.chords), columns_of(text.tab), columns_of(text.count)});
        pad(text.tab, widest + 1);
    }
    if (bar.breath_at_end) text.tab += ", ";
    // A line that the next bar draws itself (a repeat, an ending) is not drawn twice.
    const bool next_draws = index + 1 < lick.bars.size() &&
                            (lick.bars[index + 1].opens_repeat || lick.bars[index + 1].ending != 0);
    text.tab += bar.closes_repeat ? ":| " : next_draws ? "" : "| ";
    const std::size_t width = columns_of(text.tab);
    pad(text.chords, width);
    pad(text.count, width);
    return text;
}

std::string trimmed(std::string line) {
    while (!line.empty() && line.back() == ' ') line.pop_back();
    return line + '\n';
}

/// `92` or `92.5`: no more digits than a metronome has.
std::string tempo_text(BeatsPerMinute tempo) {
    const long tenths = std::lround(tempo.value * 10.0);
    return std::to_string(tenths / 10) + (tenths % 10 != 0 ? "." + std::to_string(tenths % 10) : "");
}

std::string head_text(const lick::Head& head) {
    std::string text;
    if (!head.title.empty()) text += head.title + '\n';
    text += "harp in " + harp::name(head.harp);
    if (const auto key = lick::key_of_music(head); head.position && key)
        text += ", " + harp::ordinal(*head.position) + " position, music in " + std::string{harp::name(*key)};
    text += "; " + std::to_string(head.meter.top) + "/" + std::to_string(head.meter.bottom);
    text += "; " + tempo_text(head.tempo) + " beats a minute";
    if (head.feel.ratio == Fraction{2}) {
        text += "; swing";
    } else if (!head.feel.straight()) {
        text += "; swing " + std::to_string(head.feel.ratio.top()) + ":" +
                std::to_string(head.feel.ratio.bottom());
    }
    return text + '\n';
}

std::string_view key_text(text::Spelling spelling) {
    switch (spelling) {
        case text::Spelling::none:
            return "";
        case text::Spelling::signs:
            return "+ blow, - draw";
        case text::Spelling::arrows:
            return "↑ blow, ↓ draw";
        case text::Spelling::letters:
            return "B blow, D draw";
    }
    return "";
}

}  // namespace

std::string write_plain_tab(const lick::Lick& lick, text::Spelling spelling, std::size_t columns) {
    constexpr std::string_view chords_label = "chords ";
    constexpr std::string_view tab_label = "tab    ";
    constexpr std::string_view count_label = "count  ";
    std::string text = head_text(lick.head);
    text +=
        std::string{key_text(spelling)} + ", ' each half step of a bend, _ hold, . rest, > no new attack\n";
    const bool with_chords =
        std::any_of(lick.bars.begin(), lick.bars.end(), [](const lick::Bar& b) { return !b.chords.empty(); });
    for (std::size_t bar = 0; bar < lick.bars.size();) {
        BarText line{std::string{chords_label}, std::string{tab_label}, std::string{count_label}};
        bool first = true;
        while (bar < lick.bars.size()) {
            const BarText next = bar_text(lick, bar, first, spelling);
            if (!first && columns_of(line.tab) + columns_of(next.tab) > columns) break;
            line.chords += next.chords;
            line.tab += next.tab;
            line.count += next.count;
            first = false;
            ++bar;
        }
        text += '\n';
        if (with_chords) text += trimmed(line.chords);
        text += trimmed(line.tab) + trimmed(line.count);
    }
    if (!lick.head.credit.empty() || !lick.head.more.empty()) text += '\n';
    if (!lick.head.credit.empty()) text += lick.head.credit + '\n';
    for (const std::string& address : lick.head.more) text += address + '\n';
    return text;
}

}  // namespace lw::exchange
