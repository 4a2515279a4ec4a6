// SPDX-License-Identifier: GPL-3.0-or-later
//
// Programs that are not ours, as judges of our files. One that is missing fails the test and says how to get it.
#pragma once

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace lw::test {

/// A folder of the test's own, emptied at its start.
class Folder {
  public:
    Folder() {
        const auto* test = ::testing::UnitTest::GetInstance()->current_test_info();
        path_ = std::filesystem::path(LICKWRIGHT_BUILD_DIR) / "test-files" /
                (std::string(test->test_suite_name()) + "." + test->name());
        std::filesystem::remove_all(path_);
        std::filesystem::create_directories(path_);
    }
    std::string operator/(const std::string& name) const { return (path_ / name).string(); }
    std::string write(const std::string& name, const std::string& bytes) const {
        std::ofstream(path_ / name, std::ios::binary) << bytes;
        return *this / name;
    }

  private:
    std::filesystem::path path_;
};

inline std::string read_bytes(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

struct Said {
    int status = -1;
    std::string words;  // standard output and standard error
};

/// Runs a command line of a POSIX shell. Status 127 (no such program) fails the test with the remedy.
inline Said run(const std::string& command) {
    Said said;
    FILE* pipe = popen(("( " + command + " ) 2>&1").c_str(), "r");
    if (pipe == nullptr) {
        ADD_FAILURE() << "no shell for: " << command;
        return said;
    }
    char buffer[4096];
    for (std::size_t n; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) said.words.append(buffer, n);
    const int status = pclose(pipe);
    said.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    EXPECT_NE(said.status, 127) << "A program this test needs is missing: " << said.words
                                << "Run tools/setup --tests; it installs all of them.";
    return said;
}

}  // namespace lw::test
