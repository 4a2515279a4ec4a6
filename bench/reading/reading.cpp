// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading and checking 10,000 licks (4 to 16 bars, made by chance), and how long a plain copy of the same
// bytes takes in the same run.
//
//   build/check/bench/reading/bench_reading
#include <benchmark/benchmark.h>

#include <string>
#include <vector>

#include "engine/text/text.hpp"
#include "tests/support/random_lick.hpp"

namespace {

constexpr std::size_t lick_count = 10000;

const std::vector<std::string>& licks() {
    static const std::vector<std::string> all = [] {
        std::vector<std::string> texts;
        for (std::uint64_t seed = 0; seed < lick_count; ++seed)
            texts.push_back(lw::text::write_lick(lw::support::random_lick(seed)));
        return texts;
    }();
    return all;
}

void count_bytes(benchmark::State& state) {
    std::int64_t bytes = 0;
    for (const std::string& text : licks()) bytes += static_cast<std::int64_t>(text.size());
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) * bytes);
    state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations() * licks().size()));
}

void read_and_check_10000_licks(benchmark::State& state) {
    licks();
    for (auto _ : state) {
        for (const std::string& text : licks()) benchmark::DoNotOptimize(lw::text::read_lick(text));
    }
    count_bytes(state);
}
BENCHMARK(read_and_check_10000_licks)->Unit(benchmark::kMillisecond);

void copy_10000_licks(benchmark::State& state) {
    licks();
    for (auto _ : state) {
        for (const std::string& text : licks()) benchmark::DoNotOptimize(std::string{text});
    }
    count_bytes(state);
}
BENCHMARK(copy_10000_licks)->Unit(benchmark::kMillisecond);

}  // namespace
