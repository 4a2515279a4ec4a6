// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <map>

#include "engine/exchange/plain_tab.hpp"
#include "engine/lick/count.hpp"
#include "engine/text/spelling.hpp"
#include "engine/text/text.hpp"

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

/// `[`, once for each group that begins here.
std::string opened(const lick::Bar& bar, Beats at) {
    const auto groups =
        std::count_if(bar.groups.begin(), bar.groups.end(), [&](const lick::Group& g) { return g.at == at; });
    return std::string(static_cast<std::size_t>(groups), '[');
}

/// `]` or `]/2` for each group that ends here, the innermost first.
std::string closed(const lick::Bar& bar, Beats end) {
    std::string text;
    for (auto g = bar.groups.rbegin(); g != bar.groups.rend(); ++g) {
        if (g->at + g->length != end) continue;
        text += ']';
        if (g->slots > 1) text += '/' + std::to_string(g->slots);
    }
    return text;
}

std::string token(const lick::Bar& bar, const lick::Event& event, text::Spelling spelling) {
    std::string t;
    if (event.breath_before) t += ", ";
    t += opened(bar, event.at);
    switch (event.kind) {
        case lick::Event::Kind::rest:
            t += ".";
            break;
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
    return t + closed(bar, event.at + event.length);
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
    for (const lick::Event& event : bar.events) columns[event.at.value].tab = token(bar, event, spelling);
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
    if (head.harp.tuning != harp::standard_tuning()) text += ", tuned " + head.harp.tuning.name;
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

/// The signs of the breath, by which such a text is known again.
std::string_view breath_signs(text::Spelling spelling) {
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

/// Every sign that this lick uses, in lines no wider than `columns`.
std::string legend_text(const lick::Lick& lick, text::Spelling spelling, std::size_t columns) {
    const auto any_event = [&](auto has) {
        return std::any_of(lick.bars.begin(), lick.bars.end(), [&](const lick::Bar& bar) {
            return std::any_of(bar.events.begin(), bar.events.end(), has);
        });
    };
    const auto any_bar = [&](auto has) { return std::any_of(lick.bars.begin(), lick.bars.end(), has); };
    using lick::Event;
    const auto any_tab = [&](auto has) {
        return any_event([&](const Event& e) {
            return (e.kind == Event::Kind::note && has(e.tab)) ||
                   std::any_of(e.ornaments.begin(), e.ornaments.end(),
                               [&](const lick::Ornament& o) { return has(o.from); });
        });
    };
    std::vector<std::string> words{std::string{breath_signs(spelling)}};
    const auto tell = [&](bool needed, std::string_view word) {
        if (needed) words.emplace_back(word);
    };
    tell(any_tab([](const lick::Tab& t) { return t.bend_quarter_steps > 1; }), "' each half step of a bend");
    tell(any_tab([](const lick::Tab& t) { return t.bend_quarter_steps % 2 != 0; }), "q a quarter step more");
    tell(any_tab([](const lick::Tab& t) { return t.overbend; }),
         spelling == text::Spelling::letters ? "O overblow or overdraw" : "o overblow or overdraw");
    tell(any_tab([](const lick::Tab& t) { return t.chord(); }), "(2,3) holes in one breath");
    tell(any_event([](const Event& e) { return e.kind == Event::Kind::hold; }), "_ hold");
    tell(any_event([](const Event& e) { return e.kind == Event::Kind::rest; }), ". rest");
    const bool breath = any_event([](const Event& e) { return e.breath_before; }) ||
                        any_bar([](const lick::Bar& b) { return b.breath_at_end; });
    if (breath) words.emplace_back("a comma alone: breathe");
    tell(any_event([](const Event& e) { return e.start == lick::Start::joined; }), "> no new attack");
    tell(any_event([](const Event& e) { return e.start == lick::Start::glide; }),
         ">> gliding there through the note before");
    tell(any_bar([](const lick::Bar& b) { return !b.groups.empty(); }), "[ ] what shares one beat");
    tell(any_bar([](const lick::Bar& b) {
             return std::any_of(b.groups.begin(), b.groups.end(),
                                [](const lick::Group& g) { return g.slots > 1; });
         }),
         "[ ]/2 what shares two");
    tell(any_event([](const Event& e) { return !e.ornaments.empty(); }), "{ } how the note is played");
    tell(any_event([](const Event& e) {
             return std::any_of(e.ornaments.begin(), e.ornaments.end(),
                                [](const lick::Ornament& o) { return o.gesture == lick::Gesture::approach; });
         }),
         "{from } the note it quickly comes from");
    tell(any_bar([](const lick::Bar& b) { return b.opens_repeat || b.closes_repeat; }), "|: :| played twice");
    tell(any_bar([](const lick::Bar& b) { return b.ending != 0; }), "|1 |2 first and second ending");
    std::string text;
    std::string line;
    for (const std::string& word : words) {
        if (!line.empty() && columns_of(line) + columns_of(word) + 3 > columns) {
            text += line + ",\n";
            line.clear();
        }
        line += (line.empty() ? "" : ", ") + word;
    }
    return text + line + '\n';
}

/// The lick with every slot cut by a named group, as the text that is read again needs it; a lick that came
/// from text is that already.
lick::Lick cut(const lick::Lick& lick) {
    text::Defaults defaults;
    defaults.head = lick.head;
    defaults.tunings = {lick.head.harp.tuning};
    text::LickReading again = text::read_lick(text::write_lick(lick, defaults.tunings), defaults);
    if (!again.ok()) return lick;
    again.lick.head = lick.head;
    return std::move(again.lick);
}

}  // namespace

std::string write_plain_tab(const lick::Lick& given, text::Spelling spelling, std::size_t columns) {
    const lick::Lick lick = cut(given);
    constexpr std::string_view chords_label = "chords ";
    constexpr std::string_view tab_label = "tab    ";
    constexpr std::string_view count_label = "count  ";
    std::string text = head_text(lick.head);
    text += legend_text(lick, spelling, columns);
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
