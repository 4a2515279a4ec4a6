// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "engine/draw/harp_chart.hpp"
#include "engine/draw/svg.hpp"
#include "engine/text/lesson.hpp"
#include "workshop/cli/commands.hpp"
#include "workshop/cli/harp_words.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/cli/report.hpp"
#include "workshop/print/print.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::vector<std::string> harp{"C"};
    int position = 2;
    std::string tuning = "standard";
    std::string temperament = "equal";
    double a4 = harp::concert_a4.value;
    std::string out;
    std::string house;
    bool json = false;
};

template <class Named>
std::string names_of(const std::vector<Named>& all) {
    std::string text;
    for (const Named& n : all) text += (text.empty() ? "" : ", ") + n.name;
    return text;
}

/// The house file, for the tunings it names; `house.txt` in this folder when there is one.
text::House house_of(Report& report, const Options& options) {
    files::Path file = options.house;
    if (file.empty() && files::real_disk().exists("house.txt")) file = "house.txt";
    if (file.empty()) return {};
    const auto bytes = files::read_file(file);
    if (!bytes) {
        report.trouble(bytes.error());
        return {};
    }
    text::HouseReading reading = text::read_house(*bytes);
    keep_errors(reading.diagnostics);
    report.faults(file, *bytes, reading.diagnostics);
    return std::move(reading.house);
}

std::optional<harp::Harp> harp_of(Report& report, const Options& options) {
    auto harp = named_harp(report, fmt::to_string(fmt::join(options.harp, " ")));
    if (!harp) return std::nullopt;
    const text::House house = house_of(report, options);
    if (report.status() != all_well) return std::nullopt;
    const auto own_tuning = std::find_if(house.tunings.begin(), house.tunings.end(),
                                         [&](const harp::Tuning& t) { return t.name == options.tuning; });
    if (own_tuning != house.tunings.end()) {
        harp->tuning = *own_tuning;
    } else if (const auto known = harp::tuning_named(options.tuning)) {
        harp->tuning = *known;
    } else if (const auto own = harp::tuning_from_changes("own", options.tuning)) {
        harp->tuning = *own;
    } else {
        report.trouble({fmt::format("no tuning is called `{}`", options.tuning),
                        fmt::format("Known are: {}; or say which reeds differ, such as `3b+2 5d+1`.",
                                    names_of(harp::known_tunings()))});
        return std::nullopt;
    }
    if (const auto temperament = harp::temperament_named(options.temperament)) {
        harp->temperament = *temperament;
    } else {
        report.trouble({fmt::format("no temperament is called `{}`", options.temperament),
                        fmt::format("Known are: {}.", names_of(harp::known_temperaments()))});
        return std::nullopt;
    }
    harp->a4 = Hz{options.a4};
    return *harp;
}

std::string_view word(draw::ChartNote::Way way) {
    switch (way) {
        case draw::ChartNote::Way::plain:
            return "plain";
        case draw::ChartNote::Way::bend:
            return "bend";
        case draw::ChartNote::Way::overbend:
            return "overbend";
    }
    return {};
}

void as_json(Report& report, const draw::HarpChart& chart) {
    Json notes = Json::array();
    for (const draw::ChartNote& n : chart.notes) {
        notes.push_back({{"tab", n.token},
                         {"hole", n.note.hole},
                         {"breath", n.note.breath == harp::Breath::blow ? "blow" : "draw"},
                         {"way", word(n.way)},
                         {"bend_semitones", n.note.bend().value},
                         {"note", n.name},
                         {"midi", n.pitch.midi},
                         {"hz", std::round(n.frequency.value * 1000.0) / 1000.0},
                         {"degree", n.degree}});
    }
    Json octaves = Json::array();
    for (const harp::Split& s : chart.octaves)
        octaves.push_back(fmt::format("{}+{}{}", s.low, s.high, s.breath == harp::Breath::blow ? 'b' : 'd'));
    report.set("harp", harp::name(chart.harp));
    report.set("tuning", chart.harp.tuning.name);
    report.set("temperament", chart.harp.temperament.name);
    report.set("a4_hz", chart.harp.a4.value);
    report.set("position", chart.position);
    report.set("key_of_music", harp::name(chart.music));
    report.set("notes", std::move(notes));
    report.set("octaves", std::move(octaves));
}

void write_picture(Report& report, const Options& options, const draw::HarpChart& chart) {
    const draw::Picture picture = draw::harp_chart_picture(chart);
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    const std::string kind = files::Path{options.out}.extension().string();
    files::Result<std::string> bytes;
    if (kind == ".svg") {
        const std::string title = draw::title(chart);
        draw::SvgChoices choices;
        choices.title = title;
        bytes = draw::svg(picture, theme, choices);
    } else if (kind == ".png") {
        bytes = print::png(picture, theme);
    } else if (kind == ".pdf") {
        bytes = print::pdf({&picture, 1}, theme, {draw::title(chart), "", ""});
    } else {
        report.trouble({fmt::format("cannot tell what {} should hold", options.out),
                        "Name a file that ends in .svg, .png or .pdf."});
        return;
    }
    if (!bytes) {
        report.trouble(bytes.error());
        return;
    }
    if (const auto done = files::write_file_atomically(options.out, *bytes); !done)
        report.trouble(done.error());
    else
        report.made(options.out);
}

int run(const Options& options) {
    Report report{"harp", options.json};
    const auto harp = harp_of(report, options);
    if (!harp) return report.finish();
    const draw::HarpChart chart = draw::harp_chart(*harp, options.position);
    as_json(report, chart);
    if (!options.out.empty())
        write_picture(report, options, chart);
    else if (!options.json)
        fmt::print("{}", draw::harp_chart_text(chart));
    return report.finish();
}

}  // namespace

void add_harp(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "harp",
                    "Show what a harp can play: plain notes, bends, overblows, in a position");
    command.footer(
        "  lickwright harp C --position 2\n"
        "  lickwright harp low D --position 1 -o low-d.png\n"
        "  lickwright harp A --tuning \"natural minor\" --json\n"
        "  lickwright harp G --tuning \"3b+2 5d+1\"        your own changes to the standard tuning");
    command.option("harp", options->harp, "Key of harp: C, `low D`, `high G`").type_name("KEY").words(1, 2);
    command.option("--position", options->position, "Position: 2 or 2nd").position().shows_default();
    command.option("--tuning", options->tuning, "A tuning by name, or changes such as `3b+2 5d+1`")
        .type_name("NAME")
        .shows_default();
    command.option("--temperament", options->temperament, "A temperament by name")
        .type_name("NAME")
        .shows_default();
    command.option("--a4", options->a4, "Pitch of A4")
        .type_name("HZ")
        .between(harp::lowest_a4.value, harp::highest_a4.value)
        .shows_default();
    command.option("-o,--out", options->out, "A picture instead of text: .svg .png .pdf").type_name("FILE");
    command.option("--house", options->house, "A house file, for tunings of your own").type_name("FILE");
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
