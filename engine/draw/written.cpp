// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/written.hpp"

#include <algorithm>

namespace lw::draw {
namespace {

/// Gives the tokens of one note their parts of its length, once its last hold is known.
void share_length(std::vector<Token>& tokens, std::size_t note, std::size_t end) {
    double whole = 0.0;
    for (std::size_t i = note; i < end; ++i) whole += tokens[i].written->length.value.value();
    double so_far = 0.0;
    for (std::size_t i = note; i < end; ++i) {
        tokens[i].from = so_far / whole;
        so_far += tokens[i].written->length.value.value();
        tokens[i].to = so_far / whole;
    }
}

}  // namespace

bool lasts(lick::Gesture gesture) noexcept {
    return gesture == lick::Gesture::vibrato || gesture == lick::Gesture::shake ||
           gesture == lick::Gesture::wah || gesture == lick::Gesture::flutter;
}

std::vector<Token> written_tokens(const lick::Lick& lick) {
    std::vector<Token> tokens;
    int sounding = -1;  // the note that a hold would lengthen
    int before_endings = -1;
    bool follows = false;  // the last token is the one that sounds here
    for (std::size_t b = 0; b < lick.bars.size(); ++b) {
        const lick::Bar& bar = lick.bars[b];
        if (bar.ending == 1) before_endings = sounding;
        if (bar.ending > 1) {
            sounding = before_endings;
            follows = false;
        }
        for (std::size_t e = 0; e < bar.events.size(); ++e) {
            const lick::Event& event = bar.events[e];
            if (event.kind == lick::Event::Kind::rest ||
                (event.kind == lick::Event::Kind::hold && sounding < 0)) {
                sounding = -1;
                follows = false;
                continue;
            }
            const int index = static_cast<int>(tokens.size());
            const bool note = event.kind == lick::Event::Kind::note;
            Token t;
            t.bar = b;
            t.event = e;
            t.written = &event;
            t.held = note ? -1 : sounding;
            t.tab = note ? &event.tab : tokens[static_cast<std::size_t>(sounding)].tab;
            if (follows && (!note || event.start != lick::Start::attack)) tokens.back().next = index;
            // A shake or a vibrato lasts as long as the note, until a hold says something else.
            const bool says = std::any_of(event.ornaments.begin(), event.ornaments.end(),
                                          [](const lick::Ornament& o) { return lasts(o.gesture); });
            t.style = note || says || tokens.empty() || !follows ? &event : tokens.back().style;
            tokens.push_back(t);
            if (note) sounding = index;
            follows = true;
        }
    }
    for (std::size_t i = 0; i < tokens.size(); ++i) {
        if (!tokens[i].note()) continue;
        std::size_t end = i + 1;
        while (end < tokens.size() && tokens[end].held == static_cast<int>(i) &&
               tokens[end - 1].next == static_cast<int>(end))
            ++end;
        share_length(tokens, i, end);
        const int after = tokens[end - 1].next;
        if (after < 0 || tokens[static_cast<std::size_t>(after)].written->start != lick::Start::glide)
            continue;
        for (std::size_t j = i; j < end; ++j) tokens[j].glides_to = after;
    }
    return tokens;
}

}  // namespace lw::draw
