// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/hearing.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <memory>

#include "workshop/cli/harp_words.hpp"
#include "workshop/cli/interrupt.hpp"

namespace lw::cli {

void add_hearing_options(Command& command, const std::shared_ptr<HearingOptions>& options,
                         const std::string& anything) {
    command.option("--harp", options->harp, "Key of harp that was played: C, `low D`").type_name("KEY");
    command.option("--from", options->from, "Where the phrase begins: 12.5 or 1:02.5").type_name("TIME");
    command.option("--to", options->to, "Where it ends").type_name("TIME");
    command.option("--width", options->width, "Width of the picture in points; 380 suits a phone")
        .between(200.0, 4000.0)
        .type_name("POINTS")
        .shows_default();
    command.flag("--anything", options->anything, anything);
}

std::optional<Seconds> seconds_from(std::string_view text) {
    double all = 0.0;
    int parts = 0;
    while (true) {
        const std::size_t colon = text.find(':');
        const std::string part{text.substr(0, colon)};
        if (part.empty() || part.find_first_not_of("0123456789.") != std::string::npos || part.size() > 12)
            return std::nullopt;
        char* end = nullptr;
        const double value = std::strtod(part.c_str(), &end);
        if (*end != '\0' || (parts > 0 && value >= 60.0) || ++parts > 3) return std::nullopt;
        all = all * 60.0 + value;
        if (colon == std::string_view::npos) return Seconds{all};
        text.remove_prefix(colon + 1);
    }
}

std::optional<listen::Cut> cut_of(Report& report, const HearingOptions& options) {
    listen::Cut cut;
    const auto read = [&](const std::string& text, const char* name) -> std::optional<Seconds> {
        const auto at = seconds_from(text);
        if (!at)
            report.trouble({fmt::format("cannot read the time in {} {}", name, text),
                            "Write seconds (12.5), or minutes and seconds (1:02.5)."});
        return at;
    };
    if (!options.from.empty()) {
        const auto at = read(options.from, "--from");
        if (!at) return std::nullopt;
        cut.from = *at;
    }
    if (!options.to.empty()) {
        const auto at = read(options.to, "--to");
        if (!at) return std::nullopt;
        cut.to = at;
        if (*at <= cut.from) {
            report.trouble({fmt::format("--to {} is not after --from {}", options.to,
                                        options.from.empty() ? "0" : options.from),
                            "The cut has to hold some sound."});
            return std::nullopt;
        }
    }
    return cut;
}

bool read_harp(Report& report, const HearingOptions& options, std::optional<harp::Harp>& harp) {
    if (options.harp.empty()) return true;
    harp = named_harp(report, options.harp);
    return harp.has_value();
}

namespace {

/// Also of files that are not there yet.
bool same_file(const files::Path& a, const files::Path& b) {
    std::error_code unknown;
    if (std::filesystem::equivalent(a, b, unknown)) return true;
    const auto one = std::filesystem::weakly_canonical(std::filesystem::absolute(a, unknown), unknown);
    const auto other = std::filesystem::weakly_canonical(std::filesystem::absolute(b, unknown), unknown);
    return !one.empty() && one == other;
}

}  // namespace

bool outputs_are_safe(Report& report, const std::vector<Source>& sources,
                      const std::vector<files::Path>& outputs) {
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        const files::Path& out = outputs[i];
        if (out.empty()) continue;
        for (const Source& s : sources)
            if (same_file(s.file, out)) {
                report.trouble({fmt::format("{} is {}, and would be lost", out.string(), s.is),
                                "Write to another file."});
                return false;
            }
        for (std::size_t k = 0; k < i; ++k)
            if (!outputs[k].empty() && same_file(outputs[k], out)) {
                report.trouble({fmt::format("{} and {} are one file", outputs[k].string(), out.string()),
                                "Give each its own name."});
                return false;
            }
        if (const auto may = files::may_write(out); !may) {
            report.trouble(may.error());
            return false;
        }
    }
    return true;
}

std::optional<listen::Listened> hear_recording(Report& report, const HearingOptions& options,
                                               const listen::Wishes& wishes, const listen::Longer* longer) {
    const auto cut = cut_of(report, options);
    if (!cut) return std::nullopt;
    auto recording = listen::Recording::open(options.sound, *cut, "ffmpeg", &stop_wanted());
    if (!recording) {
        report.trouble(recording.error());
        return std::nullopt;
    }
    Progress progress{"listening", !report.json()};
    const auto heartbeat = [&](Seconds done, std::optional<Seconds> all) {
        progress.at(static_cast<std::size_t>(done.value),
                    static_cast<std::size_t>(all ? std::ceil(all->value) : done.value), "seconds");
    };
    auto heard = listen::listen(*recording, options.sound, wishes, heartbeat, stop_wanted(), longer);
    if (!heard) {
        report.trouble(heard.error());
        return std::nullopt;
    }
    return std::move(*heard);
}

}  // namespace lw::cli
