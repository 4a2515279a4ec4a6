// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/description.hpp"

#include <fmt/format.h>

#include "engine/harp/harp.hpp"

namespace lw::pack {
namespace {

std::string what_for(const lick::Head& head) {
    std::string text = harp::name(head.harp) + " harp";
    if (head.position)
        text += fmt::format(", {} position, music in {}", harp::ordinal(*head.position),
                            harp::name(*lick::key_of_music(head)));
    return text;
}

}  // namespace

std::string description_text(const text::Lesson& lesson, const text::House& house) {
    std::string text = lesson.title + "\n";
    if (!house.name.empty()) text += house.name + "\n";
    text += "\nIn this lesson (put the times in when the film is cut)\n";
    for (const text::LessonLick& l : lesson.licks)
        text += fmt::format("-:--  {} ({})\n", l.lick.head.title, what_for(l.lick.head));

    std::string lessons;
    for (const text::LessonLick& l : lesson.licks)
        for (const std::string& link : l.lick.head.more)
            lessons += fmt::format("{}: {}\n", l.lick.head.title, link);
    if (!lessons.empty()) text += "\nThe full lessons\n" + lessons;

    std::string credits;
    for (const text::LessonLick& l : lesson.licks)
        if (!l.lick.head.credit.empty())
            credits += fmt::format("{}: {}\n", l.lick.head.title, l.lick.head.credit);
    if (!credits.empty()) text += "\nWhere the licks come from\n" + credits;

    std::string links;
    for (const std::string& link : lesson.links) links += link + "\n";
    for (const std::string& link : house.links) links += link + "\n";
    if (!house.site.empty()) links += house.site + "\n";
    if (!links.empty()) text += "\n" + links;

    // Common practice, no source: what a careful teacher says under every lesson.
    text +=
        "\nStart quietly when you practise with headphones. If you feel light in the head, stop and breathe "
        "normally.\n";
    return text;
}

}  // namespace lw::pack
