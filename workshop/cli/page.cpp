// SPDX-License-Identifier: GPL-3.0-or-later
#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/writing_page.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string out;
    bool json = false;
};

int run(const Options& options) {
    Report report{"page", options.json};
    if (const auto ending = files::Path{options.out}.extension(); ending != ".html" && ending != ".htm") {
        report.trouble({options.out + " is no name for a page", "Name a file that ends in .html."});
        return report.finish();
    }
    std::string text;
    if (!options.text.empty()) {
        if (would_replace_its_source(report, options.text, options.out)) return report.finish();
        auto bytes = files::read_file(options.text);
        if (!bytes) {
            report.trouble(bytes.error());
            return report.finish();
        }
        text = *std::move(bytes);
    }
    const std::string page = pack::writing_page(text, files::Path{options.text}.filename().string());
    if (const auto done = files::write_file_atomically(options.out, page); !done)
        report.trouble(done.error());
    else
        report.made(options.out);
    return report.finish();
}

}  // namespace

void add_page(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "page", "Make the writing page: one file to write licks in, in any browser");
    command.footer(
        "The picture, the sound and the faults follow every keystroke, a harp on the page writes what is "
        "chosen on it,\n"
        "and what is written leaves as text, sheet, MIDI, sound or practice page. Nothing is installed and "
        "nothing is\n"
        "asked of a network: it opens from a memory stick as well as from a web site.\n\n"
        "  lickwright page -o write.html\n"
        "  lickwright page lesson.md -o write.html      it opens with this text (faults and all)");
    command.option("text", options->text, "A lick or a lesson (.md) to open with").type_name("FILE");
    command.option("-o,--out", options->out, "Where to write: .html").required().type_name("FILE");
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
