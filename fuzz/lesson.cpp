// SPDX-License-Identifier: GPL-3.0-or-later
//
// Any bytes as a lesson, and as a house file for it: nothing breaks, and tidying is stable and changes no
// lick.
#include "engine/text/lesson.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace {

void demand(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "broken promise: %s\n", what);
    std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lw::text;
    const std::string text(data, data + size);
    const HouseReading house = read_house(text);
    for (const Diagnostic& d : house.diagnostics) demand(!explain(d, "house.txt", text).empty(), "explained");
    const std::string tidy_house = format_house(text);
    demand(format_house(tidy_house) == tidy_house, "a house file tidied twice is tidied once");

    const LessonReading reading = read_lesson(text, house.house);
    for (const Diagnostic& d : reading.diagnostics) demand(!explain(d, "x.md", text).empty(), "explained");
    const std::string tidy = format_lesson(text, house.house);
    demand(format_lesson(tidy, house.house) == tidy, "a lesson tidied twice is tidied once");
    const LessonReading again = read_lesson(tidy, house.house);
    demand(again.lesson.licks.size() == reading.lesson.licks.size(), "tidying keeps every lick");
    for (std::size_t i = 0; i < again.lesson.licks.size(); ++i)
        demand(again.lesson.licks[i].lick == reading.lesson.licks[i].lick, "tidying changes no lick");
    return 0;
}
