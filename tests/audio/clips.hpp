// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the audio tests share: clips of the voice, files on disk, and other people's programs to judge them.
#pragma once

#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <string>
#include <vector>

#include "engine/sound/mix.hpp"
#include "tests/sound/licks.hpp"

namespace lw::test {

inline lick::Lick phrase(const char* harp = "C", double tempo = 96.0) {
    using harp::Breath;
    lick::Tab octave = tab(1, Breath::draw);
    octave.holes = {1, 4};
    return lick_of(
        {bar({rest(0, 1), note(1, {1, 3}, tab(2, Breath::draw)),
              note({4, 3}, {1, 3}, tab(3, Breath::draw, 1)), note({5, 3}, {1, 3}, tab(4, Breath::blow)),
              note(2, 1, tab(4, Breath::draw, 1)), note(3, 1, tab(4, Breath::draw), lick::Start::joined)}),
         bar({with(note(0, 2, tab(3, Breath::draw)), lick::Gesture::vibrato), note(2, 2, octave)})},
        harp, tempo);
}

inline sound::Clip clip_of(const lick::Lick& lick, const sound::Choices& choices = {}) {
    return sound::render_clip(lick.head.harp, sound::perform(lick, choices));
}

/// A file that is gone when the test is.
class TempFile {
  public:
    TempFile(const std::string& name, const std::vector<std::uint8_t>& bytes)
        : path_(testing::TempDir() + "lickwright-" +
                std::to_string(::testing::UnitTest::GetInstance()->random_seed()) + "-" +
                std::to_string(reinterpret_cast<std::uintptr_t>(this)) + "-" + name) {
        std::ofstream out{path_, std::ios::binary};
        out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    }
    ~TempFile() { std::remove(path_.c_str()); }
    TempFile(const TempFile&) = delete;
    TempFile& operator=(const TempFile&) = delete;
    [[nodiscard]] const std::string& path() const noexcept { return path_; }

  private:
    std::string path_;
};

struct Ran {
    int status = -1;
    std::string output;  // both streams
};

inline Ran run(const std::string& command) {
    Ran ran;
    FILE* pipe = popen((command + " 2>&1").c_str(), "r");
    if (pipe == nullptr) return ran;
    std::array<char, 65536> part;
    while (const std::size_t n = std::fread(part.data(), 1, part.size(), pipe))
        ran.output.append(part.data(), n);
    ran.status = pclose(pipe);
    return ran;
}

}  // namespace lw::test
