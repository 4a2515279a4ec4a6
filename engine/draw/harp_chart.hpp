// SPDX-License-Identifier: Apache-2.0
//
// What one harp can play, seen from the player's side of a position: every plain note, bend and overbend with
// its name and its degree in the key of the music. As data, as plain text and as a picture: the holes in a
// row, blown notes above, drawn notes below, and the deeper a bend, the farther from the holes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/draw/picture.hpp"
#include "engine/harp/harp.hpp"

namespace lw::draw {

struct ChartNote {
    enum class Way : std::uint8_t { plain, bend, overbend };
    harp::HoleNote note;
    Way way = Way::plain;
    Pitch pitch;        // in equal temperament
    Hz frequency;       // with the harp's temperament and A4
    std::string token;  // as it is typed: `3d''`
    std::string name;   // `A4`
    std::string_view degree;
    bool key_note = false;  // the first degree
};

struct HarpChart {
    harp::Harp harp;
    int position = 1;  // 1..12
    harp::Key music;
    std::vector<ChartNote> notes;      // as harp::every_note orders them
    std::vector<harp::Split> octaves;  // outer holes of one breath, tongue between
};

/// `position` is clamped to 1..12.
[[nodiscard]] HarpChart harp_chart(const harp::Harp& harp, int position);

/// `C harp, standard tuning, 2nd position: the music is in G`.
[[nodiscard]] std::string title(const HarpChart& chart);

/// Two tables, names and degrees, a row for each way of playing; lines of at most 79 columns, for a terminal,
/// a mail or a screen reader. Ends in a line feed.
[[nodiscard]] std::string harp_chart_text(const HarpChart& chart);

/// 540 points wide, as high as it needs. `owner` of a command is the index of its note; the smallest letters
/// are 12 points, so that they can be read when a phone shows the whole width.
[[nodiscard]] Picture harp_chart_picture(const HarpChart& chart);

}  // namespace lw::draw
