// SPDX-License-Identifier: Apache-2.0
//
// The tidy form of a lick: one space between tokens, lanes named in one width, the bars of neighbouring lanes
// one under the other, comments of the head in one column, no two blank lines in a row. Only white space, the
// case of keys and the look-alikes of ' and - ever change.
#include <algorithm>

#include "engine/text/lesson.hpp"
#include "engine/text/reader.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

void pad(std::string& text, std::size_t to_width) {
    const std::size_t width = width_of(text);
    if (width < to_width) text.append(to_width - width, ' ');
}

std::string sign_text(const BarSign& sign) {
    std::string out = sign.closes ? ":|" : "|";
    if (sign.opens) out += ':';
    if (sign.ending != 0) out += std::to_string(sign.ending);
    return out;
}

/// A lane's line as cells: music, bar line, music, bar line, ... The first is empty when a bar line comes
/// first.
std::vector<std::string> cells_of(const std::vector<Token>& tokens) {
    std::vector<std::string> cells(1);
    bool after_open = true;
    for (const Token& token : tokens) {
        if (token.kind == Token::Kind::bar) {
            cells.push_back(sign_text(token.sign));
            cells.emplace_back();
            after_open = true;
            continue;
        }
        std::string text = utf8(token.text);
        bool glue = false;
        if (token.kind == Token::Kind::brace) {
            std::string words;
            for (const std::string& word : words_of(text)) words += (words.empty() ? "" : " ") + word;
            text = "{" + lowered(words) + "}";
            glue = true;
        } else if (token.kind == Token::Kind::close) {
            text = token.over > 1 ? ")/" + std::to_string(token.over) : ")";
            glue = true;
        } else if (token.kind == Token::Kind::open) {
            text = "(";
        }
        if (!glue && !after_open) cells.back() += ' ';
        cells.back() += text;
        after_open = token.kind == Token::Kind::open;
    }
    return cells;
}

class Formatter {
  public:
    explicit Formatter(const std::vector<LineSyntax>& lines) : lines_(lines) {
        for (const LineSyntax& line : lines) {
            if (line.kind == LineSyntax::Kind::lane)
                name_width_ = std::max(name_width_, word(line.lane).size());
        }
    }

    std::string format() {
        bool blank_due = false;
        for (std::size_t i = 0; i < lines_.size();) {
            if (lines_[i].kind == LineSyntax::Kind::blank) {
                blank_due = !out_.empty();
                ++i;
                continue;
            }
            if (blank_due) out_ += '\n';
            blank_due = false;
            if (lines_[i].kind == LineSyntax::Kind::head)
                i = head_block(i);
            else if (lines_[i].kind == LineSyntax::Kind::lane)
                i = lane_block(i);
            else
                i = comment_line(i);
        }
        return std::move(out_);
    }

  private:
    std::size_t comment_line(std::size_t i) {
        out_ += utf8(lines_[i].comment) + "\n";
        return i + 1;
    }

    /// Head lines that follow each other have their comments in one column.
    std::size_t head_block(std::size_t begin) {
        std::size_t end = begin;
        std::size_t width = 0;
        const auto text = [&](std::size_t i) {
            const std::string key = lines_[i].key;
            return key + ": " + lines_[i].value;
        };
        for (; end < lines_.size() && lines_[end].kind == LineSyntax::Kind::head; ++end) {
            if (!lines_[end].comment.empty()) width = std::max(width, width_of(text(end)));
        }
        for (std::size_t i = begin; i < end; ++i) {
            std::string line = text(i);
            if (!lines_[i].comment.empty()) {
                pad(line, width + 2);
                line += utf8(lines_[i].comment);
            }
            out_ += line + "\n";
        }
        return end;
    }

    /// Neighbouring lines of different lanes are one system: their bars stand one under the other.
    std::size_t lane_block(std::size_t begin) {
        std::size_t end = begin;
        bool seen[2] = {false, false};
        for (; end < lines_.size() && lines_[end].kind == LineSyntax::Kind::lane; ++end) {
            bool& mine = seen[static_cast<std::size_t>(lines_[end].lane)];
            if (mine) break;
            mine = true;
        }
        std::vector<std::vector<std::string>> rows;
        std::vector<std::size_t> widths;
        for (std::size_t i = begin; i < end; ++i) {
            rows.push_back(cells_of(lines_[i].tokens));
            for (std::size_t c = 0; c < rows.back().size(); ++c) {
                if (widths.size() == c) widths.push_back(0);
                widths[c] = std::max(widths[c], width_of(rows.back()[c]));
            }
        }
        for (std::size_t i = begin; i < end; ++i) lane_line(lines_[i], rows[i - begin], widths);
        return end;
    }

    void lane_line(const LineSyntax& syntax, const std::vector<std::string>& cells,
                   const std::vector<std::size_t>& widths) {
        std::string line{word(syntax.lane)};
        pad(line, name_width_);
        for (std::size_t c = 0; c < cells.size(); ++c) {
            if (widths[c] == 0) continue;
            line += ' ';
            const std::size_t start = width_of(line);
            // A bar line that closes keeps its | under the | of the lane above.
            line += cells[c];
            pad(line, start + widths[c]);
        }
        while (!line.empty() && line.back() == ' ') line.pop_back();
        if (!syntax.comment.empty()) line += "  " + utf8(syntax.comment);
        out_ += line + "\n";
    }

    const std::vector<LineSyntax>& lines_;
    std::size_t name_width_ = 0;
    std::string out_;
};

}  // namespace

std::string format_lick(std::string_view source, const Defaults& defaults) {
    if (has_errors(read_lick(source, defaults).diagnostics)) return std::string{source};
    Report unheard;
    const std::vector<LineSyntax> lines = sort_lines(source, 1, Room::lick, unheard);
    return Formatter{lines}.format();
}

std::string format_house(std::string_view source) {
    if (has_errors(read_house(source).diagnostics)) return std::string{source};
    Report unheard;
    const std::vector<LineSyntax> lines = sort_lines(source, 1, Room::house, unheard);
    return Formatter{lines}.format();
}

}  // namespace lw::text
