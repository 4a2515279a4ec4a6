// SPDX-License-Identifier: GPL-3.0-or-later
//
// Layout and SVG of a thousand licks of 4 to 16 bars. Cairo's own SVG surface is no peer for it (it draws, it
// does not lay out), so the second row shows how the time parts: layout alone against layout with SVG.
#include <benchmark/benchmark.h>

#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/svg.hpp"
#include "tests/support/random_lick.hpp"

namespace {

using namespace lw;

const std::vector<lick::Lick>& licks() {
    static const std::vector<lick::Lick> made = [] {
        std::vector<lick::Lick> all;
        for (std::uint64_t seed = 0; seed < 1000; ++seed) all.push_back(support::random_lick(seed));
        return all;
    }();
    return made;
}

draw::LineChoices page_wide() {
    draw::LineChoices choices;
    choices.width = 511.0;  // A4 between its margins
    return choices;
}

void layout_of_1000_licks(benchmark::State& state) {
    const auto& all = licks();
    for (auto _ : state) {
        std::size_t commands = 0;
        for (const lick::Lick& lick : all) commands += draw::breath_line(lick, page_wide()).commands.size();
        state.counters["commands"] = static_cast<double>(commands);
    }
}
BENCHMARK(layout_of_1000_licks)->Unit(benchmark::kMillisecond);

void layout_and_svg_of_1000_licks(benchmark::State& state) {
    const auto& all = licks();
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    for (auto _ : state) {
        std::size_t bytes = 0;
        for (const lick::Lick& lick : all)
            bytes += draw::svg(draw::breath_line(lick, page_wide()), theme).size();
        state.counters["MB"] = static_cast<double>(bytes) / 1e6;
    }
}
BENCHMARK(layout_and_svg_of_1000_licks)->Unit(benchmark::kMillisecond);

}  // namespace
