// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::vector<std::string> texts;
    std::string house;
    bool write = false;
    bool look = false;
    bool json = false;
};

int run(const Options& options) {
    Report report{"tidy", options.json};
    Json untidy = Json::array();
    for (const std::string& file : options.texts) {
        // A text with faults is left alone: tidying must never change what is meant.
        const auto loaded = load(report, file, options.house);
        if (!loaded) continue;
        if (loaded->kind == TextKind::house) {
            report.trouble({fmt::format("{} is a house file; there are no lanes to align in it", file),
                            "Name lick files or lessons."});
            continue;
        }
        const std::string tidied = loaded->kind == TextKind::lesson ? text::format_lesson(loaded->source)
                                                                    : text::format_lick(loaded->source);
        const bool changed = tidied != loaded->source;
        if (changed) untidy.push_back(file);
        if (options.look) {
            if (changed) report.say(file + " is not tidy");
        } else if (options.write && file != "-") {
            if (!changed) continue;
            if (const auto done = files::write_file_atomically(file, tidied); !done)
                report.trouble(done.error());
            else
                report.made(file);
        } else if (!options.json) {
            fmt::print("{}", tidied);
        }
        if (options.json && !options.look && !options.write) report.set("tidied", tidied);
    }
    const bool some = !untidy.empty();
    report.set("untidy", std::move(untidy));
    const int status = report.finish();
    return status == all_well && options.look && some ? faults_in_text : status;
}

}  // namespace

void add_tidy(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "tidy", "Align the bars of a lick's lanes and put its head in order");
    command.footer(
        "Comments stay, the music never changes, and tidying twice is tidying once.\n\n"
        "  lickwright tidy porch.lick            print it\n"
        "  lickwright tidy --write lesson.md     put it back into the file\n"
        "  lickwright tidy --look lessons/*.md   only say which are not tidy (exit status 1)");
    command.option("texts", options->texts, "Lick files or lessons (.md); - reads standard input")
        .required()
        .type_name("FILE");
    command.house_option(options->house);
    const Setting write = command.flag("--write", options->write, "Write the result back into the file");
    command.flag("--look", options->look, "Write nothing, only say which files are not tidy").excludes(write);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
