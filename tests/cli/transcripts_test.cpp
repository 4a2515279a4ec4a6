// SPDX-License-Identifier: GPL-3.0-or-later
//
// The command line pinned by transcripts: tests/cli/transcripts/*.txt. Each runs in a fresh folder that holds a copy
// of tests/cli/files.
//
//     # a comment
//     $ lickwright check bad.lick
//     bad.lick:3:5: error: ...        what it says, standard output and standard error together
//     (1)                             the exit status
//
// `[..]` in an expected line stands for anything. LICKWRIGHT_BLESS=1 writes what was said into the transcript, so that
// a change of words is a diff to read.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>

#include "workshop/files/disk.hpp"

namespace lw::cli {
namespace {

namespace fs = std::filesystem;

struct Step {
    std::string comment;  // lines before the command, as they are
    std::string command;
    std::vector<std::string> said;
    int status = 0;
};

std::vector<Step> read_transcript(const fs::path& file) {
    std::istringstream in{*files::read_file(file)};
    std::vector<Step> steps;
    std::string comment;
    for (std::string line; std::getline(in, line);) {
        if (line.rfind("$ ", 0) == 0) {
            steps.push_back({comment, line.substr(2), {}, -1});
            comment.clear();
        } else if (steps.empty() || steps.back().status >= 0) {
            comment += line + "\n";
        } else if (line.size() >= 3 && line.front() == '(' && line.back() == ')' &&
                   std::all_of(line.begin() + 1, line.end() - 1,
                               [](char c) { return c >= '0' && c <= '9'; })) {
            steps.back().status = std::stoi(line.substr(1));
        } else {
            steps.back().said.push_back(line);
        }
    }
    return steps;
}

/// Does a line fit a pattern in which `[..]` stands for anything?
bool fits(std::string_view pattern, std::string_view line) {
    const auto gap = pattern.find("[..]");
    if (gap == std::string_view::npos) return pattern == line;
    if (line.substr(0, gap) != pattern.substr(0, gap)) return false;
    line.remove_prefix(gap);
    pattern.remove_prefix(gap + 4);
    for (std::size_t skip = 0; skip <= line.size(); ++skip)
        if (fits(pattern, line.substr(skip))) return true;
    return false;
}

bool fits(const std::vector<std::string>& patterns, const std::vector<std::string>& lines) {
    return std::equal(patterns.begin(), patterns.end(), lines.begin(), lines.end(),
                      [](const auto& p, const auto& l) { return fits(p, l); });
}

Step run(const Step& wanted, const fs::path& folder) {
    const std::string program = std::string{LICKWRIGHT_BUILD_DIR};
    const std::string command = "cd '" + folder.string() + "' && PATH='" + program + "':\"$PATH\" && ( " +
                                wanted.command + " ) 2>&1 < /dev/null";
    Step seen{wanted.comment, wanted.command, {}, 0};
    FILE* pipe = ::popen(command.c_str(), "r");
    std::string all;
    char block[4096];
    while (const std::size_t got = std::fread(block, 1, sizeof block, pipe)) all.append(block, got);
    const int status = ::pclose(pipe);
    seen.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    std::istringstream lines{all};
    for (std::string line; std::getline(lines, line);) seen.said.push_back(line);
    return seen;
}

std::string text_of(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& l : lines) text += l + "\n";
    return text;
}

class Transcripts : public ::testing::TestWithParam<fs::path> {};

TEST_P(Transcripts, SaysWhatItSaid) {
    const fs::path home = fs::path{LICKWRIGHT_SOURCE_DIR} / "tests/cli";
    const fs::path folder = fs::temp_directory_path() / ("lickwright-cli-" + GetParam().stem().string());
    fs::remove_all(folder);
    fs::create_directories(folder);
    if (fs::exists(home / "files")) fs::copy(home / "files", folder, fs::copy_options::recursive);
    const auto steps = read_transcript(GetParam());
    ASSERT_FALSE(steps.empty());
    const bool bless = std::getenv("LICKWRIGHT_BLESS") != nullptr;
    std::string blessed;
    for (const Step& wanted : steps) {
        const Step seen = run(wanted, folder);
        const bool same = wanted.status == seen.status && fits(wanted.said, seen.said);
        if (bless) {
            blessed += wanted.comment + "$ " + wanted.command + "\n" +
                       text_of(same ? wanted.said : seen.said) + "(" + std::to_string(seen.status) + ")\n";
            continue;
        }
        EXPECT_EQ(wanted.status, seen.status) << "$ " << wanted.command << "\n" << text_of(seen.said);
        EXPECT_TRUE(fits(wanted.said, seen.said)) << "$ " << wanted.command << "\nwanted:\n"
                                                  << text_of(wanted.said) << "said:\n"
                                                  << text_of(seen.said);
    }
    if (bless) {
        ASSERT_TRUE(files::write_file_atomically(GetParam(), blessed));
    }
    fs::remove_all(folder);
}

std::vector<fs::path> all_transcripts() {
    std::vector<fs::path> all;
    for (const auto& e : fs::directory_iterator{fs::path{LICKWRIGHT_SOURCE_DIR} / "tests/cli/transcripts"})
        if (e.path().extension() == ".txt") all.push_back(e.path());
    std::sort(all.begin(), all.end());
    return all;
}

INSTANTIATE_TEST_SUITE_P(Cli, Transcripts, ::testing::ValuesIn(all_transcripts()), [](const auto& each) {
    std::string name = each.param.stem().string();
    std::replace_if(
        name.begin(), name.end(), [](char c) { return std::isalnum(static_cast<unsigned char>(c)) == 0; },
        '_');
    return name;
});

}  // namespace
}  // namespace lw::cli
