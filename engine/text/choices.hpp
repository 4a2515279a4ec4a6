// SPDX-License-Identifier: Apache-2.0
//
// What a teacher chooses about the practice clips, the on-screen layer and the sheet. A house file says it for
// all lessons, a lesson's head for its licks, a lick's head (clips only) for itself.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::text {

/// The practice clips of a lick. Each step of the ladder is a part of the lick's own tempo.
struct ClipChoices {
    std::vector<int> ladder_percent{60, 80, 100};  // 10..200
    int repeats = 2;                               // how often the phrase is heard in a clip, 1..16
    bool click_through = true;                // the click goes on under the phrase, not only in the count-in
    std::vector<std::string> formats{"mp3"};  // wav flac mp3 ogg
    /// The ladder as it was typed when it was typed in tempos (`ladder: 60 76 92`), else empty. The reader of
    /// a lick turns these into `ladder_percent` too, rounded; who wants the very tempo takes it from here.
    std::vector<BeatsPerMinute> ladder_tempos;
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
/// The trade's plain spelling under the notes.
enum class Spelling : std::uint8_t { none, signs, arrows, letters };

struct SheetChoices {
    Paper paper = Paper::a4;
    bool large_print = false;
    Spelling spelling = Spelling::none;
    bool staff = false;
    friend bool operator==(const SheetChoices&, const SheetChoices&) = default;
};

}  // namespace lw::text
