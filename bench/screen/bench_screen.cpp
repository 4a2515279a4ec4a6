// SPDX-License-Identifier: GPL-3.0-or-later
//
// The on-screen layer against ffmpeg alone, encoding the same 300 raw frames of 1080p from an identical pipe.
//
// Both contenders write to the same encoder with the same arguments through the same kind of pipe. The first draws
// each frame before it writes it; the second writes frames that were drawn beforehand and lie in memory. 300 frames
// of 1080p are 2.5 GB, more than a small machine has: so the prepared frames are 30 in a row out of the middle of
// the lick (a note changes, the mark moves), sent ten times; the layer draws and sends the same 30 ten times as
// well, so both encoders see the same bytes. CPU is user and system time of this process and of ffmpeg. The two take
// turns, and the median of each is compared.
#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <span>
#include <vector>

#include "engine/sound/performance.hpp"
#include "engine/text/text.hpp"
#include "workshop/video/encoder.hpp"
#include "workshop/video/screen.hpp"

namespace {

using namespace lw;

constexpr std::string_view source = R"(title: Porch Light Walkdown
harp: C
position: 2
tempo: 92
feel: swing

chords | G7                  | D7 - G7 -                  | G7 - D7 -                       |
tab    | . (2d 3d' 4b) 4d' >4d | (4d 3d') >3d . 2d{vibrato} | (2d 2d'') (1d 1b 1+4b) 2d'' >2d |
)";

constexpr int all_frames = 300;
constexpr int prepared = 30;
constexpr int first_frame = 120;

struct Cost {
    double wall = 0.0;
    double cpu = 0.0;
};

double seconds(const timeval& t) {
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) * 1e-6;
}

double cpu_so_far() {
    double sum = 0.0;
    for (const int who : {RUSAGE_SELF, RUSAGE_CHILDREN}) {
        rusage usage{};
        ::getrusage(who, &usage);
        sum += seconds(usage.ru_utime) + seconds(usage.ru_stime);
    }
    return sum;
}

template <class Work>
Cost measured(Work work) {
    const auto begin = std::chrono::steady_clock::now();
    const double cpu = cpu_so_far();
    work();
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count(),
            cpu_so_far() - cpu};
}

[[noreturn]] void give_up(const files::Trouble& trouble) {
    fmt::print(stderr, "{}\n{}\n", trouble.words, trouble.remedy);
    std::exit(1);
}

double median(std::vector<double> values) {
    std::nth_element(values.begin(), values.begin() + static_cast<long>(values.size() / 2), values.end());
    return values[values.size() / 2];
}

void compare(const char* name, text::ScreenChoice::Kind kind, int rounds, const files::Path& folder) {
    const text::LickReading reading = text::read_lick(source);
    const sound::Performance performance = sound::perform(reading.lick);
    video::Wishes wishes;
    wishes.choice = {text::ScreenChoice::Shape::landscape, kind, 1080, 30};
    const video::Film film{kind, 1920, 1080, 30};
    const files::Path target = folder / "bench";

    std::vector<std::vector<std::uint8_t>> frames;
    {
        video::OnScreen screen{reading.lick, performance, wishes};
        for (int n = 0; n < prepared; ++n) {
            const auto frame = screen.frame(first_frame + n);
            frames.emplace_back(frame.begin(), frame.end());
        }
    }
    const auto encode = [&](auto next) {
        auto encoder = video::Encoder::start(files::real_disk(), film, target);
        if (!encoder) give_up(encoder.error());
        for (int n = 0; n < all_frames; ++n)
            if (auto sent = encoder->write(next(n)); !sent) give_up(sent.error());
        if (auto done = encoder->finish(); !done) give_up(done.error());
    };
    std::vector<double> wall[2], cpu[2];
    for (int round = 0; round < rounds; ++round) {
        const Cost layer = measured([&] {
            video::OnScreen screen{reading.lick, performance, wishes};  // its set-up counts too
            encode([&](int n) { return screen.frame(first_frame + n % prepared); });
        });
        const Cost bare = measured([&] {
            encode([&](int n) -> std::span<const std::uint8_t> {
                return frames[static_cast<std::size_t>(n % prepared)];
            });
        });
        wall[0].push_back(layer.wall);
        wall[1].push_back(bare.wall);
        cpu[0].push_back(layer.cpu);
        cpu[1].push_back(bare.cpu);
    }
    std::filesystem::remove(target);
    fmt::print(
        "{:8} layer {:6.2f} s wall {:6.2f} s CPU | ffmpeg alone {:6.2f} s wall {:6.2f} s CPU | ratio {:.3f} "
        "wall {:.3f} CPU\n",
        name, median(wall[0]), median(cpu[0]), median(wall[1]), median(cpu[1]),
        median(wall[0]) / median(wall[1]), median(cpu[0]) / median(cpu[1]));
    std::fflush(stdout);  // minutes may pass until the next line
}

}  // namespace

int main(int argc, char** argv) {
    const int rounds = argc > 1 ? std::max(1, std::atoi(argv[1])) : 3;
    const files::Path folder = std::filesystem::temp_directory_path();
    fmt::print("300 frames of 1080p, {} round(s), median\n", rounds);
    compare("webm", text::ScreenChoice::Kind::webm, rounds, folder);
    compare("prores", text::ScreenChoice::Kind::prores, rounds, folder);
    compare("mp4", text::ScreenChoice::Kind::mp4, rounds, folder);
    return 0;
}
