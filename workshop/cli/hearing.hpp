// SPDX-License-Identifier: GPL-3.0-or-later
//
// What `listen` and `compare` share: the options that say what is known of a recording, and how they are read.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "workshop/cli/command_line.hpp"
#include "workshop/cli/report.hpp"
#include "workshop/listen/listening.hpp"

namespace lw::cli {

struct HearingOptions {
    std::string sound;
    std::string harp;
    std::string from;
    std::string to;
    bool anything = false;
    double width = 760.0;  // of a picture, points
};

/// `anything` says what becomes of what sounds like no harmonica.
void add_hearing_options(Command& command, const std::shared_ptr<HearingOptions>& options,
                         const std::string& anything);

/// `12.5` seconds, `1:02.5` minutes and seconds, `1:00:00`.
[[nodiscard]] std::optional<Seconds> seconds_from(std::string_view text);
/// Trouble is told and nothing comes back when a time or the harp cannot be read.
[[nodiscard]] std::optional<listen::Cut> cut_of(Report& report, const HearingOptions& options);
[[nodiscard]] bool read_harp(Report& report, const HearingOptions& options, std::optional<harp::Harp>& harp);

/// A file that is read, and what to call it: `the lick itself`.
struct Source {
    files::Path file;
    const char* is;
};
/// Trouble when an output is one of the sources or another output, under whatever name or link, or cannot be written
/// there. Outputs without a name are not wanted.
[[nodiscard]] bool outputs_are_safe(Report& report, const std::vector<Source>& sources,
                                    const std::vector<files::Path>& outputs);

/// Opens and hears a recording, with progress on a terminal; trouble is told.
[[nodiscard]] std::optional<listen::Listened> hear_recording(Report& report, const HearingOptions& options,
                                                             const listen::Wishes& wishes,
                                                             const listen::Longer* longer = nullptr);

}  // namespace lw::cli
