// SPDX-License-Identifier: Apache-2.0
//
// A lesson: CommonMark prose with a `key: value` head between two lines of `---` and fenced blocks marked
// `lick`. A house file holds what every lesson shares. Neither touches a disk: bytes in, model out. The prose
// itself is kept as the CommonMark it is; only the fences are understood here (CommonMark 0.31, section 4.5).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/text.hpp"

namespace lw::text {

/// What every lesson of one teacher shares.
struct House {
    std::string name;  // the teacher or the school
    std::string site;
    std::string logo;                // a PNG or SVG file beside the house file
    std::vector<std::string> links;  // the usual links, `words: address` or an address
    std::string colour;              // `#rrggbb`, for the accent
    std::vector<harp::Tuning> tunings;
    ClipChoices clips;
    SheetChoices sheet;
    std::vector<ScreenChoice> screens;
};

struct HouseReading {
    House house;
    std::vector<Diagnostic> diagnostics;
};
[[nodiscard]] HouseReading read_house(std::string_view source);

struct LessonLick {
    lick::Lick lick;
    std::string source;  // the text inside the fence
    int first_line = 1;
    std::string slug;   // a file name from the title, unique in the lesson: `01-porch-light-walkdown`
    ClipChoices clips;  // a lick's own head may narrow the lesson's
};

/// A piece of the lesson in reading order: prose, or the number of a lick.
struct Passage {
    std::string prose;  // CommonMark; empty for a lick
    std::optional<std::size_t> lick;
};

struct Lesson {
    std::string title;
    std::string date;  // ISO 8601 day, empty when not said
    std::vector<LessonLick> licks;
    std::vector<Passage> passages;
    std::vector<std::string> links;
    ClipChoices clips;
    SheetChoices sheet;
    std::vector<ScreenChoice> screens;
};

struct LessonReading {
    Lesson lesson;
    std::vector<Diagnostic> diagnostics;
    [[nodiscard]] bool ok() const noexcept { return !has_errors(diagnostics); }
};
[[nodiscard]] LessonReading read_lesson(std::string_view source, const House& house = {});
/// Tidies every lick of a lesson that has no errors and leaves head and prose as they are, byte by byte.
[[nodiscard]] std::string format_lesson(std::string_view source, const House& house = {});
/// The same for the lines of a house file.
[[nodiscard]] std::string format_house(std::string_view source);

}  // namespace lw::text
