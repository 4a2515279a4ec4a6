// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/embed.hpp"

#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string into;
    std::string house;
    bool json = false;
};

int run(const Options& options) {
    Report report{"embed", options.json};
    const auto loaded = load(report, options.text, options.house);
    if (!loaded || !has_licks(report, *loaded)) return report.finish();
    const files::Path folder = options.into;
    const std::string example = pack::embed_example(loaded->lesson, loaded->house);
    auto done = files::real_disk().make_folders(folder);
    for (const auto& [name, bytes] : {std::pair{"lickwright-elements.js", pack::elements_script()},
                                      std::pair{"example.html", std::string_view{example}}}) {
        if (done) done = files::write_file_atomically(folder / name, bytes);
        if (!done) {
            report.trouble(done.error());
            break;
        }
        report.made(folder / name);
    }
    return report.finish();
}

}  // namespace

void add_embed(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "embed", "Licks for a web site of your own: a script, and the tags to paste");
    command.footer(
        "lickwright-elements.js goes beside your page and is the same for every lick; example.html shows the "
        "line that\n"
        "loads it and a tag for every lick, with the lick's text inside. Nothing else is needed, and nothing "
        "is fetched\n"
        "from anywhere else. docs/pages.md says more.\n\n"
        "  lickwright embed lesson.md --into site");
    command.option("text", options->text, "A lesson (.md) or a lick").required().type_name("FILE");
    command.into_option(options->into, "The folder for both; files of these names are replaced");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
