// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "bench/sound/contenders.hpp"
#include "engine/sound/loudness.hpp"
#include "engine/sound/mix.hpp"
#include "engine/sound/performance.hpp"

namespace {

double cpu_seconds() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

template <class Work>
double timed(Work work) {
    const double begin = cpu_seconds();
    work();
    return cpu_seconds() - begin;
}

}  // namespace

int main() {
    using namespace lw;
    const lick::Lick lick = bench::phrase();
    const sound::Performance performance = sound::perform(lick, {.count_in = false, .click_through = false});
    const auto ours = bench::our_voice(lick);
    const auto theirs = bench::fluidsynth(lick);
    if (theirs == nullptr) return 1;
    if (ours->render() < 0.05F || theirs->render() < 0.005F) {  // warm up, and nobody may be silent
        std::fprintf(stderr, "bench_sound: a contender rendered silence\n");
        return 1;
    }
    // Turn about, so that a busy machine is as hard on both; the quickest round of each counts.
    constexpr int rounds = 25;
    std::vector<double> our_times;
    std::vector<double> their_times;
    for (int i = 0; i < rounds; ++i) {
        our_times.push_back(timed([&] { ours->render(); }));
        their_times.push_back(timed([&] { theirs->render(); }));
    }
    const double seconds = performance.length.value;
    const double best_ours = *std::min_element(our_times.begin(), our_times.end());
    const double best_theirs = *std::min_element(their_times.begin(), their_times.end());
    std::printf("phrase of %.2f s, 48 kHz, compiler %s, best of %d rounds, CPU seconds\n", seconds,
                __VERSION__, rounds);
    std::printf("reed voice   %.5f s  %6.0f times real time (wanted: 100)\n", best_ours, seconds / best_ours);
    std::printf("FluidSynth   %.5f s  %6.0f times real time\n", best_theirs, seconds / best_theirs);
    std::printf("ratio FluidSynth / reed voice: %.2f (wanted: at least 1)\n", best_theirs / best_ours);

    const sound::ReedTables tables;
    const sound::Performance with_count = sound::perform(lick);
    double best_clip = 1e9;
    for (int i = 0; i < 5; ++i) {
        best_clip = std::min(best_clip, timed([&] {
                                 const auto clip = sound::render_clip(tables, lick.head.harp, with_count);
                                 if (clip.samples.empty()) std::abort();
                             }));
    }
    std::printf("whole clip (voice, room, clicks, loudness, true peak): %.0f times real time\n",
                with_count.length.value / best_clip);
    const bool fast_enough = best_theirs >= best_ours && seconds / best_ours >= 100.0;
    return fast_enough ? 0 : 1;
}
