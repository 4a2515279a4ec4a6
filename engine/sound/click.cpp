// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/click.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace lw::sound {
namespace {

// Our own choice, common practice, no source. Two pitches a fifth apart are told from each other on a phone's
// speaker, which gives little below 500 Hz; the partials fit no harmonic row, so that no learner tunes to
// them.
constexpr Hz low_knock{1180.0};
constexpr Hz high_knock{1770.0};
struct Partial {
    double ratio;
    double level;
    double seconds;  // to fall to 1/e
};
constexpr std::array partials = {Partial{1.0, 1.0, 0.0085}, Partial{1.73, 0.55, 0.0060},
                                 Partial{2.89, 0.35, 0.0035}};
constexpr Seconds rise{0.0003};
constexpr Seconds gone{0.060};

}  // namespace

std::vector<float> click_sound(bool first_of_bar, Hz rate) {
    const Hz knock = first_of_bar ? high_knock : low_knock;
    std::vector<float> out(static_cast<std::size_t>(gone.value * rate.value));
    const double end = static_cast<double>(out.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / rate.value;
        double x = 0.0;
        for (const Partial& p : partials) {
            x += p.level * std::exp(-t / p.seconds) *
                 std::sin(2.0 * std::numbers::pi * knock.value * p.ratio * t);
        }
        const double up = std::min(1.0, t / rise.value);
        const double down = std::min(1.0, (end - static_cast<double>(i)) / (0.01 * rate.value));
        out[i] = static_cast<float>(x * up * down);
    }
    return out;
}

double click_level(const Click& click) noexcept {
    const double place = click.count_in ? 0.235 : 0.13;
    return click.first_of_bar ? place * 1.15 : place;
}

}  // namespace lw::sound
