// SPDX-License-Identifier: Apache-2.0
//
// Pages for the music stand: title block, licks with their titles, page breaks, page numbers.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/draw/picture.hpp"
#include "engine/text/lesson.hpp"

namespace lw::draw {

/// What stands at the top and at the foot. Empty words take no room.
struct SheetHead {
    std::string title;  // of the lesson; empty for a sheet of one lick, whose own title leads
    std::string house;  // the teacher or the school
    std::string site;
    std::string date;                  // as it is to be printed
    std::optional<double> logo_shape;  // width : height of the house's logo, when there is one
};

/// Pages in points: A4 is 595.28 by 841.89, Letter 612 by 792. Picture::spoken of a page tells what is on it.
/// A lick whose lines do not fit on what is left of a page begins the next one when it fits there whole.
[[nodiscard]] std::vector<Picture> sheet(std::span<const lick::Lick* const> licks, const SheetHead& head,
                                         const text::SheetChoices& choices);
/// A lesson's sheet: its licks in order under its title, with the house's name, site and logo.
[[nodiscard]] std::vector<Picture> sheet(const text::Lesson& lesson, const text::House& house,
                                         std::optional<double> logo_shape = std::nullopt);
/// A page cut at the foot of its ink, page number and caution left away: a lick as a picture to send.
[[nodiscard]] Picture cropped(Picture page);

}  // namespace lw::draw
