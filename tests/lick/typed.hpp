// SPDX-License-Identifier: GPL-3.0-or-later
//
// Short licks for the tests of this room, typed as the language spells them: slots, `( )` groups that nest,
// `4b` `4d`, `-` hold, `.` rest, `,` breath. A dozen lines of its own instead of the real reader, which
// stands on this room and not the other way round.
#pragma once

#include <string>
#include <string_view>

#include "engine/lick/lick.hpp"

namespace lw::lick::typed {

namespace detail {

inline std::size_t token_end(std::string_view text, std::size_t i) {
    if (text[i] != '(') return text.find_first_of(" )", i);
    int open = 0;
    do {
        open += text[i] == '(' ? 1 : text[i] == ')' ? -1 : 0;
        ++i;
    } while (open > 0);
    return text.find_first_of(" )", i);  // takes a `/n` with it
}

inline std::vector<std::string_view> tokens(std::string_view text) {
    std::vector<std::string_view> all;
    for (std::size_t i = text.find_first_not_of(' '); i < text.size(); i = text.find_first_not_of(' ', i)) {
        const std::size_t end = std::min(token_end(text, i), text.size());
        all.push_back(text.substr(i, end - i));
        i = end;
        if (i >= text.size()) break;
    }
    return all;
}
inline int slots_of(std::string_view token) {
    const std::size_t slash = token.rfind('/');
    return token == "," ? 0 : slash == std::string_view::npos ? 1 : token[slash + 1] - '0';
}

inline void place(Bar& bar, std::string_view text, Beats at, Beats part, int depth, bool& breath) {
    for (const std::string_view token : tokens(text)) {
        const Beats length = part * Fraction{slots_of(token)};
        if (token == ",") {
            breath = true;
            continue;
        }
        if (token[0] == '(') {
            const std::string_view inside = token.substr(1, token.rfind(')') - 1);
            int parts = 0;
            for (const std::string_view t : tokens(inside)) parts += slots_of(t);
            bar.groups.push_back({at, length, parts, depth, slots_of(token)});
            place(bar, inside, at, length * Fraction{1, parts}, depth + 1, breath);
        } else {
            Event e;
            e.at = at;
            e.length = length;
            e.breath_before = breath;
            breath = false;
            if (token == "-") {
                e.kind = Event::Kind::hold;
            } else if (token != ".") {
                e.kind = Event::Kind::note;
                e.tab.holes = {token[0] - '0'};
                e.tab.breath = token[1] == 'b' ? Breath::blow : Breath::draw;
            }
            bar.events.push_back(std::move(e));
        }
        at += length;
    }
}

}  // namespace detail

inline Bar bar(std::string_view text) {
    Bar b;
    int slots = 0;
    for (const std::string_view t : detail::tokens(text)) slots += detail::slots_of(t);
    b.length = Beats{slots};
    detail::place(b, text, Beats{}, Beats{1}, 0,
                  b.breath_at_end);  // a breath that no event takes stays there
    return b;
}
inline Bar pickup(std::string_view text) {
    Bar b = bar(text);
    b.pickup = true;
    return b;
}

/// `|:`, `|1`, `:|` around a bar.
struct Lines {
    bool opens = false;
    int ending = 0;
    bool closes = false;
};
inline Bar bar(Lines lines, std::string_view text) {
    Bar b = bar(text);
    b.opens_repeat = lines.opens;
    b.ending = lines.ending;
    b.closes_repeat = lines.closes;
    return b;
}

inline Lick lick(std::vector<Bar> bars, Meter meter = {4, 4}, Fraction feel = 1) {
    Lick l;
    l.head.meter = meter;
    l.head.feel.ratio = feel;
    l.bars = std::move(bars);
    return l;
}

/// `3/2`, `4`.
inline std::string say(Fraction f) {
    return std::to_string(f.top()) + (f.whole() ? "" : "/" + std::to_string(f.bottom()));
}

}  // namespace lw::lick::typed
