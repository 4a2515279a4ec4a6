// SPDX-License-Identifier: Apache-2.0
//
// A token is a breath sign or not, one hole or several in brackets, then letters and marks. Each piece is
// taken for what it says alone; only where two readings are left does a question come up.
#include <algorithm>
#include <array>

#include "engine/exchange/own_plain_tab.hpp"
#include "engine/exchange/plain_tab.hpp"

namespace lw::exchange {
namespace {

using lick::Breath;

/// Slots to a bar of the draft, which is written in 4/4.
constexpr int slots_of_bar = 4;

int length_in_columns(std::string_view text) noexcept {
    return static_cast<int>(
        std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

bool is_digit(char c) noexcept {
    return c >= '0' && c <= '9';
}

/// Takes one of the spellings of a thing off the front.
bool take(std::string_view& text, std::string_view what) noexcept {
    if (text.substr(0, what.size()) != what || what.empty()) return false;
    text.remove_prefix(what.size());
    return true;
}

template <std::size_t n>
bool take_any(std::string_view& text, const std::array<std::string_view, n>& spellings) noexcept {
    return std::any_of(spellings.begin(), spellings.end(), [&](std::string_view s) { return take(text, s); });
}

// The typewriter's characters and what mail programs make of them.
constexpr std::array<std::string_view, 2> blow_signs = {"+", "↑"};
constexpr std::array<std::string_view, 4> draw_signs = {"-", "−", "–", "↓"};
constexpr std::array<std::string_view, 4> half_steps = {"'", "’", "′", "`"};
constexpr std::array<std::string_view, 3> whole_steps = {"\"", "”", "″"};

/// Words in braces hold white space and belong to the token before them.
std::vector<Piece> pieces_of(std::string_view line, int first_column) {
    std::vector<Piece> pieces;
    std::size_t at = 0;
    while (at < line.size()) {
        if (line[at] == ' ' || line[at] == '\t' || line[at] == '\r') {
            ++at;
            continue;
        }
        const std::size_t start = at;
        bool braces = false;
        while (at < line.size() && (braces || (line[at] != ' ' && line[at] != '\t' && line[at] != '\r'))) {
            if (line[at] == '{') braces = true;
            if (line[at] == '}') braces = false;
            ++at;
        }
        pieces.push_back(
            {line.substr(start, at - start), first_column + length_in_columns(line.substr(0, start))});
    }
    return pieces;
}

bool is_bar_line(std::string_view piece) noexcept {
    return piece.find_first_not_of("|:") == std::string_view::npos &&
           piece.find('|') != std::string_view::npos;
}

bool starts_like_tab(std::string_view piece) noexcept {
    while (take(piece, ">") || take(piece, ",")) {
    }
    while (take_any(piece, blow_signs) || take_any(piece, draw_signs)) {
    }
    return !piece.empty() && (is_digit(piece.front()) || piece.front() == '(');
}

class TabReader {
  public:
    TabReader(std::string_view source, const TabMeanings& meanings) : source_(source), meanings_(meanings) {}

    std::vector<TabTrouble> troubles;

    /// The lanes of a text with our own legend: nothing of its time is lost.
    std::string own_lanes() {
        std::string text;
        std::string tab_text;
        std::vector<Piece> chords;
        std::vector<Piece> tab;
        bool chords_ended = false;
        const auto flush = [&](const std::vector<Piece>& count) {
            text += chords_lane(chords, tab, count, chords_ended) + tab_text;
            chords.clear();
            tab.clear();
            tab_text.clear();
        };
        std::string_view rest = source_;
        for (line_ = 1; !rest.empty(); ++line_) {
            const std::size_t end = std::min(rest.find('\n'), rest.size());
            const std::string_view line = rest.substr(0, end);
            rest.remove_prefix(std::min(end + 1, rest.size()));
            if (labelled(line, "chords")) {
                flush({});
                chords = pieces_of(line.substr(6), 7);
            } else if (labelled(line, "tab")) {
                if (!tab.empty()) flush({});
                tab = pieces_of(line.substr(3), 4);
                tab_text = own_lane(tab);
                ++lanes_;
            } else if (labelled(line, "count")) {
                flush(pieces_of(line.substr(5), 6));
            }
        }
        flush({});
        if (lanes_ == 0)
            trouble({"", 1}, "There is no tab in this text.",
                    "Its lines begin with tab: tab | +4 -4 +5 _ |.");
        return text;
    }

    /// The lanes of the draft, comments between them.
    std::string lanes() {
        const bool labelled = has_labels();
        std::string text;
        int number = 0;
        std::string_view rest = source_;
        while (!rest.empty()) {
            ++number;
            const std::size_t end = std::min(rest.find('\n'), rest.size());
            std::string_view line = rest.substr(0, end);
            rest.remove_prefix(std::min(end + 1, rest.size()));
            while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) line.remove_suffix(1);
            if (line.empty()) continue;
            line_ = number;
            const bool label = is_label(line);
            const std::vector<Piece> pieces = pieces_of(label ? line.substr(3) : line, label ? 4 : 1);
            const bool tab = labelled ? label
                                      : line.front() != '#' &&
                                            std::any_of(pieces.begin(), pieces.end(), [](const Piece& p) {
                                                return starts_like_tab(p.text);
                                            });
            if (!tab) {
                text += (line.front() == '#' ? "" : "# ") + std::string{line} + '\n';
                continue;
            }
            text += lane(pieces);
            ++lanes_;
        }
        if (lanes_ == 0 && troubles.empty())
            trouble({"", 1}, "There is no tab in this text.",
                    "Holes are numbers from 1 to 10 with a sign, an arrow or a letter for the breath.");
        return text;
    }

  private:
    static bool is_label(std::string_view line) noexcept {
        return line.substr(0, 3) == "tab" && line.size() > 3 && (line[3] == ' ' || line[3] == '\t');
    }
    [[nodiscard]] bool has_labels() const noexcept {
        return is_label(source_) || source_.find("\ntab ") != std::string_view::npos ||
               source_.find("\ntab\t") != std::string_view::npos;
    }

    void trouble(const Piece& piece, std::string words, std::string remedy) {
        troubles.push_back({{line_, piece.column, length_in_columns(piece.text)},
                            std::move(words),
                            std::move(remedy),
                            {},
                            {}});
    }
    void ask(const Piece& piece, std::string_view meaning, std::string words,
             std::vector<std::string> choices) {
        const bool asked = std::any_of(troubles.begin(), troubles.end(),
                                       [&](const TabTrouble& t) { return t.meaning == meaning; });
        if (asked) return;
        std::string remedy = "Say which: ";
        for (std::size_t i = 0; i < choices.size(); ++i) {
            if (i > 0) remedy += " or ";
            remedy += std::string{meaning == "bare" ? "--bare " : "--letter-b "} + choices[i];
        }
        troubles.push_back({{line_, piece.column, length_in_columns(piece.text)},
                            std::move(words),
                            remedy + ".",
                            std::string{meaning},
                            std::move(choices)});
    }

    std::string lane(const std::vector<Piece>& pieces) {
        std::string text = "tab |";
        int slot = 0;
        for (const Piece& piece : pieces) {
            // Bar lines of the source are let go: without its rhythm they cannot be kept.
            if (is_bar_line(piece.text) || is_ending(piece.text)) continue;
            if (piece.text == ",") {
                text += " ,";
                continue;
            }
            if (slot == slots_of_bar) {
                text += " |";
                slot = 0;
            }
            text += ' ' + token(piece);
            ++slot;
        }
        for (; slot > 0 && slot < slots_of_bar; ++slot) text += " .";
        return text + " |\n";
    }
    /// One line of our own writing, bar lines and [ ] kept.
    std::string own_lane(const std::vector<Piece>& pieces) {
        std::string text = "tab";
        for (const Piece& piece : pieces) {
            text += ' ';
            if (is_bar_sign(piece.text) || piece.text == ",") {
                text += piece.text;
                continue;
            }
            std::string_view rest = piece.text;
            int column = piece.column;
            for (; take(rest, "["); ++column) text += '(';
            const std::size_t after_braces = rest.find_last_of('}');
            const std::size_t close = std::min(
                rest.find(']', after_braces == std::string_view::npos ? 0 : after_braces), rest.size());
            text += token({rest.substr(0, close), column});
            for (const char c : rest.substr(close)) text += c == ']' ? ')' : c;
        }
        return text + '\n';
    }
    static bool is_ending(std::string_view piece) noexcept {
        return piece.size() == 2 && piece[0] == '|' && is_digit(piece[1]);
    }

    /// One hole with the marks that stand beside it in brackets.
    struct Hole {
        int number = 0;
        int quarter_steps = 0;
    };

    static int take_marks(std::string_view& text) noexcept {
        int quarter_steps = 0;
        for (;;) {
            if (take_any(text, half_steps)) {
                quarter_steps += 2;
            } else if (take_any(text, whole_steps)) {
                quarter_steps += 4;
            } else {
                break;
            }
        }
        if (take(text, "q")) ++quarter_steps;
        return quarter_steps;
    }

    bool take_hole(std::string_view& text, const Piece& piece, std::vector<Hole>& holes) {
        std::string_view digits = text.substr(0, std::min(text.find_first_not_of("0123456789"), text.size()));
        if (digits.empty()) {
            not_tab(piece);
            return false;
        }
        text.remove_prefix(digits.size());
        const int number = digits.size() > 2    ? 0
                           : digits.size() == 1 ? digits[0] - '0'
                                                : 10 * (digits[0] - '0') + digits[1] - '0';
        if (number < 1 || number > harp::hole_count || digits.front() == '0') {
            trouble(piece, "There is no hole " + std::string{digits} + ".",
                    "Holes run from 1 to 10; several in one breath stand in brackets: (2,3).");
            return false;
        }
        holes.push_back({number, 0});
        return true;
    }

    void not_tab(const Piece& piece) {
        trouble(piece, "`" + std::string{piece.text} + "` is not tab.",
                "Put # before a line of words; a note is a hole with a sign, an arrow or a letter.");
    }

    /// Words in braces pass as they are, but the note of `{from -3'}` is spelled like any other.
    std::string gestures(const Piece& braces) {
        constexpr std::string_view from = "{from ";
        std::string text;
        std::string_view rest = braces.text;
        while (!rest.empty()) {
            if (!take(rest, from)) {
                text += rest.front();
                rest.remove_prefix(1);
                continue;
            }
            const std::size_t end = std::min(rest.find('}'), rest.size());
            if (rest.substr(0, end).find('{') != std::string_view::npos) {  // braces do not nest
                not_tab(braces);
                return text;
            }
            text += std::string{from} + token({rest.substr(0, end), braces.column});
            rest.remove_prefix(end);
        }
        return text;
    }

    /// The token in the lick language; `.` where it could not be read, so that the rest can be.
    std::string token(const Piece& piece) {
        std::string_view rest = piece.text;
        if (rest == ".") return ".";
        std::string before;
        while (take(rest, ">")) before += '>';
        std::string braces;
        if (const std::size_t brace = rest.find('{'); brace != std::string_view::npos) {
            braces = gestures({rest.substr(brace), piece.column});
            rest = rest.substr(0, brace);
        }
        if (rest == "_") return "-" + braces;

        std::optional<Breath> breath;
        if (take_any(rest, blow_signs)) {
            breath = Breath::blow;
        } else if (take_any(rest, draw_signs)) {
            breath = Breath::draw;
        }
        std::vector<Hole> holes;
        if (take(rest, "(")) {
            do {
                if (!take_hole(rest, piece, holes)) return ".";
                holes.back().quarter_steps = take_marks(rest);
            } while (take(rest, ","));
            if (!take(rest, ")")) {
                not_tab(piece);
                return ".";
            }
        } else if (!take_hole(rest, piece, holes)) {
            return ".";
        }
        const bool overbend = take(rest, "o") || take(rest, "O");
        if (!breath && (take(rest, "d") || take(rest, "D"))) breath = Breath::draw;
        if (!breath && overbend && (take(rest, "b") || take(rest, "B"))) breath = Breath::blow;
        if (!breath && !rest.empty() && (rest.front() == 'b' || rest.front() == 'B')) {
            if (!meanings_.letter_b) {
                ask(piece, "letter b", "`" + std::string{piece.text} + "` can be a blown hole or a bent one.",
                    {"blow", "bend"});
                return ".";
            }
            if (*meanings_.letter_b == TabMeanings::LetterB::blow) {
                breath = Breath::blow;
                rest.remove_prefix(1);
            }
        }
        int steps = take_marks(rest);
        while (take(rest, "b") || take(rest, "B")) steps += 2;  // the breath is known: nothing else is left
        steps += take_marks(rest);
        holes.back().quarter_steps += steps;
        if (!rest.empty() || (steps > 0 && holes.size() > 1)) {
            not_tab(piece);
            return ".";
        }
        if (!breath) {
            if (!meanings_.bare) {
                ask(piece, "bare",
                    "`" + std::string{piece.text} + "` does not say whether the hole is blown or drawn.",
                    {"blow", "draw"});
                return ".";
            }
            breath = *meanings_.bare == TabMeanings::Bare::blow ? Breath::blow : Breath::draw;
        }
        return before + spelled(holes, *breath, overbend) + braces;
    }

    static std::string spelled(std::vector<Hole> holes, Breath breath, bool overbend) {
        std::sort(holes.begin(), holes.end(),
                  [](const Hole& a, const Hole& b) { return a.number < b.number; });
        std::string text;
        for (std::size_t i = 0; i < holes.size(); ++i) {
            if (i > 0) text += '+';
            text += std::to_string(holes[i].number);
            if (i + 1 == holes.size()) text += breath == Breath::blow ? "b" : "d";
            if (overbend) text += 'o';
            text.append(static_cast<std::size_t>(holes[i].quarter_steps / 2), '\'');
            if (holes[i].quarter_steps % 2 != 0) text += 'q';
        }
        return text;
    }

    std::string_view source_;
    const TabMeanings& meanings_;
    int line_ = 0;
    int lanes_ = 0;
};

}  // namespace

tl::expected<std::string, std::vector<TabTrouble>> read_plain_tab(std::string_view source,
                                                                  std::string_view title,
                                                                  std::string_view harp,
                                                                  const TabMeanings& meanings) {
    const OwnTab own = own_tab(source);
    TabMeanings settled = meanings;
    if (own.legend) settled.letter_b = TabMeanings::LetterB::blow;
    TabReader reader{source, settled};
    const std::string lanes = own.legend ? reader.own_lanes() : reader.lanes();
    if (!reader.troubles.empty()) return tl::make_unexpected(std::move(reader.troubles));
    std::string text;
    if (title.empty()) title = own.title;
    if (!title.empty()) text += "title: " + std::string{title} + '\n';
    if (own.legend)
        return text + "harp: " + (own.harp.empty() ? std::string{harp} : own.harp) + '\n' + own.head + '\n' +
               lanes;
    text += "harp: " + std::string{harp} + "\nmeter: 4/4\n\n";
    text +=
        "# A draft: plain tab says nothing about time, so every note has one slot. Hold with -, join with "
        ">,\n";
    text += "# and put notes of one beat in ( ).\n";
    return text + lanes;
}

}  // namespace lw::exchange
