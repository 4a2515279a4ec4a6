// SPDX-License-Identifier: Apache-2.0
//
// What a line is: blank, a comment, a line of the head, a lane, or a puzzle.
#include <array>

#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"

namespace lw::text {
namespace {

const std::vector<std::string_view> lane_names = {"tab", "chords"};

/// Where a comment begins after a key: a # between white space, or right behind the colon as if it were.
std::size_t comment_start(std::u32string_view text, std::size_t colon) {
    for (std::size_t i = colon + 1; i < text.size(); ++i) {
        if (text[i] == U'#' && (is_space(text[i - 1]) || i == colon + 1) &&
            (i + 1 == text.size() || is_space(text[i + 1])))
            return i;
    }
    return text.size();
}

class Sorter {
  public:
    Sorter(const Line& line, Room room, LaneName last_lane, Report& report)
        : text_(line.text), room_(room), last_lane_(last_lane), report_(report) {
        out_.number = line.number;
    }

    LineSyntax sort() {
        while (start_ < text_.size() && is_space(text_[start_])) ++start_;
        if (start_ == text_.size()) return out_;
        if (text_[start_] == U'#') {
            out_.kind = LineSyntax::Kind::comment;
            out_.comment = std::u32string{trimmed(text_.substr(start_))};
            return out_;
        }
        std::size_t end = start_;
        while (end < text_.size() && is_letter(text_[end])) ++end;
        const std::string first = lowered(utf8(text_.substr(start_, end - start_)));
        if (room_ == Room::lick && lane(first, end)) return std::move(out_);
        if (head()) return std::move(out_);
        if (room_ == Room::lick && notes_without_lane(first, end)) return std::move(out_);
        out_.kind = LineSyntax::Kind::other;
        report_.add(Fault::line_unknown, place(start_, trimmed_end()));
        return std::move(out_);
    }

  private:
    [[nodiscard]] lick::Place place(std::size_t begin, std::size_t end) const {
        return {out_.number, static_cast<int>(begin) + 1, static_cast<int>(end - begin)};
    }
    [[nodiscard]] std::size_t trimmed_end() const {
        std::size_t end = text_.size();
        while (end > start_ && is_space(text_[end - 1])) --end;
        return end;
    }

    void scan(LaneName name, std::size_t from) {
        out_.kind = LineSyntax::Kind::lane;
        out_.lane = name;
        out_.key_place = place(start_, from);
        out_.tokens = scan_lane(text_.substr(from), out_.number, static_cast<int>(from) + 1, name,
                                out_.comment, report_);
    }

    bool lane(const std::string& first, std::size_t end) {
        if (first != lane_names[0] && first != lane_names[1]) return false;
        const LaneName name = first == lane_names[0] ? LaneName::tab : LaneName::chords;
        const char32_t next = end < text_.size() ? text_[end] : U' ';
        if (next == U':' && !(end + 1 < text_.size() && text_[end + 1] == U'|')) {
            report_.add(Fault::lane_colon, place(start_, end + 1), {{"name", first}});
            scan(name, end + 1);
            return true;
        }
        if (!is_space(next) && next != U'|' && next != U':' && next != U'(') return false;
        scan(name, end);
        return true;
    }

    bool head() {
        if (!is_letter(text_[start_])) return false;
        std::size_t colon = start_;
        while (colon < text_.size() && text_[colon] != U':') {
            const char32_t c = text_[colon];
            if (c == U'|' || c == U'(' || c == U'{' || c == U'#') return false;
            ++colon;
        }
        if (colon == text_.size()) return false;
        const std::u32string_view key = trimmed(text_.substr(start_, colon - start_));
        const std::size_t end = comment_start(text_, colon);
        std::size_t value = colon + 1;
        while (value < end && is_space(text_[value])) ++value;
        const std::u32string_view rest = trimmed(text_.substr(value, end - value));
        out_.kind = LineSyntax::Kind::head;
        out_.key = lowered(utf8(key));
        out_.key_place = place(start_, start_ + key.size());
        out_.value = utf8(rest);
        out_.value_place = rest.empty() ? place(colon, colon + 1) : place(value, value + rest.size());
        if (end < text_.size()) out_.comment = std::u32string{trimmed(text_.substr(end))};
        return true;
    }

    /// A line that is music but does not say so. It is read as more of the last lane.
    bool notes_without_lane(const std::string& first, std::size_t end) {
        const char32_t c = text_[start_];
        if (is_digit(c) || c == U'|' || c == U'(' || c == U'>' || c == U'.' || c == U'-' || c == U',') {
            report_.add(Fault::lane_name_missing, place(start_, trimmed_end()));
            scan(last_lane_, start_);
            return true;
        }
        const bool has_bar = text_.find(U'|', end) != std::u32string_view::npos;
        if (!first.empty() && has_bar) {
            const std::string close = nearest(first, lane_names);
            report_.add(Fault::lane_unknown, place(start_, end), {{"name", first}, {"nearest", close}});
            scan(close == lane_names[0] ? LaneName::tab : LaneName::chords, end);
            return true;
        }
        return false;
    }

    std::u32string_view text_;
    Room room_;
    LaneName last_lane_;
    Report& report_;
    LineSyntax out_;
    std::size_t start_ = 0;
};

}  // namespace

LineSyntax sort_line(const Line& line, Room room, LaneName last_lane, Report& report) {
    return Sorter{line, room, last_lane, report}.sort();
}

}  // namespace lw::text
