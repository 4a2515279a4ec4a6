// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <memory>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/pictures.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::vector<std::string> texts;
    std::string house;
    bool json = false;
};

Json about(const text::LessonLick& l) {
    const lick::Head& head = l.lick.head;
    Json json{{"title", head.title},
              {"harp", harp::name(head.harp)},
              {"tuning", head.harp.tuning.name},
              {"meter", fmt::format("{}/{}", head.meter.top, head.meter.bottom)},
              {"tempo", head.tempo.value},
              {"bars", l.lick.bars.size()},
              {"line", l.first_line}};
    if (head.position) {
        json["position"] = *head.position;
        json["key_of_music"] = harp::name(*lick::key_of_music(head));
    }
    return json;
}

int run(const Options& options) {
    Report report{"check", options.json};
    Json licks = Json::array();
    std::size_t count = 0;
    std::size_t houses = 0;
    for (const std::string& file : options.texts) {
        const auto loaded = load(report, file, options.house, Tell::everything);
        if (!loaded) continue;
        // What cannot be printed is a fault here already, not only when the sheet is made.
        if (const auto look = pack::look_of(loaded->house, loaded->house_folder); !look)
            report.trouble(look.error());
        if (loaded->kind == TextKind::house) {
            ++houses;
            continue;
        }
        for (const text::LessonLick& l : loaded->lesson.licks) {
            licks.push_back(about(l));
            ++count;
        }
    }
    report.set("licks", std::move(licks));
    if (report.status() == all_well) {
        if (houses > 0) report.say("the house file is sound");
        if (count == 1)
            report.say("1 lick, all of it can be played");
        else if (count == 0 && houses == 0)
            report.say(fmt::format("{} no lick", options.texts.size() == 1 ? options.texts.front() + " holds"
                                                                           : "these texts hold"));
        else if (count > 1)
            report.say(fmt::format("{} licks, all of them can be played", count));
    }
    return report.finish();
}

}  // namespace

void add_check(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "check",
                    "Say whether a lick, a lesson or a house file can be played and printed");
    command.footer(
        "Every fault is told with its place, what is wrong and what to do.\n\n"
        "  lickwright check lesson.md\n"
        "  lickwright check porch.lick gate.lick --json");
    command.option("texts", options->texts, "Lick files, lessons (.md) or house.txt; - reads standard input")
        .required()
        .type_name("FILE");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
