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

/// The practice clips of a lick. Each step of the ladder is a part of the lick's own tempo.
struct ClipChoices {
    std::vector<int> ladder_percent{60, 80, 100};  // 10..200
    int repeats = 2;                               // how often the phrase is heard in a clip, 1..16
    bool click_through = true;                // the click goes on under the phrase, not only in the count-in
    std::vector<std::string> formats{"mp3"};  // wav flac mp3 ogg
    friend bool operator==(const ClipChoices&, const ClipChoices&) = default;
};

/// One on-screen layer for the video.
struct ScreenChoice {
    enum class Shape : std::uint8_t { landscape, portrait, lower_third };
    enum class Kind : std::uint8_t { webm, prores, mp4 };  // VP9 with alpha, ProRes 4444, H.264 over a colour
    Shape shape = Shape::landscape;
    Kind kind = Kind::webm;
    int lines = 1080;            // 1080 or 2160: the shorter side of the frame
    int frames_per_second = 30;  // 25 30 50 60
    friend bool operator==(const ScreenChoice&, const ScreenChoice&) = default;
};

enum class Paper : std::uint8_t { a4, letter };
enum class Spelling : std::uint8_t {
    none,
    signs,
    arrows,
    letters
};  // the trade's plain spelling under the notes

struct SheetChoices {
    Paper paper = Paper::a4;
    bool large_print = false;
    Spelling spelling = Spelling::none;
    bool staff = false;
    friend bool operator==(const SheetChoices&, const SheetChoices&) = default;
};

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
/// Tidies every lick of a lesson and leaves the prose as it is.
[[nodiscard]] std::string format_lesson(std::string_view source);

}  // namespace lw::text
