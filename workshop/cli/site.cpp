// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/site.hpp"

#include <fmt/format.h>

#include <map>
#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/practice_page.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::vector<std::string> texts;
    std::string into;
    std::string house;
    bool json = false;
};

/// A page of another lesson would be replaced.
bool two_of_one_name(Report& report, const std::vector<std::string>& files,
                     const std::vector<text::Lesson>& lessons) {
    std::map<std::string, std::size_t> names{{"index.html", files.size()}};
    for (std::size_t i = 0; i < lessons.size(); ++i) {
        const auto [at, fresh] = names.emplace(pack::page_name(lessons[i]), i);
        if (fresh) continue;
        const std::string other = at->second < files.size() ? files[at->second] : "the index page";
        report.trouble({fmt::format("{} and {} would both be {}", other, files[i], at->first),
                        "Give one of the lessons another title."});
        return true;
    }
    return false;
}

int run(const Options& options) {
    Report report{"site", options.json};
    std::vector<text::Lesson> lessons;
    std::vector<text::House> houses;
    bool all = true;
    for (const std::string& file : options.texts) {
        auto loaded = load(report, file, options.house);
        if (!loaded || !has_licks(report, *loaded)) {
            all = false;
            continue;
        }
        lessons.push_back(std::move(loaded->lesson));
        houses.push_back(std::move(loaded->house));
    }
    // Half a site would look like a whole one.
    if (!all || two_of_one_name(report, options.texts, lessons)) return report.finish();
    const files::Path folder = options.into;
    auto done = files::real_disk().make_folders(folder);
    const auto write = [&](const std::string& name, const std::string& bytes) {
        if (done) done = files::write_file_atomically(folder / name, bytes);
        if (done) report.made(folder / name);
    };
    for (std::size_t i = 0; i < lessons.size(); ++i)
        write(pack::page_name(lessons[i]), pack::practice_page(lessons[i], houses[i]));
    // The index last: what it leads to is there.
    write("index.html", pack::index_page(lessons, houses.front()));
    if (!done) report.trouble(done.error());
    return report.finish();
}

}  // namespace

void add_site(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "site", "Practice pages of many lessons, and an index page that leads to them");
    command.footer(
        "Plain files for any web host or a memory stick. A page is named after its lesson's title; the index "
        "page shows\n"
        "the newest lesson first. Run it again with all lessons when one is added.\n\n"
        "  lickwright site lessons/*.md --into site");
    command.option("texts", options->texts, "Lessons (.md) or licks").required().type_name("FILE");
    command.into_option(options->into, "The folder for them; files of these names are replaced");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
