// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/breath_line.hpp"

#include <algorithm>

#include "engine/draw/compose.hpp"
#include "engine/lick/walk_through.hpp"

namespace lw::draw {

void put_line(Picture& to, SetLine&& line, double x, double y, std::size_t lick) {
    const int shift_owner = static_cast<int>(to.tokens.size()) - line.first_token;
    const std::size_t system = to.systems.size();
    System s;
    for (Command& c : line.commands) {
        shift(c, x, y);
        const bool by_token = c.part == Part::number || c.part == Part::number_shape ||
                              c.part == Part::stem || c.part == Part::tail || c.part == Part::bend_mark ||
                              c.part == Part::ornament || c.part == Part::joint ||
                              c.part == Part::plain_spelling || c.part == Part::staff_note ||
                              c.part == Part::count;
        if (by_token && c.owner >= 0) c.owner += shift_owner;
        s.box = united(s.box, c.box);
        to.commands.push_back(std::move(c));
    }
    s.start = line.start;
    s.end = line.end;
    s.top = y + line.band_top;
    s.bottom = y + line.band_bottom;
    s.blow = y + line.blow;
    s.draw = y + line.draw;
    s.first_bar = line.first_bar;
    s.bar_count = line.bar_count;
    s.lick = lick;
    to.systems.push_back(s);
    for (BeatPlace b : line.beats) {
        b.system = system;
        b.x += x;
        b.lick = lick;
        to.beats.push_back(b);
    }
    for (TokenPlace t : line.tokens) {
        t.system = system;
        t.x += x;
        t.box.x += x;
        t.box.y += y;
        t.lick = lick;
        to.tokens.push_back(t);
    }
}

std::string spoken_lick(const lick::Lick& lick) {
    const lick::WalkThrough told = walk_through(lick);
    std::string text = lick.head.title;
    const auto add = [&](const std::string& sentence) {
        if (sentence.empty()) return;
        if (!text.empty()) text += text.back() == '.' ? " " : ". ";
        text += sentence;
    };
    add(told.what);
    add(told.count);
    for (const std::string& bar : told.bars) add(bar);
    return text;
}

Picture breath_line(const lick::Lick& lick, const LineChoices& choices) {
    Picture picture;
    std::vector<SetLine> lines = set_lines(lick, choices);
    const Sizes sizes{choices.scale};
    double y = sizes.of(1.0);
    double wide = choices.width;
    for (SetLine& line : lines) {
        if (&line != &lines.front()) y += line_gap(sizes);
        const double height = line.height;
        wide = std::max(wide, line.width);
        put_line(picture, std::move(line), 0.0, y, 0);
        y += height;
    }
    picture.width = wide;
    picture.height = y + sizes.of(1.0);
    picture.spoken = spoken_lick(lick);
    return picture;
}

}  // namespace lw::draw
