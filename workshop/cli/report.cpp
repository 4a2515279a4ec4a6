// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/report.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace lw::cli {

void Report::fault(const files::Path& file, std::string_view source, const text::Diagnostic& diagnostic) {
    const bool error = diagnostic.level == text::Level::error;
    if (error && status_ == all_well) status_ = faults_in_text;
    if (json_) {
        faults_.push_back({{"file", file.string()},
                           {"line", diagnostic.place.line},
                           {"column", diagnostic.place.column},
                           {"length", diagnostic.place.length},
                           {"level", error ? "error" : "warning"},
                           {"slug", diagnostic.slug},
                           {"words", diagnostic.words},
                           {"remedy", diagnostic.remedy}});
        return;
    }
    fmt::print(stderr, "{}", text::explain(diagnostic, file.string(), source));
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
        if (!trouble_.is_null()) all["trouble"] = trouble_;
        if (!made_.empty()) all["made"] = made_;
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
