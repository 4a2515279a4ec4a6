// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/text_block.hpp"

#include <string>
#include <vector>

#include "engine/draw/chord_symbol.hpp"
#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

/// `Bb`, `F#`, perhaps with a comma or a full stop after it.
bool names_key(std::string_view word) noexcept {
    return word.size() >= 2 && word.size() <= 3 && word[0] >= 'A' && word[0] <= 'G' &&
           (word[1] == 'b' || word[1] == '#') && (word.size() == 2 || word[2] == ',' || word[2] == '.');
}

double word_width(std::string_view word, const TextStyle& style) {
    return style.keys && names_key(word) ? width_with_accidentals(word, style.size, style.face)
                                         : width(style.face, word, style.size);
}

std::vector<std::vector<std::string_view>> break_text(std::string_view text, double room,
                                                      const TextStyle& style) {
    std::vector<std::vector<std::string_view>> lines;
    const double space = width(style.face, " ", style.size);
    double x = 0.0;
    while (!text.empty()) {
        const std::size_t start = text.find_first_not_of(' ');
        if (start == std::string_view::npos) break;
        text.remove_prefix(start);
        std::string_view word = text.substr(0, text.find(' '));
        double wide = word_width(word, style);
        if (wide > room) {
            word = fitting(style.face, word, style.size, room);
            if (word.empty()) word = text.substr(0, 1);
            wide = width(style.face, word, style.size);
        }
        if (lines.empty() || x + space + wide > room) {
            lines.emplace_back();
            x = wide;
        } else {
            x += space + wide;
        }
        lines.back().push_back(word);
        text.remove_prefix(word.size());
    }
    return lines;
}

void set_line(std::vector<Command>& to, const std::vector<std::string_view>& line, double x, double y,
              const TextStyle& style) {
    std::string run;
    double run_x = x;
    const auto flush = [&] {
        if (!run.empty())
            to.push_back(
                words(style.part, run, {run_x, y}, style.size, style.face, Anchor::start, style.ink));
        run.clear();
    };
    const double space = width(style.face, " ", style.size);
    for (const std::string_view word : line) {
        if (style.keys && names_key(word)) {
            flush();
            InkGroup group;
            x = set_with_accidentals(group, style.part, word, {x, y}, style.size, style.face, style.ink) +
                space;
            group.place(to, 0.0, 0.0, -1);
            run_x = x;
            continue;
        }
        if (run.empty()) run_x = x;
        if (!run.empty()) run += ' ';
        run += word;
        x += width(style.face, word, style.size) + space;
    }
    flush();
}

}  // namespace

double set_text(std::vector<Command>& to, std::string_view text, double x, double y, double width,
                const TextStyle& style) {
    double down = 0.0;
    for (const auto& line : break_text(text, width, style)) {
        set_line(to, line, x, y + down + ascent * style.size, style);
        down += style.leading * style.size;
    }
    return down;
}

int lines_of(std::string_view text, double width, const TextStyle& style) {
    return static_cast<int>(break_text(text, width, style).size());
}

}  // namespace lw::draw
