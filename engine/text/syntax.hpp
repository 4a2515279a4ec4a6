// SPDX-License-Identifier: Apache-2.0
//
// The text as it stands: head lines, lanes, bars, nodes, with every comment. The formatter prints this, the
// builder (build.hpp) turns it into a lick. Private to the room.
#pragma once

#include <string>
#include <vector>

#include "engine/lick/lick.hpp"
#include "engine/text/source.hpp"

namespace lw::text {

enum class LaneName : std::uint8_t { tab, chords };
[[nodiscard]] std::string_view word(LaneName name) noexcept;

/// A sign between bars. `:|:` closes and opens.
struct BarSign {
    bool closes = false;
    bool opens = false;
    int ending = 0;
};

/// The smallest pieces of a lane's line.
struct Token {
    enum class Kind : std::uint8_t {
        word,   // everything between white space and the signs below
        open,   // (
        close,  // ), with /n in `over` when it has one
        brace,  // {...}, `text` is what stands inside
        comma,
        bar,
    };
    Kind kind = Kind::word;
    std::u32string text;  // look-alikes of ' and - already plain
    lick::Place place;
    bool glued = false;  // nothing stands between it and the token before
    int over = 1;        // of a close; 0 where a close or a brace was faulty
    BarSign sign;
};

/// What one line is. A line of the text is exactly one of these.
struct LineSyntax {
    enum class Kind : std::uint8_t { blank, comment, head, lane, other };
    Kind kind = Kind::blank;
    int number = 1;
    std::u32string comment;  // from its #, empty when there is none
    // head
    std::string key;  // small letters
    lick::Place key_place;
    std::string value;  // trimmed
    lick::Place value_place;
    // lane
    LaneName lane = LaneName::tab;
    std::vector<Token> tokens;
};

/// A token or a group inside a bar.
struct Node {
    enum class Kind : std::uint8_t {
        note,
        hold,
        rest,
        again,      // =
        bar_again,  // %
        breath,     // ,
        group,
        chord,
        unreadable,  // takes a slot, and nothing is concluded from it
    };
    Kind kind = Kind::unreadable;
    lick::Place place;
    lick::Tab tab;
    lick::Start start = lick::Start::attack;
    std::vector<lick::Ornament> ornaments;
    std::vector<lick::Place> ornament_places;
    std::vector<Node> children;
    int over = 1;        // of a group: slots, or parts of the group around it
    std::string symbol;  // of a chord
};

struct BarSyntax {
    std::vector<Node> nodes;
    bool after_bar_line = false;
    bool opens_repeat = false;
    bool closes_repeat = false;
    int ending = 0;
    bool faulty = false;  // its sum says nothing: a ( is not closed, or a bar is missing
    lick::Place place;    // of its first node
    lick::Place left;     // of the sign before it
    lick::Place right;    // of the sign after it
};

struct LaneSyntax {
    bool present = false;
    lick::Place place;
    std::vector<BarSyntax> bars;
};

/// Which file a text belongs to: some keys have their place in one of them only.
enum class Room : std::uint8_t { lick, lesson, house };

/// Sorts one line and cuts lanes into tokens. `last_lane` is what notes without a lane's name are read as.
[[nodiscard]] LineSyntax sort_line(const Line& line, Room room, LaneName last_lane, Report& report);

/// Cuts what follows a lane's name into tokens; `comment` gets the rest from a `#` on.
[[nodiscard]] std::vector<Token> scan_lane(std::u32string_view text, int line, int first_column,
                                           LaneName lane, std::u32string& comment, Report& report);

/// The bars of one lane, from all its lines. Notes are read against `harp`.
[[nodiscard]] LaneSyntax read_lane(const std::vector<LineSyntax>& lines, LaneName lane,
                                   const harp::Harp& harp, Report& report);

/// Reads one word of the tab lane: a note, a hold or a rest.
[[nodiscard]] Node read_word(const Token& word, const harp::Harp& harp, Report& report);
/// Reads one word of the chords lane.
[[nodiscard]] Node read_chord(const Token& word, Report& report);
/// Adds the gesture in braces to the note or hold before it.
void read_gesture(const Token& brace, Node& to, const harp::Harp& harp, Report& report);

}  // namespace lw::text
