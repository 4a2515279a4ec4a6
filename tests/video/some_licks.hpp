// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <gtest/gtest.h>

#include <string_view>

#include "engine/sound/performance.hpp"
#include "engine/text/text.hpp"
#include "workshop/video/screen.hpp"

namespace lw::video {

/// Two bars with a bend, a joined note, a chord of both breaths and a rest; 3.5 s at 200 beats a minute.
inline constexpr std::string_view short_lick = R"(title: A short one
harp: C
position: 2
tempo: 200

chords | G7 | C7 |
tab    | 2d (3d' 4b) 4d' >4d | 1+4b . 2d'' - |
)";

/// Long enough to turn lines in every shape of frame.
inline constexpr std::string_view long_lick = R"(title: A long one that turns
harp: C
position: 2
tempo: 240

tab | (2d 3d' 4b 4d) (4d 3d 2d 2d'') (3d 4b 4d 5d) (6b 6d 6b 5d) | (4d 4b 3d' 2d) 2d (3d 4b) (4d' >4d) |
tab | (6b 5d 4d 4b) (3d 3d' 2d 2b) (1d 2d 2b 1b) 2d | (2d 3d' 4b 4d) (4d 3d 2d 2d'') (3d 4b 4d 5d) (6b 6d 6b 5d) |
tab | (4d 4b 3d' 2d) 2d (3d 4b) (4d' >4d) | (6b 5d 4d 4b) (3d 3d' 2d 2b) (1d 2d 2b 1b) 2d |
tab | (4d 4b 3d' 2d) 2d (3d 4b) (4d' >4d) | (6b 5d 4d 4b) (3d 3d' 2d 2b) (1d 2d 2b 1b) 2d |
)";

inline lick::Lick read(std::string_view source) {
    const text::LickReading reading = text::read_lick(source);
    EXPECT_TRUE(reading.ok());
    return reading.lick;
}

inline Wishes wishes(text::ScreenChoice::Shape shape, text::ScreenChoice::Kind kind, int lines,
                     int rate = 30) {
    Wishes w;
    w.choice = {shape, kind, lines, rate};
    return w;
}

}  // namespace lw::video
