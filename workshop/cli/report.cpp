// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/report.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>

namespace lw::cli {

namespace {

/// More than a screen of them is not read, and the first ones often cause the rest (common practice, no source).
constexpr std::size_t shown_faults = 20;

bool is_error(const text::Diagnostic& d) {
    return d.level == text::Level::error;
}

/// The reader of texts stops at a count, and says so in a fault's place.
bool says_there_are_more(const text::Diagnostic& d) {
    return d.slug == "too-many-faults";
}

Json fault_json(const files::Path& file, const text::Diagnostic& d) {
    return {{"file", file.string()},
            {"line", d.place.line},
            {"column", d.place.column},
            {"length", d.place.length},
            {"level", is_error(d) ? "error" : "warning"},
            {"slug", d.slug},
            {"words", d.words},
            {"remedy", d.remedy}};
}

}  // namespace

void Report::faults(const files::Path& file, std::string_view source,
                    const std::vector<text::Diagnostic>& diagnostics) {
    std::size_t errors = 0, all = 0;
    bool more = false;
    for (const text::Diagnostic& d : diagnostics) {
        more = more || says_there_are_more(d);
        if (says_there_are_more(d)) continue;
        errors += is_error(d) ? 1 : 0;
        ++all;
    }
    if ((errors > 0 || more) && status_ == all_well) status_ = faults_in_text;
    more_faults_ = more_faults_ || more;
    std::size_t errors_left = std::min(errors, shown_faults);
    std::size_t warnings_left = std::min(all - errors, shown_faults - errors_left);
    for (const text::Diagnostic& d : diagnostics) {
        if (says_there_are_more(d)) continue;
        if (json_) {
            faults_.push_back(fault_json(file, d));
            continue;
        }
        std::size_t& left = is_error(d) ? errors_left : warnings_left;
        if (left == 0) continue;
        --left;
        fmt::print(stderr, "{}", text::explain(d, file.string(), source));
    }
    if (json_ || (all <= shown_faults && !more)) return;
    fmt::print(stderr, "{}: and {}{} more; mend these first\n", file.string(), more ? "more than " : "",
               all - std::min(all, shown_faults));
}

void Report::trouble(const files::Trouble& trouble) {
    status_ = could_not;
    if (json_) {
        trouble_ = {{"words", trouble.words}, {"remedy", trouble.remedy}};
        return;
    }
    fmt::print(stderr, "lickwright {}: {}\n", command_, trouble.words);
    if (!trouble.remedy.empty()) fmt::print(stderr, "  {}\n", trouble.remedy);
}

void Report::made(const files::Path& file) {
    if (json_) {
        made_.push_back(file.string());
        return;
    }
    fmt::print("{}\n", file.string());
}

void Report::say(std::string_view line) {
    if (!json_) fmt::print("{}\n", line);
}

int Report::finish() {
    if (json_) {
        Json all{{"command", command_}, {"ok", status_ == all_well}, {"faults", faults_}};
        if (more_faults_) all["more_faults"] = true;  // than are told
        if (!trouble_.is_null()) all["trouble"] = trouble_;
        all["made"] = made_;
        for (auto& [key, value] : values_.items()) all[key] = value;
        // A text may hold bytes that are not UTF-8; they are shown as U+FFFD, never a reason to fail.
        fmt::print("{}\n", all.dump(2, ' ', false, Json::error_handler_t::replace));
    }
    std::fflush(stdout);
    return status_;
}

Progress::Progress(std::string_view what, bool wanted)
    : what_(what), shown_(wanted && ::isatty(STDERR_FILENO) == 1) {}

Progress::~Progress() {
    if (printed_) fmt::print(stderr, "\r\x1b[K");
}

void Progress::at(std::size_t done, std::size_t all, std::string_view now) {
    if (!shown_) return;
    printed_ = true;
    fmt::print(stderr, "\r\x1b[K{}: {} of {}  {}", what_, done, all, now);
    std::fflush(stderr);
}

}  // namespace lw::cli
