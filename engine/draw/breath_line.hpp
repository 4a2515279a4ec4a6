// SPDX-License-Identifier: Apache-2.0
//
// The breath line: our picture of a phrase. One level line is the turn of the breath. Blown notes stand above
// it as outlined numbers with square shoulders, drawn notes below it as filled round ones; a tail says how
// long, a bend pulls the number down one step for each half step, and a number never leaves its half. Time
// runs evenly within a line as far as the ink leaves room.
//
// How it is read, sign by sign: docs/breath-line.md. How it is laid out: every written note has a column of
// its own that all its ink keeps to (setting.hpp), so ink cannot meet by accident.
#pragma once

#include "engine/draw/picture.hpp"
#include "engine/lick/lick.hpp"
#include "engine/text/lesson.hpp"

namespace lw::draw {

struct LineChoices {
    double width = 0.0;  // of the picture in points, at least 120; 0 sets one line, as long as the lick needs
    double scale =
        1.0;  // 1 sets hole numbers in 12 pt; below 0.9 the small words stay at 7 pt and grow tight
    text::Spelling spelling = text::Spelling::none;  // the trade's plain spelling under the count
    bool staff = false;                              // a standard staff above
    bool count = true;                               // the count under the grid
    bool opening = true;                             // tempo and feel above the first line
    bool labels = true;                              // `blow` and `draw` beside each line
};

/// One lick as a picture, its lines under each other, filled to the right edge; the last line is left short
/// where filling it would pull it apart. Deterministic; cost linear in the notes times the bars that fit a
/// line.
[[nodiscard]] Picture breath_line(const lick::Lick& lick, const LineChoices& choices = {});

}  // namespace lw::draw
