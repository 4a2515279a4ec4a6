// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/pictures.hpp"

#include <algorithm>

#include "engine/draw/sheet.hpp"
#include "engine/draw/svg.hpp"

namespace lw::pack {

files::Result<HouseLook> look_of(const text::House& house, const files::Path& folder) {
    HouseLook look;
    look.theme = draw::theme(draw::Look::sheet, draw::colour_from(house.colour));
    if (house.logo.empty()) return look;
    auto bytes = files::read_file(folder / house.logo);
    if (!bytes) {
        return tl::make_unexpected(
            files::Trouble{bytes.error().words + " (the logo that the house file names)",
                           "Put the picture there, or take the line `logo:` out of the house file."});
    }
    auto logo = print::read_logo(*std::move(bytes), house.logo);
    if (!logo) return tl::make_unexpected(logo.error());
    look.logo = *std::move(logo);
    return look;
}

std::vector<draw::Picture> pages_of(const text::Lesson& lesson, const text::House& house,
                                    const HouseLook& look) {
    if (lesson.licks.size() != 1 || lesson.licks.front().lick.head.title != lesson.title)
        return draw::sheet(lesson, house, look.logo_shape());
    text::Lesson untitled = lesson;
    untitled.title.clear();  // the lick's own title leads
    return draw::sheet(untitled, house, look.logo_shape());
}

files::Result<std::string> as_svg(const draw::Picture& picture, const draw::Theme& theme,
                                  std::string_view title, const HouseLook& look) {
    draw::SvgChoices choices;
    choices.title = title;
    if (look.logo) choices.logo_png = look.logo->png;
    return draw::svg(picture, theme, choices);
}

files::Result<std::string> as_png(const draw::Picture& picture, const draw::Theme& theme,
                                  const HouseLook& look, double scale) {
    print::PngChoices choices;
    choices.scale = scale;
    choices.logo = look.logo_or_null();
    return print::png(picture, theme, choices);
}

}  // namespace lw::pack
