// SPDX-License-Identifier: Apache-2.0
//
// Captions for the on-screen layer, in words a viewer reads: what to play, a beat a line. WebVTT: The Web
// Video Text Tracks Format (W3C); rules in section 4 there: UTF-8, `WEBVTT`, a blank line, cues in order of
// start, end after start, no `-->` and no blank line inside a cue.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/lick/lick.hpp"
#include "engine/sound/performance.hpp"

namespace lw::exchange {

struct Cue {
    Seconds from;
    Seconds to;  // after `from`
    std::vector<std::string> lines;
};

/// The count-in, then one cue for each note or short group: a cue lasts a second where the music lets it and
/// never holds more than two lines, one for each beat in which a note starts:
///     beat 2: 2 draw, 3 draw bent a half step, 4 blow
/// Every pass of the phrase has its cues.
[[nodiscard]] std::vector<Cue> captions(const lick::Lick& lick, const sound::Performance& performance);

/// `00:00:02.609`, whole milliseconds, hours always written.
[[nodiscard]] std::string webvtt_time(Seconds at);
/// Cues must be in order of `from`. `title` becomes a comment; `&`, `<` and `>` are escaped.
[[nodiscard]] std::string webvtt(const std::vector<Cue>& cues, std::string_view title);

}  // namespace lw::exchange
