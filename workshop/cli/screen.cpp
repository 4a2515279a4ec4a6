// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/screen.hpp"

#include <fmt/format.h>

#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/interrupt.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/plan.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string out;
    std::string house;
    std::string lick;
    double tempo = 0.0;
    std::string shape = "landscape";
    int lines = 1080;
    int frames = 30;
    bool json = false;
};

std::optional<text::ScreenChoice> choice_of(Report& report, const Options& options) {
    text::ScreenChoice choice;
    if (options.shape == "portrait") choice.shape = text::ScreenChoice::Shape::portrait;
    if (options.shape == "lower-third") choice.shape = text::ScreenChoice::Shape::lower_third;
    choice.lines = options.lines;
    choice.frames_per_second = options.frames;
    const std::string kind = files::Path{options.out}.extension().string();
    for (const auto candidate :
         {text::ScreenChoice::Kind::webm, text::ScreenChoice::Kind::prores, text::ScreenChoice::Kind::mp4}) {
        if (kind != pack::screen_ending(candidate)) continue;
        choice.kind = candidate;
        return choice;
    }
    report.trouble({fmt::format("cannot tell what {} should hold", options.out),
                    "Name a file that ends in .webm or .mov (transparent) or .mp4 (over a colour)."});
    return std::nullopt;
}

int run(const Options& options) {
    Report report{"screen", options.json};
    if (would_replace_its_source(report, options.text, options.out)) return report.finish();
    const auto choice = choice_of(report, options);
    if (!choice) return report.finish();
    const auto loaded = load(report, options.text, options.house);
    if (!loaded) return report.finish();
    const auto licks = chosen_licks(report, *loaded, options.lick);
    if (!licks) return report.finish();
    if (licks->size() != 1) {
        report.trouble({fmt::format("{} holds {} licks, and a layer shows one", options.text, licks->size()),
                        "Say which with --lick NUMBER, or ask for layers in the lesson with `screen:` and "
                        "make a pack."});
        return report.finish();
    }
    const lick::Lick& lick = loaded->lesson.licks[licks->front()].lick;
    video::Wishes wishes;
    wishes.choice = *choice;
    wishes.colour = draw::colour_from(loaded->house.colour);
    files::Result<void> done;
    {
        Progress progress{"screen", !options.json};
        const auto sink = [&](int now, int all) {
            if (now % 10 == 0 || now == all)
                progress.at(static_cast<std::size_t>(now), static_cast<std::size_t>(all), "frames");
        };
        done = video::make_film(files::real_disk(), lick,
                                pack::screen_performance(lick, BeatsPerMinute{options.tempo}), wishes,
                                options.out, sink, stop_wanted());
    }
    if (!done)
        report.trouble(done.error());
    else
        report.made(options.out);
    return report.finish();
}

}  // namespace

void add_screen(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "screen",
                    "The on-screen tab as a video layer, timed to a tempo with its count-in");
    command.footer(
        "  lickwright screen porch.lick -o porch.webm                       transparent, for an editor\n"
        "  lickwright screen lesson.md --lick 2 -o gate.mov --lines 2160    ProRes 4444 in 4K\n"
        "  lickwright screen porch.lick -o porch.mp4 --shape portrait --tempo 60");
    command.option("text", options->text, "A lick or a lesson (.md)").required().type_name("FILE");
    command.option("-o,--out", options->out, "Where to write: .webm, .mov or .mp4")
        .required()
        .type_name("FILE");
    command.lick_option(options->lick, "Which lick of a lesson, from 1");
    command.option("--tempo", options->tempo, "Beats a minute, instead of the lick's own")
        .between(10.0, 400.0)
        .type_name("BPM");
    command.option("--shape", options->shape, "Shape of the frame")
        .one_of({"landscape", "portrait", "lower-third"})
        .shows_default();
    command.option("--lines", options->lines, "The shorter side of the frame: 1080, or 2160 for 4K")
        .one_of({1080, 2160})
        .shows_default();
    command.option("--frames", options->frames, "Frames a second").one_of({25, 30, 50, 60}).shows_default();
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
