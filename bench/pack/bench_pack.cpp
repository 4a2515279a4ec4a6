// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a pack costs beside its encoders. Contender: the pack of the demo lesson, made whole, without films (their cost is
// bench/screen's). Rival: libsndfile's encoders alone, fed the same samples with the same settings (MP3 by LAME, V2). CPU
// seconds of all threads, in one run. Then one lick is changed and the pack made again.
#include <fmt/format.h>
#include <sys/resource.h>

#include <chrono>
#include <filesystem>

#include "engine/sound/mix.hpp"
#include "workshop/pack/plan.hpp"

namespace {

using namespace lw;

double cpu_seconds() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

std::shared_ptr<pack::Sources> demo(bool changed) {
    const std::filesystem::path folder = std::filesystem::path{LICKWRIGHT_SOURCE_DIR} / "lessons/demo";
    auto sources = std::make_shared<pack::Sources>();
    sources->house = text::read_house(*files::read_file(folder / "house.txt")).house;
    sources->look = *pack::look_of(sources->house, folder);
    std::string lesson = *files::read_file(folder / "lesson.md");
    if (changed) lesson.replace(lesson.find("2d{vibrato}"), 11, "2d{flutter}");
    sources->lesson = text::read_lesson(lesson, sources->house).lesson;
    sources->lesson.screens.clear();
    return sources;
}

/// CPU seconds that encoding alone takes for some licks' clips.
double encoding(const pack::Sources& sources, std::size_t first, std::size_t count) {
    double spent = 0.0;
    for (std::size_t i = first; i < first + count; ++i) {
        const text::LessonLick& l = sources.lesson.licks[i];
        for (const BeatsPerMinute tempo : pack::ladder_of(l)) {
            const sound::Clip clip = sound::render_clip(l.lick.head.harp, pack::clip_performance(l, tempo));
            const double before = cpu_seconds();
            for (const std::string& format : l.clips.formats)
                (void)pack::encoded(clip, *audio::format_named(format), {"t", "a", "l"});
            spent += cpu_seconds() - before;
        }
    }
    return spent;
}

struct Cost {
    double cpu;
    double wall;
};

Cost packing(const std::shared_ptr<pack::Sources>& sources, const std::filesystem::path& into) {
    const auto from = std::chrono::steady_clock::now();
    const double before = cpu_seconds();
    const std::atomic<bool> stop{false};
    const auto done = pack::make_pack(files::real_disk(), pack::plan_of(sources), into, {}, stop);
    if (!done) {
        fmt::print("{}\n", done.error().words);
        std::exit(1);
    }
    return {cpu_seconds() - before,
            std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count()};
}

}  // namespace

int main() {
    const auto into = std::filesystem::temp_directory_path() / "lickwright-bench-pack";
    const auto first = demo(false);
    const auto second = demo(true);
    const std::size_t licks = first->lesson.licks.size();
    fmt::print("demo lesson, {} licks, audio in {} formats each step, no films; CPU seconds\n", licks,
               first->lesson.licks.front().clips.formats.size());
    for (int round = 1; round <= 3; ++round) {
        std::filesystem::remove_all(into);
        const double encoders = encoding(*first, 0, licks);
        const Cost whole = packing(first, into);
        const double one = encoding(*second, 0, 1);
        const Cost changed = packing(second, into);
        fmt::print(
            "round {}: pack {:.2f}, encoders alone {:.2f}, ratio {:.2f}; one lick changed: {:.2f} cpu, "
            "{:.2f} wall, of it encoding {:.2f}\n",
            round, whole.cpu, encoders, whole.cpu / encoders, changed.cpu, changed.wall, one);
    }
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    fmt::print("largest memory: {} MB\n", usage.ru_maxrss / 1024);
    std::filesystem::remove_all(into);
    return 0;
}
