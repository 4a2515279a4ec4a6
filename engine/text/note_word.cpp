// SPDX-License-Identifier: Apache-2.0
//
// One word of the tab lane: `4b`, `>3d''q`, `2+3d`, `3'+4d`, `6bo`, `-`, `.`. Everything that can be wrong
// with a note by itself is found here; what stands around it is build.cpp's business.
#include <algorithm>
#include <array>

#include "engine/text/meant.hpp"
#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

using harp::Breath;

/// One hole as it was typed.
struct Part {
    int hole = 0;
    int early_steps = 0;  // bend marks between the hole and the letter, in quarter steps
    int late_steps = 0;   // after the letter
    std::optional<Breath> breath;
    bool overbend = false;
    [[nodiscard]] int steps() const { return early_steps + late_steps; }
};

constexpr std::size_t most_holes = 10;
constexpr int widest_chord = 4;  // from the lowest to the highest hole: 1+5 (common practice, no source)

/// The holes of one note, without a heap: nearly every word of a lick comes through here.
class Parts {
  public:
    void push_back(const Part& part) { parts_[count_++] = part; }
    [[nodiscard]] std::size_t size() const { return count_; }
    [[nodiscard]] Part& operator[](std::size_t i) { return parts_[i]; }
    [[nodiscard]] Part& front() { return parts_[0]; }
    [[nodiscard]] Part& back() { return parts_[count_ - 1]; }
    [[nodiscard]] Part* begin() { return parts_.data(); }
    [[nodiscard]] Part* end() { return parts_.data() + count_; }
    [[nodiscard]] const Part* begin() const { return parts_.data(); }
    [[nodiscard]] const Part* end() const { return parts_.data() + count_; }

  private:
    std::array<Part, most_holes + 1> parts_{};  // one more than can be right, so that it can be told
    std::size_t count_ = 0;
};

class NoteReader {
  public:
    NoteReader(const Token& word, const harp::Harp& harp, Report& report)
        : word_(word), text_(word.text), harp_(harp), report_(report) {}

    Node read() {
        node_.kind = Node::Kind::unreadable;
        node_.place = word_.place;
        if (!letters()) return std::move(node_);
        if (!check_shape()) return std::move(node_);
        make_tab();
        if (check_harp()) node_.kind = Node::Kind::note;
        return std::move(node_);
    }

  private:
    void tell(Fault fault, std::initializer_list<Fill> fills = {}) { report_.add(fault, word_.place, fills); }
    [[nodiscard]] char32_t peek() const { return at_ < text_.size() ? text_[at_] : U'\0'; }
    [[nodiscard]] std::string shown() const { return quoted(text_); }

    // --- Letters into parts
    bool letters() {
        while (peek() == U'>') {
            ++at_;
            ++arrows_;
        }
        if (arrows_ > 2 || !is_digit(peek())) return unknown();
        node_.start = arrows_ == 0   ? lick::Start::attack
                      : arrows_ == 1 ? lick::Start::joined
                                     : lick::Start::glide;
        while (true) {
            if (!is_digit(peek())) return unknown();
            parts_.push_back(part());
            if (peek() != U'+') break;
            ++at_;
            if (parts_.size() > most_holes) return unknown();
        }
        if (at_ == text_.size()) return true;
        return left_over();
    }

    Part part() {
        Part p;
        while (is_digit(peek())) {
            p.hole = std::min(10 * p.hole + static_cast<int>(peek() - U'0'), 9999);
            ++at_;
        }
        p.early_steps = marks();
        const char32_t letter = lowered(peek());
        if (letter == U'b' || letter == U'd') {
            p.breath = letter == U'b' ? Breath::blow : Breath::draw;
            note_capital();
            ++at_;
            if (lowered(peek()) == U'o') {
                p.overbend = true;
                note_capital();
                ++at_;
            }
            p.late_steps = marks();
        }
        return p;
    }

    /// `''q` in quarter steps. A q in front of a ' is told later as misplaced.
    int marks() {
        int steps = 0;
        bool quarter = false;
        while (peek() == U'\'' || lowered(peek()) == U'q') {
            if (peek() == U'\'') {
                if (quarter) misplaced_ = true;
                steps += 2;
            } else {
                if (quarter)
                    misplaced_ = true;
                else
                    ++steps;
                quarter = true;
                note_capital();
            }
            ++at_;
        }
        return std::min(steps, 99);
    }
    void note_capital() { capital_ = capital_ || (peek() >= U'A' && peek() <= U'Z'); }

    bool left_over() {
        const bool complete = parts_.back().breath.has_value();
        const char32_t c = peek();
        if (complete && (is_digit(c) || c == U'-' || c == U'.' || c == U'>' || c == U'=' || c == U'%')) {
            tell(Fault::notes_run_together,
                 {{"first", quoted(text_.substr(0, at_))}, {"second", quoted(text_.substr(at_))}});
            return false;
        }
        return unknown();
    }

    bool unknown() {
        std::u32string_view rest = text_;
        constexpr std::u32string_view signs = U"+-↑↓";
        if (rest.size() >= 2 && signs.find(rest.front()) != std::u32string_view::npos && is_digit(rest[1])) {
            const bool blow = rest.front() == U'+' || rest.front() == U'↑';
            std::size_t digits = 1;
            while (digits < rest.size() && is_digit(rest[digits])) ++digits;
            std::string plain = utf8(rest.substr(1, digits - 1)) + (blow ? "b" : "d");
            plain += utf8(rest.substr(digits));
            tell(Fault::other_spelling, {{"text", shown()}, {"plain", quoted(plain)}});
        } else {
            tell(Fault::token_unknown, {{"text", shown()}, {"what", token_remedy(utf8(text_))}});
        }
        return false;
    }

    // --- Parts against the rules of spelling
    bool check_shape() {
        for (const Part& p : parts_) {
            if (p.hole < 1 || p.hole > harp::hole_count) {
                tell(Fault::no_such_hole,
                     {{"hole", p.hole == 9999 ? "of that number" : std::to_string(p.hole)}});
                return false;
            }
        }
        std::optional<Breath> breath;
        int letters = 0;
        for (const Part& p : parts_) {
            if (!p.breath) continue;
            ++letters;
            if (breath && *breath != *p.breath) {
                tell(Fault::two_breaths,
                     {{"text", shown()}, {"blow", plain(Breath::blow)}, {"draw", plain(Breath::draw)}});
                return false;
            }
            breath = p.breath;
        }
        if (!breath) {
            tell(Fault::breath_missing,
                 {{"text", shown()}, {"blow", plain(Breath::blow)}, {"draw", plain(Breath::draw)}});
            return false;
        }
        breath_ = *breath;
        letter_last_ = parts_.back().breath.has_value();
        return check_holes() && check_marks(letters);
    }

    bool check_holes() {
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            for (std::size_t j = 0; j < i; ++j) {
                if (parts_[i].hole != parts_[j].hole) continue;
                tell(Fault::hole_twice, {{"hole", std::to_string(parts_[i].hole)}, {"text", shown()}});
                return false;
            }
        }
        const auto upwards = [](const Part& a, const Part& b) { return a.hole < b.hole; };
        if (!std::is_sorted(parts_.begin(), parts_.end(), upwards)) {
            std::sort(parts_.begin(), parts_.end(), upwards);
            tell(Fault::hole_order, {{"text", shown()}, {"plain", plain(breath_)}});
        }
        if (std::count_if(parts_.begin(), parts_.end(), [](const Part& p) { return p.steps() > 0; }) > 1) {
            tell(Fault::two_bends);
            return false;
        }
        return true;
    }

    bool check_marks(int letters) {
        const bool overbend =
            std::any_of(parts_.begin(), parts_.end(), [](const Part& p) { return p.overbend; });
        if (overbend && parts_.size() > 1) {
            const auto which =
                std::find_if(parts_.begin(), parts_.end(), [](const Part& p) { return p.overbend; });
            tell(Fault::overbend_in_chord,
                 {{"plain", to_text(lick::Tab{{which->hole}, breath_, 0, 0, true})}});
            return false;
        }
        if (overbend && parts_.front().steps() > 0) {
            parts_.front().early_steps = parts_.front().late_steps = 0;
            tell(Fault::overbend_bends, {{"plain", plain(breath_)}});
            return false;
        }
        const Part& last = parts_.back();
        const bool early_alone = parts_.size() == 1 && last.early_steps > 0;
        const bool both_sides = last.early_steps > 0 && last.late_steps > 0;
        if (letters > 1 || !letter_last_) {
            tell(Fault::letter_twice, {{"plain", plain(breath_)}});
        } else if (misplaced_ || early_alone || both_sides) {
            tell(Fault::bend_misplaced, {{"text", shown()}, {"plain", plain(breath_)}});
        } else if (capital_) {
            tell(Fault::capital_letter, {{"plain", plain(breath_)}});
        }
        return true;
    }

    [[nodiscard]] lick::Tab tab_with(Breath breath) const {
        lick::Tab tab;
        tab.breath = breath;
        tab.holes.reserve(parts_.size());
        for (const Part& p : parts_) {
            tab.holes.push_back(p.hole);
            tab.overbend = tab.overbend || p.overbend;
            if (p.steps() > 0) {
                tab.bent_hole = p.hole;
                tab.bend_quarter_steps = p.steps();
            }
        }
        std::sort(tab.holes.begin(), tab.holes.end());
        return tab;
    }
    [[nodiscard]] std::string plain(Breath breath) const {
        return std::string(static_cast<std::size_t>(arrows_), '>') + to_text(tab_with(breath));
    }
    void make_tab() { node_.tab = tab_with(breath_); }

    // --- The note against the harp
    bool check_harp() {
        const lick::Tab& tab = node_.tab;
        if (tab.holes.back() - tab.holes.front() > widest_chord) {
            tell(Fault::chord_too_wide, {{"text", shown()},
                                         {"low", std::to_string(tab.holes.front())},
                                         {"high", std::to_string(tab.holes.back())}});
        }
        if (tab.overbend && node_.start == lick::Start::glide)
            tell(Fault::overbend_glide, {{"text", to_text(tab)}});
        for (const int hole : tab.holes) {
            const harp::HoleNote note = tab.note_of(hole);
            if (note.bend_quarter_steps == 0 && !note.overbend) continue;  // every hole sounds plain
            const auto pitch = harp::pitch(harp_, note);
            if (pitch) continue;
            refused(note, pitch.error());
            return false;
        }
        return true;
    }

    void refused(const harp::HoleNote& note, harp::Refusal why) {
        const std::string asked = harp::to_text(note);
        if (why == harp::Refusal::bend_too_deep) {
            harp::HoleNote deepest = note;
            deepest.bend_quarter_steps = static_cast<int>(2 * harp::deepest_bend(harp_, note.reed()).value);
            if (deepest.bend_quarter_steps == 0) deepest.bend_quarter_steps = 1;
            tell(Fault::bend_too_deep, {{"text", asked}, {"deepest", harp::to_text(deepest)}});
        } else if (why == harp::Refusal::reed_does_not_bend) {
            tell(Fault::does_not_bend, {{"text", asked}, {"what", what_bends(note.hole)}});
        } else if (why == harp::Refusal::no_overbend_there) {
            const std::optional<harp::HoleNote> there = harp::overbend(harp_, note.hole);
            const std::string hole = std::to_string(note.hole);
            tell(Fault::no_overbend,
                 {{"text", asked},
                  {"what", there ? "Hole " + hole + " has " + harp::to_text(*there) + "."
                                 : "Both reeds of hole " + hole + " sound the same note."}});
        } else {
            tell(Fault::token_unknown, {{"text", asked}, {"what", token_remedy(asked)}});
        }
    }

    [[nodiscard]] std::string what_bends(int hole) const {
        const std::optional<Breath> breath = harp::bending_breath(harp_, hole);
        const std::string name = std::to_string(hole);
        if (!breath) return "Both reeds of hole " + name + " sound the same note, so neither bends.";
        harp::HoleNote deepest{hole, *breath, 0, false};
        deepest.bend_quarter_steps = static_cast<int>(2 * harp::deepest_bend(harp_, deepest.reed()).value);
        if (deepest.bend_quarter_steps == 0) deepest.bend_quarter_steps = 1;
        return "On this harp hole " + name + " bends when " + (*breath == Breath::blow ? "blown" : "drawn") +
               ", down to " + harp::to_text(deepest) + ".";
    }

    const Token& word_;
    std::u32string_view text_;
    const harp::Harp& harp_;
    Report& report_;
    std::size_t at_ = 0;
    int arrows_ = 0;
    bool capital_ = false;
    bool misplaced_ = false;
    bool letter_last_ = true;  // the breath letter stands at the end
    Parts parts_;
    Breath breath_ = Breath::blow;
    Node node_;
};

}  // namespace

std::string to_text(const lick::Tab& tab) {
    const auto marks = [&] {
        std::string out(static_cast<std::size_t>(std::max(tab.bend_quarter_steps, 0) / 2), '\'');
        if (tab.bend_quarter_steps % 2 != 0) out += 'q';
        return out;
    };
    std::string out;
    for (std::size_t i = 0; i < tab.holes.size(); ++i) {
        const bool last = i + 1 == tab.holes.size();
        out += std::to_string(tab.holes[i]);
        if (last) {
            out += tab.breath == Breath::blow ? 'b' : 'd';
            if (tab.overbend) out += 'o';
        }
        if (tab.holes[i] == tab.bent_hole) out += marks();
        if (!last) out += '+';
    }
    return out;
}

Node read_word(const Token& word, const harp::Harp& harp, Report& report) {
    Node node;
    node.place = word.place;
    if (word.text == U"-")
        node.kind = Node::Kind::hold;
    else if (word.text == U".")
        node.kind = Node::Kind::rest;
    else if (word.text == U"=")
        node.kind = Node::Kind::again;
    else if (word.text == U"%")
        node.kind = Node::Kind::bar_again;
    else
        return NoteReader{word, harp, report}.read();
    return node;
}

}  // namespace lw::text
