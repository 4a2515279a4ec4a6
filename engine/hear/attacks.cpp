// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/attacks.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {
namespace {

// Set on takes rich in gestures (bench/hear/hear_table -g) of the free reeds of two soundfonts, without the held-out ones:
// there the attacks of a reed are alike within 5 cents, and reeds up to three semitones apart mostly share a recording.
constexpr double near_semitones = 2.5;
// What may have been scooped counts for less than what cannot be, and both against nothing unusual.
constexpr float of_reeds_that_bend = 0.5F;
constexpr float prior = 0.2F;  // attacks that begin where they settle
// No recording of a reed that we know starts further off; more is the player's doing, even in every note.
constexpr float most = 0.35F;        // semitones
constexpr float far_away = 0.02F;    // weight that is none
constexpr float lowest_bin = -0.6F;  // semitones

}  // namespace

Attacks::Attacks(const std::optional<harp::Harp>& harp) noexcept {
    if (!harp) return;
    const auto reed_of = [](int i) {
        return harp::Reed{i / 2 + 1, i % 2 == 0 ? harp::Breath::blow : harp::Breath::draw};
    };
    for (int of = 0; of < reeds; ++of)
        for (int by = 0; by < reeds; ++by) {
            const double apart =
                (harp::made_for(*harp, reed_of(of)) - harp::made_for(*harp, reed_of(by))).value /
                near_semitones;
            const bool bends = harp::bending_breath(*harp, reed_of(by).hole) == reed_of(by).breath;
            const float near =
                static_cast<float>(std::exp(-apart * apart)) * (bends ? of_reeds_that_bend : 1.0F);
            weight_[static_cast<std::size_t>(of)][static_cast<std::size_t>(by)] =
                near > far_away ? near : 0.0F;
        }
}

int Attacks::bin_of(float below) noexcept {
    return std::clamp(static_cast<int>(std::lround((below - lowest_bin) * 50.0F)), 0, bins - 1);
}

float Attacks::below_of(int bin) noexcept {
    return lowest_bin + static_cast<float>(bin) / 50.0F;
}

void Attacks::heard(int reed, float below) noexcept {
    if (!knows_all_) ++heard_[static_cast<std::size_t>(reed)][static_cast<std::size_t>(bin_of(below))];
}

/// Where the attack that is judged was counted: hearing it again may move it a little. -1 if there was none.
int Attacks::nearest_heard(int reed, int bin) const noexcept {
    const auto& row = heard_[static_cast<std::size_t>(reed)];
    int best = -1;
    for (int i = 0; i < bins; ++i)
        if (row[static_cast<std::size_t>(i)] > 0 && (best < 0 || std::abs(i - bin) < std::abs(best - bin)))
            best = i;
    return best;
}

float Attacks::usual(int reed, float below) const noexcept {
    const int itself = knows_all_ ? nearest_heard(reed, bin_of(below)) : -1;
    std::array<float, bins> sum{};
    const auto& weight = weight_[static_cast<std::size_t>(reed)];
    for (std::size_t by = 0; by < heard_.size(); ++by) {
        if (weight[by] == 0.0F) continue;
        for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += weight[by] * static_cast<float>(heard_[by][i]);
    }
    if (itself >= 0) sum[static_cast<std::size_t>(itself)] -= weight[static_cast<std::size_t>(reed)];
    sum[static_cast<std::size_t>(bin_of(0.0F))] += prior;
    float half = 0.0F;
    for (const float s : sum) half += 0.5F * s;
    int bin = 0;
    while (bin < bins - 1 && (half -= sum[static_cast<std::size_t>(bin)]) > 0.0F) ++bin;
    return std::clamp(below_of(bin), -most, most);
}

}  // namespace lw::hear
