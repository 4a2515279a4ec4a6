// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a command says. For people: results on standard output, faults and troubles on standard error, what
// went wrong in one line first. With --json: one object on standard output and nothing else. Exit status: 0
// all went well, 1 the text has faults, 2 the command could not do its work (a wrong option, a missing file,
// a missing program).
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/diagnostics.hpp"
#include "workshop/files/disk.hpp"

namespace lw::cli {

using Json = nlohmann::ordered_json;

inline constexpr int all_well = 0;
inline constexpr int faults_in_text = 1;
inline constexpr int could_not = 2;

class Report {
  public:
    Report(std::string command, bool json) : command_(std::move(command)), json_(json) {}

    [[nodiscard]] bool json() const noexcept { return json_; }
    /// The faults of one text, each with its line and caret. People see the first 20, errors before warnings, and how
    /// many more there are; with --json all of them are told.
    void faults(const files::Path& file, std::string_view source,
                const std::vector<text::Diagnostic>& diagnostics);
    /// Something outside the text. Sets the status to 2.
    void trouble(const files::Trouble& trouble);
    /// A file that was written.
    void made(const files::Path& file);
    /// A line for people only.
    void say(std::string_view line);
    /// A value for --json only.
    void set(std::string_view key, Json value) { values_[std::string{key}] = std::move(value); }
    /// Prints the object when --json is on, and gives the exit status.
    [[nodiscard]] int finish();
    /// The trouble that was told with --json, if any.
    [[nodiscard]] const Json& told() const noexcept { return trouble_; }
    [[nodiscard]] int status() const noexcept { return status_; }

  private:
    std::string command_;
    bool json_;
    int status_ = all_well;
    bool more_faults_ = false;
    Json faults_ = Json::array();
    Json made_ = Json::array();
    Json trouble_;
    Json values_ = Json::object();
};

/// One line that tells how far long work is, on a terminal only; silent with --json and in pipes.
class Progress {
  public:
    Progress(std::string_view what, bool wanted);
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress();
    void at(std::size_t done, std::size_t all, std::string_view now);

  private:
    std::string what_;
    bool shown_;
    bool printed_ = false;
};

}  // namespace lw::cli
