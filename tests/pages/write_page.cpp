// SPDX-License-Identifier: GPL-3.0-or-later
//
//     write_page LESSON PAGE
//
// The practice page of a lesson, and PAGE.json beside it: what the model says of every lick's notes, for the tests that
// listen to the page.
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "engine/sound/performance.hpp"
#include "workshop/pack/practice_page.hpp"

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: write_page LESSON PAGE\n");
        return 2;
    }
    std::ifstream in(argv[1], std::ios::binary);
    const std::string source{std::istreambuf_iterator<char>(in), {}};
    const lw::text::LessonReading reading = lw::text::read_lesson(source);
    if (!in || !reading.ok()) {
        std::fprintf(stderr, "write_page: %s is no lesson without faults\n", argv[1]);
        return 1;
    }
    nlohmann::json licks = nlohmann::json::array();
    for (const lw::text::LessonLick& l : reading.lesson.licks) {
        const lw::harp::Harp& harp = l.lick.head.harp;
        nlohmann::json notes = nlohmann::json::array();
        for (const lw::sound::SoundedNote& n : lw::sound::perform(l.lick, {.count_in = false}).notes) {
            const int hole = n.tab.lead_hole();
            notes.push_back({{"onset", n.onset.value},
                             {"offset", n.offset.value},
                             {"hz", lw::harp::frequency(harp, n.tab.note_of(hole))->value},
                             {"plain", !n.tab.chord() && n.ornaments.empty() && n.tab.bent_hole == 0 &&
                                           n.how == lw::lick::Start::attack}});
        }
        licks.push_back({{"title", l.lick.head.title}, {"tempo", l.lick.head.tempo.value}, {"notes", notes}});
    }
    const std::filesystem::path page = argv[2];
    std::filesystem::create_directories(page.parent_path());
    std::ofstream(page, std::ios::binary) << lw::pack::practice_page(reading.lesson, {});
    std::ofstream(page.string() + ".json") << licks.dump();
    return 0;
}
