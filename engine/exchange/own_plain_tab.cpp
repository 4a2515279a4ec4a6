// SPDX-License-Identifier: Apache-2.0
#include "engine/exchange/own_plain_tab.hpp"

#include <algorithm>
#include <limits>

namespace lw::exchange {
namespace {

std::vector<std::string_view> lines_of(std::string_view source) {
    std::vector<std::string_view> lines;
    while (!source.empty()) {
        const std::size_t end = std::min(source.find('\n'), source.size());
        std::string_view line = source.substr(0, end);
        source.remove_prefix(std::min(end + 1, source.size()));
        while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) line.remove_suffix(1);
        lines.push_back(line);
    }
    return lines;
}

bool starts(std::string_view text, std::string_view with) noexcept {
    return text.substr(0, with.size()) == with;
}
bool ends(std::string_view text, std::string_view with) noexcept {
    return text.size() >= with.size() && text.substr(text.size() - with.size()) == with;
}

bool is_legend(std::string_view line) noexcept {
    return starts(line, "+ blow, - draw") || starts(line, "↑ blow, ↓ draw") || starts(line, "B blow, D draw");
}

/// The parts of `harp in A, 3rd position, music in B; 12/8; 54 beats a minute; swing`.
void read_head(std::string_view line, OwnTab& own) {
    constexpr std::string_view harp = "harp in ";
    constexpr std::string_view tuned = "tuned ";
    constexpr std::string_view position = " position";
    constexpr std::string_view beats = " beats a minute";
    while (!line.empty()) {
        const std::size_t end = std::min(line.find_first_of(",;"), line.size());
        std::string_view part = line.substr(0, end);
        line.remove_prefix(std::min(end + 1, line.size()));
        while (starts(part, " ")) part.remove_prefix(1);
        const bool number = !part.empty() && part.front() >= '0' && part.front() <= '9';
        if (starts(part, harp)) {
            own.harp = part.substr(harp.size());
        } else if (starts(part, tuned)) {
            own.head += "tuning: " + std::string{part.substr(tuned.size())} + '\n';
        } else if (number && ends(part, position)) {
            own.head += "position: " + std::string{part.substr(0, part.size() - position.size())} + '\n';
        } else if (number && ends(part, beats)) {
            own.head += "tempo: " + std::string{part.substr(0, part.size() - beats.size())} + '\n';
        } else if (number && part.find('/') != std::string_view::npos) {
            own.head += "meter: " + std::string{part} + '\n';
        } else if (starts(part, "swing")) {
            own.head += "feel: " + std::string{part} + '\n';
        }
    }
}

bool is_lane(std::string_view line) noexcept {
    return labelled(line, "tab") || labelled(line, "chords") || labelled(line, "count");
}

/// A line that opens or shuts a bar in the chords lane has the same signs in the tab lane.
bool is_beat(std::string_view word) noexcept {
    return !word.empty() && word.find_first_not_of("0123456789") == std::string_view::npos;
}

/// What stands between two bar lines.
struct Stretch {
    int from = 0;
    int to = 0;
};

std::string chords_of_bar(const std::vector<Piece>& chords, const std::vector<Piece>& count, Stretch bar) {
    const auto inside = [&](const Piece& p) { return p.column >= bar.from && p.column < bar.to; };
    std::vector<int> beats;
    for (const Piece& p : count)
        if (inside(p) && is_beat(p.text)) beats.push_back(p.column);
    std::vector<std::string> words(std::max<std::size_t>(beats.size(), 1));
    std::size_t said = 0;
    for (const Piece& p : chords) {
        if (!inside(p)) continue;
        ++said;
        const auto after = std::upper_bound(beats.begin(), beats.end(), p.column);
        const auto beat = after == beats.begin() ? 0 : static_cast<std::size_t>(after - beats.begin()) - 1;
        words[beat] = std::string{p.text};
    }
    if (said == 0) return {};
    if (said == 1 && !words.front().empty()) return words.front();
    std::string text;
    for (std::string& word : words) {
        if (word.empty()) word = text.empty() ? "." : "-";
        text += (text.empty() ? "" : " ") + word;
    }
    return text;
}

}  // namespace

bool labelled(std::string_view line, std::string_view label) noexcept {
    return starts(line, label) && line.size() > label.size() &&
           (line[label.size()] == ' ' || line[label.size()] == '\t');
}

bool is_bar_sign(std::string_view piece) noexcept {
    return piece.find('|') != std::string_view::npos &&
           piece.find_first_not_of("|:0123456789") == std::string_view::npos;
}

OwnTab own_tab(std::string_view source) {
    OwnTab own;
    const std::vector<std::string_view> lines = lines_of(source);
    const auto legend = std::find_if(lines.begin(), lines.end(), is_legend);
    if (legend == lines.end() || std::any_of(lines.begin(), legend, is_lane)) return own;
    own.legend = true;
    for (auto line = lines.begin(); line != legend; ++line) {
        if (starts(*line, "harp in "))
            read_head(*line, own);
        else if (own.title.empty())
            own.title = *line;
    }
    std::string credit;
    auto last = lines.end();
    while (last != legend && !is_lane(*(last - 1))) --last;
    for (; last != lines.end() && last != legend; ++last) {
        if (starts(*last, "https://") || starts(*last, "http://"))
            own.head += "more: " + std::string{*last} + '\n';
        else if (credit.empty())
            credit = *last;
    }
    if (!credit.empty()) own.head += "credit: " + credit + '\n';
    return own;
}

std::string chords_lane(const std::vector<Piece>& chords, const std::vector<Piece>& tab,
                        const std::vector<Piece>& count, bool& ended) {
    if (ended) return {};
    std::string text = "chords";
    bool any = false;
    for (std::size_t i = 0; i < tab.size();) {
        std::string line;
        const bool pickup = i == 0 && !is_bar_sign(tab[i].text);
        while (i < tab.size() && is_bar_sign(tab[i].text)) line += ' ' + std::string{tab[i++].text};
        text += line;
        if (i == tab.size()) break;
        Stretch bar{tab[i].column, std::numeric_limits<int>::max()};
        while (i < tab.size() && !is_bar_sign(tab[i].text)) ++i;
        if (i < tab.size()) bar.to = tab[i].column;
        const std::string words = chords_of_bar(chords, count, bar);
        if (words.empty() && pickup) continue;
        if (words.empty()) {
            ended = true;
            break;
        }
        text += ' ' + words;
        any = true;
    }
    return any ? text + '\n' : std::string{};
}

}  // namespace lw::exchange
