// SPDX-License-Identifier: GPL-3.0-or-later
//
// Bringing a text in: a lesson, a single lick, or a house file, with the house file that lies beside it. A
// single lick becomes a lesson of one, so every command takes both.
#pragma once

#include <optional>
#include <string>

#include "engine/text/lesson.hpp"
#include "workshop/cli/report.hpp"
#include "workshop/files/disk.hpp"

namespace lw::cli {

enum class TextKind { lick, lesson, house };

struct Loaded {
    files::Path file;
    std::string source;
    TextKind kind = TextKind::lick;
    text::House house;
    files::Path house_folder;  // what the house file's paths (its logo) stand beside
    text::Lesson lesson;
};

/// `.md` is a lesson, `house.txt` a house file; anything else is a lesson when it holds a fence of licks,
/// else a lick.
[[nodiscard]] TextKind kind_of(const files::Path& file, std::string_view source);

/// Whether warnings are told as well as errors: `check` and `pack` tell them, the others do not nag.
enum class Tell { errors, everything };

/// Reads a file (`-` is standard input) and its house (`house.txt` beside it or one folder up, unless
/// `house_file` names another). All faults go to the report; nothing comes back when the text has errors or
/// cannot be read.
[[nodiscard]] std::optional<Loaded> load(Report& report, const files::Path& file,
                                         const files::Path& house_file = {}, Tell tell = Tell::errors);

/// Leaves the warnings out.
void keep_errors(std::vector<text::Diagnostic>& diagnostics);

/// Warns of letters that the bundled font cannot print; they would stand as boxes on sheet and screen.
void warn_of_missing_letters(const text::Lesson& lesson, const text::House& house);

/// Trouble when there is no lick to make anything from.
[[nodiscard]] bool has_licks(Report& report, const Loaded& loaded);

/// Trouble when an output would replace the text it is made from. True when they are one file.
[[nodiscard]] bool would_replace_its_source(Report& report, const files::Path& source,
                                            const files::Path& out);

/// The licks a command works on: all of them, or the one numbered `number` from 1; empty means all.
[[nodiscard]] std::optional<std::vector<std::size_t>> chosen_licks(Report& report, const Loaded& loaded,
                                                                   const std::string& number);

}  // namespace lw::cli
