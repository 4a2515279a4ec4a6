// SPDX-License-Identifier: GPL-3.0-or-later
//
// Independent readers, run as programs: files out, their words back.
#pragma once

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

namespace lw::outside {

/// A folder of this test alone, empty at its start.
inline std::filesystem::path fresh_folder(const std::string& name) {
    const std::filesystem::path folder = std::filesystem::path{LICKWRIGHT_BUILD_DIR} / "test-files" / name;
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    return folder;
}

inline void write(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream{file, std::ios::binary} << bytes;
}

/// What a command prints; the test fails when its exit status is not 0.
inline std::string run(const std::string& command) {
    std::FILE* pipe = ::popen(command.c_str(), "r");
    if (pipe == nullptr) {
        ADD_FAILURE() << "cannot run " << command;
        return {};
    }
    std::string words;
    std::array<char, 65536> block{};
    while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe))
        words.append(block.data(), got);
    const int status = ::pclose(pipe);
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << command << "\n" << words;
    return words;
}

/// One JSON value a line, as the scripts beside this file print them.
inline std::vector<nlohmann::json> run_node(const std::string& script,
                                            const std::vector<std::filesystem::path>& files) {
    std::string command = std::string{NODE} + " " + LICKWRIGHT_SOURCE_DIR + "/tests/exchange/" + script;
    for (const auto& file : files) command += " '" + file.string() + "'";
    std::istringstream lines{run(command)};
    std::vector<nlohmann::json> values;
    for (std::string line; std::getline(lines, line);) values.push_back(nlohmann::json::parse(line));
    EXPECT_EQ(values.size(), files.size());
    return values;
}

}  // namespace lw::outside
