// SPDX-License-Identifier: GPL-3.0-or-later
//
// score_takes FOLDER: takes of real players, scored by the measures of hear_table. Beside each NAME.wav stands what was
// played, written by hand: NAME.txt, a label track with times (tests/hear/listening/labels.hpp), or NAME.lick, which has
// none; then only the order of the notes is scored.
#include <sndfile.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>

#include "bench/hear/table.hpp"
#include "tests/hear/listening/labels.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

struct Sound {
    std::vector<float> samples;  // channels added up
    double rate = 0.0;
};

std::optional<Sound> read_sound(const std::filesystem::path& path) {
    SF_INFO info{};
    SNDFILE* file = sf_open(path.c_str(), SFM_READ, &info);
    if (file == nullptr) return std::nullopt;
    const auto channels = static_cast<std::size_t>(info.channels);
    std::vector<float> all(static_cast<std::size_t>(info.frames) * channels);
    const sf_count_t got = sf_readf_float(file, all.data(), info.frames);
    sf_close(file);
    Sound sound{.samples = std::vector<float>(static_cast<std::size_t>(std::max<sf_count_t>(0, got))),
                .rate = static_cast<double>(info.samplerate)};
    for (std::size_t i = 0; i < sound.samples.size(); ++i) {
        for (std::size_t c = 0; c < channels; ++c) sound.samples[i] += all[i * channels + c];
        sound.samples[i] /= static_cast<float>(channels);
    }
    return sound;
}

std::string read_text(const std::filesystem::path& path) {
    std::ifstream in{path, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

int score_folder(const std::filesystem::path& folder, bool side_by_side) {
    std::vector<std::filesystem::path> sounds;
    std::error_code failed;
    for (const auto& entry : std::filesystem::directory_iterator{folder, failed})
        if (entry.path().extension() == ".wav") sounds.push_back(entry.path());
    if (failed || sounds.empty()) {
        std::fprintf(stderr, "score_takes: no .wav file in %s\n", folder.c_str());
        return 2;
    }
    std::sort(sounds.begin(), sounds.end());

    Score timed{};
    Score ordered{};
    bench::print_head();
    for (const std::filesystem::path& path : sounds) {
        std::filesystem::path labels = path;
        labels.replace_extension(".txt");
        std::filesystem::path lick = path;
        lick.replace_extension(".lick");
        const bool has_times = std::filesystem::exists(labels);
        const std::filesystem::path& by_hand = has_times ? labels : lick;
        if (!std::filesystem::exists(by_hand)) {
            std::fprintf(stderr, "score_takes: %s has neither %s nor %s beside it\n", path.c_str(),
                         labels.filename().c_str(), lick.filename().c_str());
            return 1;
        }
        const auto truth = has_times ? read_labels(read_text(by_hand)) : truth_of_lick(read_text(by_hand));
        if (!truth) {
            std::fprintf(stderr, "score_takes: %s: %s\n", by_hand.c_str(), truth.error().c_str());
            return 1;
        }
        const auto sound = read_sound(path);
        if (!sound) {
            std::fprintf(stderr, "score_takes: %s: %s\n", path.c_str(), sf_strerror(nullptr));
            return 2;
        }

        const hear::Heard heard =
            hear::listen(sound->samples, sound->rate, {.harp = truth->harp, .a4 = {}, .reeds = {}});
        const Seconds length{static_cast<double>(sound->samples.size()) / sound->rate};
        const Score one = has_times ? score(truth->harp, truth->truth, heard, length)
                                    : score_in_order(truth->harp, truth->truth, heard.notes);
        (has_times ? timed : ordered) += one;
        bench::print_row(path.stem().string(), has_times ? "labels" : "order only", one, 0.0);
        if (side_by_side && has_times) bench::print_side_by_side(truth->harp, truth->truth, heard);
    }
    if (timed.takes > 0) {
        bench::print_row("all", "labels", timed, 0.0);
        bench::print_errors("all", timed);
        bench::print_kinds(timed);
        bench::print_reliability(timed);
    }
    if (ordered.takes > 0) bench::print_row("all", "order only", ordered, 0.0);
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{
        "Takes of real players, scored: each NAME.wav with NAME.txt (a label track) or NAME.lick beside it"};
    std::string folder;
    bool side_by_side = false;
    app.add_option("folder", folder, "Where the takes are")->required();
    app.add_flag("-v", side_by_side, "Truth and answer side by side");
    CLI11_PARSE(app, argc, argv);
    return score_folder(folder, side_by_side);
}
