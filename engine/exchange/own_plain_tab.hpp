// SPDX-License-Identifier: Apache-2.0
//
// Plain tab that write_plain_tab wrote, known by its legend: it says its own meanings, its head gives harp,
// meter and tempo, and [ ] give the time. Private to the room.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lw::exchange {

/// A stretch of a line without white space.
struct Piece {
    std::string_view text;
    int column = 1;  // in code points, from 1
};

/// What such a text says outside its lanes.
struct OwnTab {
    bool legend = false;  // else all the rest is empty
    std::string title;
    std::string harp;
    std::string head;  // position, meter, tempo, feel, more and credit, as lines of a head
};
[[nodiscard]] OwnTab own_tab(std::string_view source);

/// Whether a line begins with this label and white space.
[[nodiscard]] bool labelled(std::string_view line, std::string_view label) noexcept;

[[nodiscard]] bool is_bar_sign(std::string_view piece) noexcept;

/// The chords of one line as a lane, its bar lines those of the tab: a chord stands on the beat whose number
/// is under it. `ended` is set at the first bar without any, where the lane ends.
[[nodiscard]] std::string chords_lane(const std::vector<Piece>& chords, const std::vector<Piece>& tab,
                                      const std::vector<Piece>& count, bool& ended);

}  // namespace lw::exchange
