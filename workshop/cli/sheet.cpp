// SPDX-License-Identifier: GPL-3.0-or-later

#include "engine/draw/sheet.hpp"

#include <fmt/format.h>

#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/pictures.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string out;
    std::string house;
    std::string lick;
    std::string paper;
    std::string spelling;
    bool large_print = false;
    bool staff = false;
    bool black = false;
    double scale = 2.0;
    bool json = false;
};

text::SheetChoices choices_of(const Options& options, text::SheetChoices choices) {
    if (options.paper == "a4") choices.paper = text::Paper::a4;
    if (options.paper == "letter") choices.paper = text::Paper::letter;
    if (options.spelling == "none") choices.spelling = text::Spelling::none;
    if (options.spelling == "signs") choices.spelling = text::Spelling::signs;
    if (options.spelling == "arrows") choices.spelling = text::Spelling::arrows;
    if (options.spelling == "letters") choices.spelling = text::Spelling::letters;
    choices.large_print = choices.large_print || options.large_print;
    choices.staff = choices.staff || options.staff;
    return choices;
}

/// `sheet.png` becomes `sheet-2.png` for the second page; one page keeps the name as it is.
files::Path page_name(const files::Path& out, std::size_t page, std::size_t pages) {
    if (pages == 1) return out;
    return out.parent_path() /
           fmt::format("{}-{}{}", out.stem().string(), page + 1, out.extension().string());
}

int run(const Options& options) {
    Report report{"sheet", options.json};
    if (would_replace_its_source(report, options.text, options.out)) return report.finish();
    auto loaded = load(report, options.text, options.house);
    if (!loaded) return report.finish();
    const auto licks = chosen_licks(report, *loaded, options.lick);
    if (!licks) return report.finish();
    const auto look = pack::look_of(loaded->house, loaded->house_folder);
    if (!look) {
        report.trouble(look.error());
        return report.finish();
    }
    text::Lesson& lesson = loaded->lesson;
    lesson.sheet = choices_of(options, lesson.sheet);
    if (!options.lick.empty()) {
        lesson.licks = {lesson.licks[licks->front()]};
        lesson.title = lesson.licks.front().lick.head.title;
    }
    const draw::Theme theme = options.black ? draw::theme(draw::Look::black) : look->theme;
    const std::string kind = files::Path{options.out}.extension().string();
    const std::vector<draw::Picture> pages = pack::pages_of(lesson, loaded->house, *look);
    if (kind == ".pdf") {
        const auto bytes =
            print::pdf(pages, theme, {lesson.title, loaded->house.name, lesson.date}, look->logo_or_null());
        if (!bytes)
            report.trouble(bytes.error());
        else if (const auto done = files::write_file_atomically(options.out, *bytes); !done)
            report.trouble(done.error());
        else
            report.made(options.out);
        return report.finish();
    }
    if (kind != ".svg" && kind != ".png") {
        report.trouble({fmt::format("cannot tell what {} should hold", options.out),
                        "Name a file that ends in .pdf, .svg or .png."});
        return report.finish();
    }
    for (std::size_t i = 0; i < pages.size() && report.status() == all_well; ++i) {
        const draw::Picture page =
            pages.size() == 1 && lesson.licks.size() == 1 ? draw::cropped(pages[i]) : pages[i];
        const auto bytes = kind == ".svg" ? pack::as_svg(page, theme, lesson.title, *look)
                                          : pack::as_png(page, theme, *look, options.scale);
        const files::Path file = page_name(options.out, i, pages.size());
        if (!bytes)
            report.trouble(bytes.error());
        else if (const auto done = files::write_file_atomically(file, *bytes); !done)
            report.trouble(done.error());
        else
            report.made(file);
    }
    return report.finish();
}

}  // namespace

void add_sheet(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "sheet", "Engrave a lick or a whole lesson: PDF, SVG or PNG");
    command.footer(
        "  lickwright sheet lesson.md -o sheet.pdf\n"
        "  lickwright sheet lesson.md --lick 2 -o gate.png      one lick, cut to its picture\n"
        "  lickwright sheet porch.lick -o porch.pdf --paper letter --large-print --spelling arrows");
    command.option("text", options->text, "A lick or a lesson (.md)").required().type_name("FILE");
    command.option("-o,--out", options->out, "Where to write: .pdf, .svg or .png")
        .required()
        .type_name("FILE");
    command.lick_option(options->lick, "Only one lick of a lesson, from 1");
    command.option("--paper", options->paper, "Size of the paper").one_of({"a4", "letter"});
    command.option("--spelling", options->spelling, "A plain spelling under the notes")
        .one_of({"none", "signs", "arrows", "letters"});
    command.flag("--large-print", options->large_print, "Everything larger, for weak eyes");
    command.flag("--staff", options->staff, "A standard staff above the breath line");
    command.flag("--black", options->black, "Black on white, for copying machines");
    command.option("--scale", options->scale, "Pixels to a point in a PNG").between(0.5, 8.0).shows_default();
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
