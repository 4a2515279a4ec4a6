// SPDX-License-Identifier: GPL-3.0-or-later
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
    std::string into;
    std::string house;
    bool json = false;
};

int run(const Options& options) {
    Report report{"pack", options.json};
    auto loaded = load(report, options.text, options.house, Tell::everything);
    if (!loaded) return report.finish();
    if (!has_licks(report, *loaded)) return report.finish();
    auto look = pack::look_of(loaded->house, loaded->house_folder);
    if (!look) {
        report.trouble(look.error());
        return report.finish();
    }
    auto sources = std::make_shared<pack::Sources>();
    sources->lesson = std::move(loaded->lesson);
    sources->house = std::move(loaded->house);
    sources->look = *std::move(look);
    const pack::Plan plan = pack::plan_of(std::move(sources));

    files::Result<pack::Outcome> outcome;
    {
        Progress progress{"pack", !options.json};
        const auto sink = [&](std::size_t done, std::size_t all, std::string_view now) {
            progress.at(done, all, now);
        };
        outcome = pack::make_pack(files::real_disk(), plan, options.into, sink, stop_wanted());
    }
    if (!outcome) {
        report.trouble(outcome.error());
        return report.finish();
    }
    report.set("into", options.into);
    report.set("made", outcome->made);
    report.set("taken_over", outcome->taken_over);
    report.set("kept", outcome->kept);
    Json all = Json::array();
    for (const pack::Entry& e : outcome->manifest.files)
        all.push_back({{"path", e.path}, {"what", e.what}, {"bytes", e.bytes}, {"sha256", e.sha256}});
    report.set("files", std::move(all));
    report.say(fmt::format("{}: {} files, {} made, {} unchanged", options.into,
                           outcome->manifest.files.size(), outcome->made, outcome->taken_over));
    for (const std::string& path : outcome->kept)
        report.say(fmt::format("kept for you: {}/{}", options.into, path));
    return report.finish();
}

}  // namespace

void add_pack(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "pack",
                    "Make everything of a lesson, and only what changed since the last time");
    command.footer(
        "Sheet, pictures, practice audio, MIDI, plain tab, on-screen layers and captions (when the lesson "
        "asks for\n"
        "them with `screen:`), run sheet, the text under the video, and a manifest with checksums. It is "
        "made aside\n"
        "and put in place whole: an interrupted run leaves the previous pack as it was. What you changed in "
        "the folder\n"
        "or put into it is carried over into its folder `kept`.\n\n"
        "  lickwright pack lesson.md --into out/porch");
    command.option("text", options->text, "A lesson (.md) or a lick").required().type_name("FILE");
    command.into_option(options->into, "The folder for it; an earlier pack there is replaced");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
