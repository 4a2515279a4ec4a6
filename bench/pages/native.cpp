// SPDX-License-Identifier: GPL-3.0-or-later
//
// The native side of speed.mjs: the same questions to the same binding, compiled for this machine.
//
//     bench_pages xml FOLDER       beside each NAME.lick of the folder NAME.musicxml, and NAME.f32, its sound to listen to
//     bench_pages time FOLDER N    N rounds over all licks: one JSON object of milliseconds of this
//                              process's own time, so that a busy machine says the same; the median round of each task
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>
#include <vector>

#include "bench/pages/music_xml.hpp"
#include "engine/text/text.hpp"
#include "wasm/answers.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lw;

std::string read(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>{in}, {}};
}

std::vector<fs::path> licks_of(const fs::path& folder) {
    std::vector<fs::path> licks;
    for (const auto& entry : fs::directory_iterator{folder})
        if (entry.path().extension() == ".lick") licks.push_back(entry.path());
    std::sort(licks.begin(), licks.end());
    return licks;
}

/// Left of a clip's interleaved channels.
std::string one_channel(const std::string& clip) {
    std::string out;
    for (std::size_t at = 0; at + 8 <= clip.size(); at += 8) out.append(clip, at, 4);
    return out;
}

void write_cases(const fs::path& folder) {
    for (const fs::path& path : licks_of(folder)) {
        const std::string text = read(path);
        std::ofstream{fs::path{path}.replace_extension(".musicxml"), std::ios::binary}
            << bench::music_xml(text::read_lick(text).lick);
        std::ofstream{fs::path{path}.replace_extension(".f32"), std::ios::binary}
            << one_channel(binding::clip(text, {100, 1, false}).bytes);
    }
}

/// Sound and hearing take seconds a round; speed.mjs asks three times.
constexpr int slow_rounds = 1;

double median_ms(int rounds, const std::function<void()>& work) {
    std::vector<double> ms;
    for (int r = 0; r < 5 * rounds; ++r) work();  // as many to warm up as WebAssembly gets
    for (int r = 0; r < rounds; ++r) {
        const std::clock_t begin = std::clock();
        work();
        ms.push_back(1000.0 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
    }
    std::sort(ms.begin(), ms.end());
    return ms[ms.size() / 2];
}

void time(const fs::path& folder, int rounds) {
    std::vector<std::string> licks, sounds;
    for (const fs::path& path : licks_of(folder)) {
        licks.push_back(read(path));
        sounds.push_back("\n" + read(fs::path{path}.replace_extension(".f32")));
    }
    std::size_t bytes = 0;
    const auto each = [&](const std::vector<std::string>& questions, const auto& ask) {
        return [&questions, &ask, &bytes] {
            for (const std::string& q : questions) bytes += ask(q).bytes.size();
        };
    };
    const auto drawn = [](const std::string& q) {
        return binding::picture("\n" + q, {760.0, 1.0, 0, false, "a"});
    };
    const auto staff = [](const std::string& q) {
        return binding::picture("\n" + q, {760.0, 1.0, 0, true, "a"});
    };
    const auto sounded = [](const std::string& q) { return binding::clip(q, {100, 1, true}); };
    const auto heard = [](const std::string& q) { return binding::heard(q, 48000.0); };
    const double a = median_ms(rounds, each(licks, drawn)), b = median_ms(rounds, each(licks, staff));
    const double c = median_ms(slow_rounds, each(licks, sounded));
    const double d = median_ms(slow_rounds, each(sounds, heard));
    std::printf(
        "{\"drawing\": %.4f, \"drawing with a staff\": %.4f, \"sounding\": %.3f, \"listening\": %.3f, "
        "\"bytes\": %zu}\n",
        a, b, c, d, bytes);
}

}  // namespace

int main(int argc, char** argv) {
    const std::string task = argc > 2 ? argv[1] : "";
    if (task == "xml") {
        write_cases(argv[2]);
    } else if (task == "time" && argc > 3) {
        time(argv[2], std::max(1, std::atoi(argv[3])));
    } else {
        std::fputs("usage: bench_pages xml FOLDER | bench_pages time FOLDER ROUNDS\n", stderr);
        return 2;
    }
    return 0;
}
