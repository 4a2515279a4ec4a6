// SPDX-License-Identifier: Apache-2.0
//
// A lane's line into tokens. Braces are read before white space; `#` begins a comment at the line's start or
// between white space; an ending's number touches its bar line and white space follows.
#include <array>

#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"

namespace lw::text {
namespace {

constexpr std::u32string_view bar_look_alikes = U"¦│┃｜ǀ∣";
bool looks_like_bar(char32_t c) {
    return c >= 0x80 && bar_look_alikes.find(c) != std::u32string_view::npos;
}
constexpr int widest_group = 12;  // slots that ( )/n may fill

/// Signs that a word processor or a phone puts where a plain one was typed, and that can mean nothing else.
char32_t plain_sign(char32_t c) {
    constexpr std::u32string_view primes = U"’‘′ʼ´`‛＇";
    constexpr std::u32string_view dashes = U"–—−‑‐‒―－";
    if (c < 0x80 && c != U'`') return c;
    if (primes.find(c) != std::u32string_view::npos) return U'\'';
    if (dashes.find(c) != std::u32string_view::npos) return U'-';
    if (c == U'♯') return U'#';
    if (c == U'♭') return U'b';
    return c;
}

class Scanner {
  public:
    Scanner(std::u32string_view text, int line, int first_column, LaneName lane, Report& report)
        : text_(text), line_(line), first_column_(first_column), lane_(lane), report_(report) {}

    std::vector<Token> scan(std::u32string& comment) {
        std::size_t end_of_last = 0;
        tokens_.reserve(text_.size() / 3 + 1);
        while (at_ < text_.size()) {
            if (is_space(text_[at_])) {
                ++at_;
                continue;
            }
            if (comment_here()) {
                comment = std::u32string{trimmed(text_.substr(at_))};
                break;
            }
            const std::size_t begin = at_;
            Token token = one();
            token.place = place(begin, at_);
            token.glued = begin > 0 && begin == end_of_last;
            end_of_last = at_;
            tokens_.push_back(std::move(token));
        }
        return std::move(tokens_);
    }

  private:
    [[nodiscard]] char32_t peek(std::size_t ahead = 0) const {
        return at_ + ahead < text_.size() ? text_[at_ + ahead] : U'\0';
    }
    [[nodiscard]] bool space_or_end(std::size_t i) const { return i >= text_.size() || is_space(text_[i]); }
    [[nodiscard]] bool comment_here() const {
        return text_[at_] == U'#' && (at_ == 0 || is_space(text_[at_ - 1])) && space_or_end(at_ + 1);
    }
    [[nodiscard]] lick::Place place(std::size_t begin, std::size_t end) const {
        return {line_, first_column_ + static_cast<int>(begin), static_cast<int>(end - begin)};
    }
    void tell(Fault fault, std::size_t begin, std::size_t end, std::initializer_list<Fill> fills = {}) {
        report_.add(fault, place(begin, end), fills);
    }

    Token one() {
        const char32_t c = peek();
        if (c == U'|' || (c == U':' && peek(1) == U'|')) return bar();
        if (looks_like_bar(c)) {
            tell(Fault::look_alike, at_, at_ + 1,
                 {{"sign", utf8(text_.substr(at_, 1))}, {"plain", "| (the bar line)"}});
            ++at_;
            Token token;
            token.kind = Token::Kind::bar;
            return token;
        }
        if (c == U'{') return brace();
        if (c == U',') return sign(Token::Kind::comma);
        if (c == U'(') return sign(Token::Kind::open);
        if (c == U')') return close();
        if (lane_ == LaneName::tab && (c == U'[' || c == U']')) return square(c);
        return word();
    }

    Token sign(Token::Kind kind) {
        Token token;
        token.kind = kind;
        token.text = text_.substr(at_, 1);
        ++at_;
        return token;
    }

    /// Read as a round one, so that the sum of the bar still says something; a pair is told once.
    Token square(char32_t c) {
        if (c == U'[') {
            ++square_open_;
        } else if (square_open_ > 0) {
            --square_open_;
            return close();
        }
        tell(Fault::square_bracket, at_, at_ + 1);
        return c == U'[' ? sign(Token::Kind::open) : close();
    }

    Token bar() {
        Token token;
        token.kind = Token::Kind::bar;
        const std::size_t begin = at_;
        if (peek() == U':') {
            token.sign.closes = true;
            ++at_;
        }
        ++at_;
        if (peek() == U':' && peek(1) != U'|') {
            token.sign.opens = true;
            ++at_;
        }
        std::size_t digits = at_;
        while (digits < text_.size() && is_digit(text_[digits])) ++digits;
        if (digits > at_ && space_or_end(digits)) {
            const std::string number = utf8(text_.substr(at_, digits - at_));
            token.sign.ending = whole_number(number).value_or(0);
            at_ = digits;
            if (token.sign.ending == 0 || token.sign.opens) {
                tell(Fault::bar_line_odd, begin, at_, {{"text", quoted(text_.substr(begin, at_ - begin))}});
                token.sign.ending = 0;
            }
        }
        return token;
    }

    /// The next such sign from here; `known` remembers it, so that a line full of braces is looked through
    /// once.
    std::size_t next(char32_t sign, std::size_t& known) const {
        if (known == unknown || known < at_) known = text_.find(sign, at_);
        return known;
    }

    Token brace() {
        Token token;
        token.kind = Token::Kind::brace;
        const std::size_t begin = at_;
        const std::size_t end = next(U'}', next_brace_);
        if (end == std::u32string_view::npos || next(U'|', next_bar_) < end) {
            std::size_t stop = begin + 1;
            while (stop < text_.size() && is_letter(text_[stop])) ++stop;
            tell(Fault::gesture_not_closed, begin, stop,
                 {{"brace", quoted(text_.substr(begin, stop - begin))}});
            at_ = stop;
            token.kind = Token::Kind::brace;
            token.over = 0;  // not to be read further
            return token;
        }
        for (const char32_t c : text_.substr(begin + 1, end - begin - 1)) token.text += plain_sign(c);
        at_ = end + 1;
        return token;
    }

    Token close() {
        Token token;
        token.kind = Token::Kind::close;
        const std::size_t begin = at_;
        ++at_;
        if (peek() != U'/') return token;
        ++at_;
        const std::size_t digits = at_;
        while (is_digit(peek())) ++at_;
        const std::optional<int> over = whole_number(utf8(text_.substr(digits, at_ - digits)));
        if (!over || *over < 2 || *over > widest_group) {
            tell(Fault::group_slots, begin, at_);
            token.over = 0;  // how many it fills cannot be known
        } else {
            token.over = *over;
        }
        return token;
    }

    [[nodiscard]] bool ends_word(std::size_t i) const {
        const char32_t c = text_[i];
        if (is_space(c) || c == U'|' || c == U',' || c == U'{' || c == U'}') return true;
        if (c == U':' && i + 1 < text_.size() && text_[i + 1] == U'|') return true;
        if (looks_like_bar(c)) return true;
        return lane_ == LaneName::tab && (c == U'(' || c == U')' || c == U'[' || c == U']');
    }

    Token word() {
        Token token;
        int open = 0;  // brackets inside a chord symbol: C7(b9)
        do {
            const char32_t c = text_[at_];
            if (c == U'(') ++open;
            if (c == U')' && --open < 0) break;
            if (lane_ == LaneName::tab && (c == U'"' || c == U'“' || c == U'”' || c == U'″')) {
                tell(Fault::look_alike, at_, at_ + 1,
                     {{"sign", utf8(text_.substr(at_, 1))}, {"plain", "'' (two apostrophes)"}});
                token.text += U"''";
            } else {
                token.text += plain_sign(c);
            }
            ++at_;
        } while (token.text != U"}" && at_ < text_.size() && !ends_word(at_));
        return token;
    }

    std::u32string_view text_;
    int line_;
    int first_column_;
    LaneName lane_;
    Report& report_;
    std::size_t at_ = 0;
    static constexpr std::size_t unknown = static_cast<std::size_t>(-2);  // not looked for yet
    std::size_t next_brace_ = unknown;
    std::size_t next_bar_ = unknown;
    int square_open_ = 0;
    std::vector<Token> tokens_;
};

}  // namespace

std::string_view word(LaneName name) noexcept {
    return name == LaneName::tab ? "tab" : "chords";
}

std::vector<Token> scan_lane(std::u32string_view text, int line, int first_column, LaneName lane,
                             std::u32string& comment, Report& report) {
    return Scanner{text, line, first_column, lane, report}.scan(comment);
}

}  // namespace lw::text
