// SPDX-License-Identifier: GPL-3.0-or-later
//
// Essentia runs in node, in a process of its own: sound out as raw files, lines of JSON back.
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

#include "bench/hear/contender.hpp"

namespace lw::bench {
namespace {

using listening::Take;

constexpr Seconds late{0.020};

/// A folder that goes when it is no longer needed.
class Folder {
  public:
    Folder() : path_(std::filesystem::temp_directory_path() / ("hear_table." + std::to_string(::getpid()))) {
        std::filesystem::create_directories(path_);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }

  private:
    std::filesystem::path path_;
};

std::string run(const std::string& command) {
    std::FILE* pipe = ::popen(command.c_str(), "r");
    if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
    std::string words;
    std::array<char, 65536> block{};
    while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe))
        words.append(block.data(), got);
    if (::pclose(pipe) != 0) throw std::runtime_error("failed: " + command);
    return words;
}

Track track_of(const nlohmann::json& json) {
    Track track;
    const double hop = json.at("hop");
    for (const double hz : json.at("pitches"))
        track.frames.push_back({{hop * static_cast<double>(track.frames.size())}, {hz}});
    for (const double at : json.at("onsets")) track.onsets.push_back({at});
    return track;
}

class Essentia final : public Contender {
  public:
    std::string name() const override { return "essentia"; }
    Seconds spent() const override { return {}; }

    std::vector<hear::Heard> hear(std::span<const Take> takes) override {
        const Folder folder;
        const std::filesystem::path list = folder.path() / "list";
        {
            std::ofstream lines{list};
            for (std::size_t i = 0; i < takes.size(); ++i) {
                const std::filesystem::path sound = folder.path() / (std::to_string(i) + ".f32");
                std::ofstream{sound, std::ios::binary}.write(
                    reinterpret_cast<const char*>(takes[i].samples.data()),
                    std::ssize(takes[i].samples) * static_cast<std::streamsize>(sizeof(float)));
                lines << sound.string() << '\n';
            }
        }
        std::istringstream answers{run(std::string{NODE} +
                                       " '" LICKWRIGHT_SOURCE_DIR "/bench/hear/essentia.cjs' '" +
                                       list.string() + "'")};
        std::vector<hear::Heard> all;
        for (std::string line; std::getline(answers, line);)
            all.push_back(
                notes_of_track(track_of(nlohmann::json::parse(line)), takes[all.size()].phrase.harp, late));
        if (all.size() != takes.size()) throw std::runtime_error("essentia.cjs answered for too few files");
        return all;
    }
};

}  // namespace

std::unique_ptr<Contender> essentia_ear() {
    if (!std::filesystem::exists(LICKWRIGHT_SOURCE_DIR "/node_modules/essentia.js")) return nullptr;
    return std::make_unique<Essentia>();
}

}  // namespace lw::bench
