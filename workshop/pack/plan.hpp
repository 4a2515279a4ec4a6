// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a lesson's pack holds, product by product, each with its recipe:
//
//     sheet.pdf                              all licks
//     licks/01-title.{svg,png,txt,mid,lick}  each lick, and 01-title-plain.mid as written
//     audio/01-title-055-bpm.mp3              each step of the ladder, in the formats the lesson asks for
//     screen/01-title-landscape-1080p30.webm the on-screen layers it asks for, each with its captions (.vtt)
//     practice.html                          the page to practise with
//     run-sheet.md, run-sheet.html           for the shoot
//     description.txt                        for under the video
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "engine/sound/performance.hpp"
#include "engine/text/lesson.hpp"
#include "workshop/audio/encode.hpp"
#include "workshop/pack/pack.hpp"
#include "workshop/pack/pictures.hpp"

namespace lw::pack {

/// Everything a pack is made from.
struct Sources {
    text::Lesson lesson;
    text::House house;
    HouseLook look;
};

/// The sources live as long as the plan does.
[[nodiscard]] Plan plan_of(std::shared_ptr<const Sources> sources);

/// The steps from slow to fast of one lick.
[[nodiscard]] std::vector<BeatsPerMinute> ladder_of(const text::LessonLick& lick);
/// `055-bpm`, `055.5-bpm`: how a tempo stands in a file's name.
[[nodiscard]] std::string tempo_name(BeatsPerMinute tempo);
/// `landscape-1080p30`.
[[nodiscard]] std::string screen_name(const text::ScreenChoice& choice);
/// `.webm`, `.mov`, `.mp4`.
[[nodiscard]] std::string_view screen_ending(text::ScreenChoice::Kind kind) noexcept;

/// A clip as a file; the codec's own trouble becomes one line.
[[nodiscard]] files::Result<std::string> encoded(const sound::Clip& clip, audio::Format format,
                                                 const audio::Tags& tags);

/// How a practice clip at one tempo is played.
[[nodiscard]] sound::Performance clip_performance(const text::LessonLick& lick, BeatsPerMinute tempo);
/// How an on-screen layer is timed: the lick's own tempo, once, after its count-in.
[[nodiscard]] sound::Performance screen_performance(const lick::Lick& lick,
                                                    BeatsPerMinute tempo = BeatsPerMinute{0.0});

}  // namespace lw::pack
