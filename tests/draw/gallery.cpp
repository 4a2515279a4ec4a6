// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures to look at: every lick of a lesson as PNG and SVG, by day, by night and at the width of a phone, and
// the pages of its sheet, with one HTML page around them. Given an older gallery, the page shows before and
// after side by side.
//
//     gallery LESSON.md FOLDER [FOLDER OF AN OLDER GALLERY]
//
// tools/gallery calls it, and makes the older one from any git revision.
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/sheet.hpp"
#include "engine/draw/svg.hpp"
#include "engine/text/lesson.hpp"
#include "workshop/print/print.hpp"

namespace {

using namespace lw;
namespace fs = std::filesystem;

struct Gallery {
    fs::path folder;
    std::string before;  // the older gallery, as the page links to it; may be empty
    std::ostringstream page;
    bool failed = false;

    void write(const std::string& name, const std::string& bytes) {
        std::ofstream out{folder / name, std::ios::binary};
        out << bytes;
        if (!out.flush()) failed = true;
    }
    void show(const std::string& name, const draw::Picture& picture, draw::Look look, double scale,
              bool vector) {
        const draw::Theme theme = draw::theme(look);
        print::PngChoices choices;
        choices.scale = scale;
        const auto png = print::png(picture, theme, choices);
        if (!png) {
            std::cerr << name << ": no PNG\n";
            failed = true;
            return;
        }
        write(name + ".png", *png);
        if (vector) write(name + ".svg", draw::svg(picture, theme));
        page << "<h2>" << name << "</h2>\n<div class=pair>";
        if (!before.empty()) page << "<img alt='before' src='" << before << "/" << name << ".png'>";
        page << "<img alt='after' src='" << name << ".png'></div>\n";
    }
};

/// White around a picture, as a page would give it.
draw::Picture framed(draw::Picture picture, double white) {
    for (draw::Command& c : picture.commands) draw::shift(c, white, white);
    picture.width += 2.0 * white;
    picture.height += 2.0 * white;
    return picture;
}

}  // namespace

int main(int count, char** words) {
    if (count < 3) {
        std::cerr << "usage: gallery LESSON.md FOLDER [FOLDER OF AN OLDER GALLERY]\n";
        return 2;
    }
    std::ifstream in{words[1], std::ios::binary};
    std::stringstream source;
    source << in.rdbuf();
    text::LessonReading reading = text::read_lesson(source.str());
    if (!in || !reading.ok() || reading.lesson.licks.empty()) {
        std::cerr << words[1] << ": no lesson that can be read\n";
        return 1;
    }
    Gallery g;
    g.folder = words[2];
    fs::create_directories(g.folder);
    if (count > 3) g.before = fs::relative(words[3], g.folder).string();
    g.page
        << "<!doctype html><meta charset=utf-8><title>Gallery</title><style>body{font:16px "
           "sans-serif;margin:2em}"
           ".pair{display:flex;gap:1em;align-items:start}img{max-width:48vw;border:1px solid #ddd}</style>\n";
    for (const text::LessonLick& l : reading.lesson.licks) {
        draw::LineChoices wide;
        wide.width = 515.0;
        g.show(l.slug, framed(draw::breath_line(l.lick, wide), 12.0), draw::Look::sheet, 2.0, true);
        draw::LineChoices phone;
        phone.width = 358.0;  // a phone of 390 pixels less a page's white
        g.show(l.slug + "-phone", framed(draw::breath_line(l.lick, phone), 16.0), draw::Look::dark, 1.0,
               false);
    }
    draw::LineChoices all;
    all.width = 515.0;
    all.staff = true;
    all.spelling = text::Spelling::arrows;
    g.show("staff-and-arrows", framed(draw::breath_line(reading.lesson.licks.front().lick, all), 12.0),
           draw::Look::sheet, 2.0, true);
    text::House house;
    house.name = "Towpath Harp Lessons";
    house.site = "https://example.org/towpath";
    for (const bool large : {false, true}) {
        reading.lesson.sheet.large_print = large;
        int number = 0;
        for (const draw::Picture& p : draw::sheet(reading.lesson, house))
            g.show((large ? "sheet-large-" : "sheet-") + std::to_string(++number), p, draw::Look::sheet, 1.5,
                   false);
    }
    g.write("index.html", g.page.str());
    return g.failed ? 1 : 0;
}
