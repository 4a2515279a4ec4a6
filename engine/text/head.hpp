// SPDX-License-Identifier: Apache-2.0
//
// The `key: value` lines of a lick, a lesson or a house file. One table says which key stands where; each
// value has a small reader of its own. Private to the room.
#pragma once

#include "engine/text/lesson.hpp"
#include "engine/text/syntax.hpp"

namespace lw::text {

/// Everything a head can say; what it does not say stays as it was.
struct HeadWords {
    lick::Head head;
    ClipChoices clips;
    SheetChoices sheet;
    std::vector<ScreenChoice> screens;
    std::vector<std::string> links;
    std::string date;
    std::string name;
    std::string site;
    std::string logo;
    std::string colour;
    std::vector<harp::Tuning> tunings;  // the house's own, by name
    std::optional<lick::Place> feel_place;
};

/// Reads the head lines among `lines` into `words`. Lists (tags, more, screen ...) that are said replace what
/// was there before.
void read_head(const std::vector<LineSyntax>& lines, Room room, HeadWords& words, Report& report);

/// Turns a ladder of tempos into parts of the lick's own tempo.
void settle_ladder(ClipChoices& clips, BeatsPerMinute tempo);

/// The changes that make the standard layout into this tuning: `3b+2 5d+1`, in the order of the reeds.
[[nodiscard]] std::string changes_text(const harp::Tuning& tuning);

// --- Readers of single values; each tells its own fault (choice_words.cpp)
struct Value {
    const std::string& text;
    lick::Place place;
    std::string_view key;
};
void read_ladder(const Value& value, ClipChoices& clips, Report& report);
void read_repeats(const Value& value, ClipChoices& clips, Report& report);
void read_formats(const Value& value, ClipChoices& clips, Report& report);
void read_screen(const Value& value, std::vector<ScreenChoice>& screens, Report& report);
void read_date(const Value& value, std::string& date, Report& report);
void read_colour(const Value& value, std::string& colour, Report& report);
void read_logo(const Value& value, std::string& logo, Report& report);
/// An address by itself; told when it is none.
bool read_address(const Value& value, std::string_view address, Report& report);
/// Which of the known words the value is; told (and nothing) when it is none of them.
[[nodiscard]] std::optional<std::size_t> read_choice(const Value& value,
                                                     const std::vector<std::string_view>& known,
                                                     Report& report);

}  // namespace lw::text
