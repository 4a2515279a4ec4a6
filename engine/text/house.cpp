// SPDX-License-Identifier: Apache-2.0
#include "engine/text/head.hpp"
#include "engine/text/reader.hpp"

namespace lw::text {

HouseReading read_house(std::string_view source) {
    HouseReading reading;
    Report report;
    HeadWords words;
    const std::vector<LineSyntax> lines = sort_lines(source, 1, Room::house, report);
    read_head(lines, Room::house, words, report);
    House& house = reading.house;
    house.name = std::move(words.name);
    house.site = std::move(words.site);
    house.logo = std::move(words.logo);
    house.links = std::move(words.links);
    house.colour = std::move(words.colour);
    house.tunings = std::move(words.tunings);
    house.clips = std::move(words.clips);
    house.sheet = words.sheet;
    house.screens = std::move(words.screens);
    reading.diagnostics = report.take();
    return reading;
}

}  // namespace lw::text
