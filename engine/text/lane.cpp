// SPDX-License-Identifier: Apache-2.0
//
// The tokens of one lane into bars of nodes. Where one line of the lane ends in a bar line and the next begins
// with one, they are the same bar line.
#include <algorithm>
#include <span>

#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

constexpr std::size_t deepest_group = 8;
constexpr std::size_t most_bars = 999;

class LaneReader {
  public:
    LaneReader(LaneName name, const harp::Harp& harp, Report& report)
        : name_(name), harp_(harp), report_(report) {}

    LaneSyntax read(const std::vector<LineSyntax>& lines) {
        for (const LineSyntax& line : lines) {
            if (line.kind != LineSyntax::Kind::lane || line.lane != name_) continue;
            if (!lane_.present) lane_.place = line.key_place;
            lane_.present = true;
            first_of_line_ = true;
            rest_ = line.tokens;
            const auto closes = [](const Token& t) { return t.sign.closes; };
            last_close_ = std::find_if(rest_.rbegin(), rest_.rend(), closes).base() - rest_.begin();
            for (const Token& token : line.tokens) {
                rest_ = rest_.subspan(1);
                --last_close_;
                take(token);
                first_of_line_ = false;
                if (full_) return std::move(lane_);
            }
        }
        finish();
        return std::move(lane_);
    }

  private:
    void take(const Token& token) {
        switch (token.kind) {
            case Token::Kind::bar:
                bar(token);
                break;
            case Token::Kind::open:
                if (name_ == LaneName::chords) {
                    chord_sign(token, "(");
                    bar_.faulty = true;
                    break;
                }
                open(token);
                break;
            case Token::Kind::close:
                if (name_ == LaneName::chords) {
                    if (!bar_.faulty) chord_sign(token, ")");
                    bar_.faulty = true;
                    break;
                }
                close(token);
                break;
            case Token::Kind::brace:
                brace(token);
                break;
            case Token::Kind::comma:
                comma(token);
                break;
            case Token::Kind::word:
                if (ending_apart(token)) return;
                if (token.text == U"}") {
                    report_.add(Fault::gesture_not_opened, token.place);
                } else {
                    add(name_ == LaneName::tab ? read_word(token, harp_, report_)
                                               : read_chord(token, report_));
                }
                break;
        }
        last_was_bar_ = token.kind == Token::Kind::bar;
    }

    [[nodiscard]] std::vector<Node>& here() { return groups_.empty() ? bar_.nodes : groups_.back().children; }
    void add(Node node) {
        if (bar_.nodes.empty() && groups_.empty()) bar_.place = node.place;
        if (here().empty()) here().reserve(4);
        here().push_back(std::move(node));
    }

    /// `:| 2 4d`: the number of an ending that does not touch its bar line. After a plain | it is one only
    /// when this line goes back somewhere; otherwise `1` is a note that lacks its breath.
    bool ending_apart(const Token& token) {
        if (!last_was_bar_ || first_of_line_ || last_sign_.opens || last_sign_.ending != 0) return false;
        const std::optional<int> number = whole_number(utf8(token.text));
        if (!number || *number < 1 || *number > (last_sign_.closes ? 3 : 1)) return false;
        if (!last_sign_.closes && last_close_ <= 0) return false;
        if (rest_.empty() || rest_.front().kind == Token::Kind::bar || whole_number(utf8(rest_.front().text)))
            return false;
        const std::string text = std::to_string(*number);
        report_.add(Fault::ending_apart, token.place,
                    {{"plain", (last_sign_.closes ? ":|" : "|") + text}, {"number", text}});
        if (*number > 1 || last_close_ > 0) bar_.ending = last_sign_.ending = *number;
        bar_.faulty = true;  // with a note or without, its sum says nothing
        last_was_bar_ = false;
        return true;
    }

    void chord_sign(const Token& token, const std::string& text) {
        report_.add(Fault::chord_sign, token.place, {{"text", text}});
    }

    void comma(const Token& token) {
        if (name_ == LaneName::chords) return chord_sign(token, ",");
        Node node;
        node.kind = Node::Kind::breath;
        node.place = token.place;
        add(std::move(node));
    }

    void brace(const Token& token) {
        if (token.over == 0) return;  // not closed, told already
        const std::string text = "{" + quoted(token.text) + "}";
        if (name_ == LaneName::chords) return chord_sign(token, text);
        std::vector<Node>& nodes = here();
        if (!token.glued || nodes.empty()) {
            report_.add(Fault::gesture_alone, token.place,
                        {{"plain", text}, {"note", nodes.empty() ? "4d" : typed(nodes.back())}});
            return;
        }
        Node& node = nodes.back();
        if (node.kind == Node::Kind::note || node.kind == Node::Kind::hold ||
            node.kind == Node::Kind::unreadable) {
            read_gesture(token, node, harp_, report_);
        } else if (node.kind == Node::Kind::rest) {
            report_.add(Fault::gesture_on_silence, token.place, {{"plain", text}});
        } else if (node.kind == Node::Kind::group) {
            report_.add(Fault::gesture_on_group, token.place, {{"plain", text}});
        } else {
            report_.add(Fault::gesture_alone, token.place, {{"plain", text}, {"note", "4d"}});
        }
    }

    /// A note or a hold as it is typed; another note as an example for what takes no gesture.
    static std::string typed(const Node& node) {
        if (node.kind == Node::Kind::hold) return "-";
        if (node.kind != Node::Kind::note) return "4d";
        return std::string(static_cast<std::size_t>(node.start), '>') + to_text(node.tab);
    }

    void open(const Token& token) {
        if (groups_.size() == deepest_group) {
            if (too_deep_ == 0) report_.add(Fault::groups_too_deep, token.place);
            bar_.faulty = true;
            ++too_deep_;
            return;
        }
        Node group;
        group.kind = Node::Kind::group;
        group.place = token.place;
        if (bar_.nodes.empty() && groups_.empty()) bar_.place = token.place;
        groups_.push_back(std::move(group));
    }

    void close(const Token& token) {
        if (too_deep_ > 0) {
            --too_deep_;
            return;
        }
        if (groups_.empty()) {
            report_.add(Fault::group_not_opened, token.place);
            bar_.faulty = true;
            return;
        }
        Node group = std::move(groups_.back());
        groups_.pop_back();
        if (token.over == 0) bar_.faulty = true;
        group.over = token.over == 0 ? 1 : token.over;
        if (token.place.line == group.place.line)
            group.place.length = token.place.column + token.place.length - group.place.column;
        int parts = 0;
        bool readable = true;
        for (const Node& node : group.children) {
            if (node.kind != Node::Kind::breath) parts += node.kind == Node::Kind::group ? node.over : 1;
            readable = readable && node.kind != Node::Kind::unreadable;
        }
        if (parts == 0) {
            report_.add(Fault::group_empty, group.place);
            group.kind = Node::Kind::unreadable;
        } else if (parts == 1 && readable) {
            report_.add(Fault::group_of_one, group.place);
        }
        here().push_back(std::move(group));
    }

    void close_open_groups() {
        too_deep_ = 0;
        while (!groups_.empty()) {
            Node group = std::move(groups_.back());
            groups_.pop_back();
            report_.add(Fault::group_not_closed, group.place);
            bar_.faulty = true;
            if (group.children.empty()) group.kind = Node::Kind::unreadable;
            here().push_back(std::move(group));
        }
    }

    void bar(const Token& token) {
        const BarSign& sign = token.sign;
        close_open_groups();
        const bool nothing_between = bar_.nodes.empty() && !bar_.faulty;
        if (nothing_between && (!bar_.after_bar_line && lane_.bars.empty())) {
            // The lane's first bar line: no pickup stands before it.
            if (sign.closes) report_.add(Fault::repeat_not_opened, token.place);
            return begin(token);
        }
        if (nothing_between) {
            const bool same_line_end = first_of_line_ && last_was_bar_;
            const bool turn = last_was_bar_ && last_sign_.closes && !sign.closes &&
                              (sign.opens || sign.ending != 0) && !bar_.opens_repeat && bar_.ending == 0;
            if (!same_line_end && !turn) {
                report_.add(Fault::bar_empty, token.place);
                bar_.faulty = true;
            } else {
                if (sign.closes && !lane_.bars.empty()) {
                    lane_.bars.back().closes_repeat = true;
                    lane_.bars.back().right = token.place;
                }
                bar_.opens_repeat = bar_.opens_repeat || sign.opens;
                if (sign.ending != 0) bar_.ending = sign.ending;
                if (sign.opens || sign.ending != 0) bar_.left = token.place;
                last_sign_ = sign;
                return;
            }
        }
        bar_.closes_repeat = sign.closes;
        bar_.right = token.place;
        push();
        begin(token);
    }

    void begin(const Token& token) {
        bar_ = {};
        bar_.after_bar_line = true;
        bar_.opens_repeat = token.sign.opens;
        bar_.ending = token.sign.ending;
        bar_.left = bar_.place = token.place;
        last_sign_ = token.sign;
    }

    void push() {
        if (lane_.bars.size() == most_bars) {
            if (!full_) report_.add(Fault::too_many_bars, bar_.place);
            full_ = true;
            return;
        }
        // A bar in which nothing could be read stands where it ends.
        if (bar_.place.line == 0) bar_.place = bar_.right.line != 0 ? bar_.right : lane_.place;
        lane_.bars.push_back(std::move(bar_));
        bar_ = {};
    }

    void finish() {
        close_open_groups();
        if (!bar_.nodes.empty() || bar_.faulty) {
            bar_.right = bar_.place;
            push();
        } else if (bar_.opens_repeat || bar_.ending != 0) {
            report_.add(Fault::bar_empty, bar_.left);
        }
    }

    LaneName name_;
    const harp::Harp& harp_;
    Report& report_;
    LaneSyntax lane_;
    BarSyntax bar_;
    BarSign last_sign_;
    std::vector<Node> groups_;
    std::span<const Token> rest_;  // of the line, after the token in hand
    std::ptrdiff_t last_close_ =
        0;  // how many tokens ahead this line goes back for the last time; <= 0: never
    std::size_t too_deep_ = 0;
    bool first_of_line_ = true;
    bool last_was_bar_ = false;
    bool full_ = false;
};

}  // namespace

LaneSyntax read_lane(const std::vector<LineSyntax>& lines, LaneName name, const harp::Harp& harp,
                     Report& report) {
    return LaneReader{name, harp, report}.read(lines);
}

}  // namespace lw::text
