// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "engine/text/diagnostics.hpp"
#include "engine/text/source.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

/// A line longer than this is shown in part, around the place.
constexpr std::size_t widest = 140;
constexpr std::size_t before_place = 60;

/// What a terminal must not act on is shown as the sign for an unreadable character.
void append_shown(std::string& to, char32_t c) {
    append_utf8(to, (c < 0x20 && c != U'\t') || (c >= 0x7F && c < 0xA0) ? char32_t{0xFFFD} : c);
}

/// The source line and the caret below it, or nothing when the place is not in this source.
std::string pointed(const lick::Place& place, std::string_view source) {
    if (place.line < 1 || place.column < 1) return {};
    const std::optional<std::string_view> raw = raw_line(source, place.line);
    if (!raw) return {};
    const auto asked = static_cast<std::size_t>(place.column) - 1;
    const std::u32string line =
        decoded(*raw, asked + widest + 1);  // what is shown, and whether there is more
    const std::size_t column = std::min(asked, line.size());
    const bool cut_left = line.size() > widest && column > before_place;
    const std::size_t begin = cut_left ? column - before_place : 0;
    const std::size_t end = std::min(line.size(), begin + widest);
    std::string text = "  ";
    std::string caret = "  ";
    if (cut_left) {
        text += "…";
        caret += ' ';
    }
    for (std::size_t i = begin; i < end; ++i) {
        append_shown(text, line[i]);
        if (i < column) caret += line[i] == U'\t' ? '\t' : ' ';
    }
    if (end < line.size()) text += "…";
    caret += '^';
    const std::size_t room = end > column ? end - column : 1;
    const auto length = static_cast<std::size_t>(std::max(place.length, 1));
    caret.append(std::min(length, room) - 1, '~');
    return text + "\n" + caret + "\n";
}

}  // namespace

bool has_errors(const std::vector<Diagnostic>& diagnostics) noexcept {
    return std::any_of(diagnostics.begin(), diagnostics.end(),
                       [](const Diagnostic& d) { return d.level == Level::error; });
}

std::string explain(const Diagnostic& d, std::string_view file, std::string_view source) {
    std::string out{file};
    if (d.place.line > 0) {
        out += ":" + std::to_string(d.place.line) + ":" + std::to_string(std::max(d.place.column, 1));
    }
    out += d.level == Level::error ? ": error: " : ": warning: ";
    out += d.words + " [" + std::string{d.slug} + "]\n";
    out += pointed(d.place, source);
    if (!d.remedy.empty()) out += "  " + d.remedy + "\n";
    return out;
}

}  // namespace lw::text
