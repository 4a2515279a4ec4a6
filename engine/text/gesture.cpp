// SPDX-License-Identifier: Apache-2.0
//
// One pair of braces: `{vibrato}`, `{shake 5}`, `{from 3d'}`.
#include <algorithm>

#include "engine/text/meant.hpp"
#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

using lick::Gesture;

constexpr int gesture_count = 12;
constexpr int far_shake =
    2;  // holes apart; the mouth or the head moves no further (common practice, no source)

std::vector<std::string_view> gesture_words() {
    std::vector<std::string_view> words;
    for (int i = 0; i < gesture_count; ++i) words.push_back(lick::word(static_cast<Gesture>(i)));
    return words;
}

std::optional<Gesture> gesture_named(std::string_view text) {
    for (int i = 0; i < gesture_count; ++i) {
        if (lick::word(static_cast<Gesture>(i)) == text) return static_cast<Gesture>(i);
    }
    return std::nullopt;
}

class GestureReader {
  public:
    GestureReader(const Token& brace, Node& to, const harp::Harp& harp, Report& report)
        : brace_(brace), to_(to), harp_(harp), report_(report) {
        for (std::string& word : words_of(utf8(brace.text))) words_.push_back(std::move(word));
    }

    void read() {
        const std::string name = words_.empty() ? "" : lowered(words_.front());
        const std::optional<Gesture> gesture = gesture_named(name);
        if (!gesture) {
            tell(Fault::gesture_unknown, {{"text", "{" + quoted(brace_.text) + "}"},
                                          {"what", gesture_remedy(name, gesture_words())}});
            return;
        }
        lick::Ornament ornament{*gesture, 0, {}};
        if (*gesture == Gesture::shake      ? !shake(ornament)
            : *gesture == Gesture::approach ? !approach(ornament)
                                            : !alone(name))
            return;
        if (std::any_of(to_.ornaments.begin(), to_.ornaments.end(),
                        [&](const lick::Ornament& o) { return o.gesture == *gesture; })) {
            tell(Fault::gesture_twice, {{"text", "{" + name + "}"}});
            return;
        }
        to_.ornaments.push_back(std::move(ornament));
        to_.ornament_places.push_back(brace_.place);
    }

  private:
    void tell(Fault fault, std::initializer_list<Fill> fills = {}) {
        report_.add(fault, brace_.place, fills);
    }

    bool alone(const std::string& name) {
        if (words_.size() == 1) return true;
        const bool all_gestures = std::all_of(words_.begin(), words_.end(), [](const std::string& word) {
            return gesture_named(lowered(word)).has_value();
        });
        if (all_gestures) {
            std::string plain;
            for (const std::string& word : words_) plain += "{" + lowered(word) + "}";
            tell(Fault::gesture_several, {{"plain", quoted(plain)}});
        } else {
            tell(Fault::gesture_words, {{"name", name}, {"plain", "{" + name + "}"}});
        }
        return false;
    }

    bool shake(lick::Ornament& ornament) {
        const bool note = to_.kind == Node::Kind::note;
        const int beside = note ? (to_.tab.holes.back() < harp::hole_count ? to_.tab.holes.back() + 1
                                                                           : to_.tab.holes.front() - 1)
                                : 5;
        const std::string plain = "{shake " + std::to_string(std::max(beside, 1)) + "}";
        const std::optional<int> hole = words_.size() == 2 ? whole_number(words_[1]) : std::nullopt;
        if (!hole || *hole < 1 || *hole > harp::hole_count) {
            tell(Fault::shake_hole, {{"plain", plain}});
            return false;
        }
        ornament.other_hole = *hole;
        if (!note) return true;
        const std::vector<int>& holes = to_.tab.holes;
        if (std::find(holes.begin(), holes.end(), *hole) != holes.end()) {
            tell(Fault::shake_same_hole, {{"plain", plain}});
            return false;
        }
        if (*hole < holes.front() - far_shake || *hole > holes.back() + far_shake)
            tell(Fault::shake_far, {{"hole", std::to_string(*hole)}});
        return true;
    }

    bool approach(lick::Ornament& ornament) {
        const bool note = to_.kind == Node::Kind::note;
        if (to_.kind == Node::Kind::hold || (note && to_.start != lick::Start::attack)) {
            tell(Fault::from_attack, {{"plain", "{" + quoted(brace_.text) + "}"}});
            return false;
        }
        const std::string breath = note && to_.tab.breath == harp::Breath::blow ? "b" : "d";
        const std::string example = "{from 3" + breath + "}";
        if (words_.size() != 2) {
            tell(Fault::from_note, {{"plain", example}});
            return false;
        }
        Token word;
        word.text = decoded(words_[1]);
        word.place = brace_.place;
        if (!is_digit(word.text.front())) {
            tell(Fault::from_note, {{"plain", example}});
            return false;
        }
        const Node from = read_word(word, harp_, report_);
        if (from.kind != Node::Kind::note) return false;  // told already
        if (from.tab.chord()) {
            tell(Fault::from_note, {{"plain", example}});
            return false;
        }
        if (note && from.tab.breath != to_.tab.breath) {
            tell(Fault::from_breath,
                 {{"plain", "{from " + std::to_string(from.tab.holes.front()) + breath + "}"}});
            return false;
        }
        ornament.from = from.tab;
        return true;
    }

    const Token& brace_;
    Node& to_;
    const harp::Harp& harp_;
    Report& report_;
    std::vector<std::string> words_;
};

}  // namespace

void read_gesture(const Token& brace, Node& to, const harp::Harp& harp, Report& report) {
    GestureReader{brace, to, harp, report}.read();
}

}  // namespace lw::text
