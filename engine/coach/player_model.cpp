// SPDX-License-Identifier: Apache-2.0
//
// All numbers in this file: common practice, no source. They are chances up to a factor. What moves when one moves is
// seen in tests/coach/rank_harps_test.cpp and in the table of bench/hear.
#include "engine/coach/player_model.hpp"

#include <array>
#include <cmath>
#include <cstdlib>

namespace lw::coach {
namespace {

using harp::Breath;
using harp::HoleNote;

/// Holes 1 to 6 carry most phrases, around the draw notes of the middle; the top is for those who go there.
constexpr std::array<double, 10> hole_weight = {0.9, 1.15, 1.1, 1.15, 1.0, 0.95, 0.6, 0.55, 0.5, 0.4};

/// A bend against its plain note, by half steps. The bends of 2, 3 and 4 draw are everybody's.
double bend_weight(const HoleNote& n) noexcept {
    const bool easy = n.breath == Breath::draw && n.hole >= 2 && n.hole <= 4;
    const bool quarter = n.bend_quarter_steps % 2 != 0;
    if (quarter) return n.breath == Breath::draw && n.hole == 3 && n.bend_quarter_steps == 1 ? 0.25 : 0.02;
    switch (n.bend_quarter_steps / 2) {
        case 0:
            return 1.0;
        case 1:
            return easy ? 0.40 : 0.30;
        case 2:
            return easy ? 0.30 : 0.22;
        default:
            return 0.08;
    }
}
constexpr double overblow_weight = 0.012;
constexpr double overdraw_weight = 0.006;

/// Semitones above the tonic: 1 b2 2 b3 3 4 b5 5 b6 6 b7 7. Thirds and sevenths both ways, as in the blues.
constexpr std::array<double, 12> degree_weight = {1.48, 0.5,  1.0, 1.05, 1.1,  1.05,
                                                  0.77, 1.26, 0.5, 0.95, 1.14, 0.71};
/// A phrase begins and ends on the notes of the tonic chord most of all.
constexpr std::array<double, 12> first_weight = {1.41, 0.55, 0.89, 0.95, 1.05, 0.95,
                                                 0.71, 1.26, 0.63, 0.89, 0.95, 0.71};
constexpr std::array<double, 12> last_weight = {1.73, 0.45, 0.71, 0.71, 0.89, 0.71,
                                                0.5,  1.1,  0.45, 0.63, 0.77, 0.5};

constexpr std::array<double, 12> position_weight = {0.20,  0.58,  0.13,  0.02,  0.02,  0.003,
                                                    0.002, 0.002, 0.002, 0.003, 0.008, 0.03};

/// Each hole further is e^-0.9 = 0.41 times as likely ...
constexpr double hole_step = 0.9;
/// ... but lines move by step: the very next hole comes nearly as often as staying on the hole.
constexpr double next_hole = 1.8;
constexpr double turn_of_breath = 0.8;
/// From a bend to its own reed, or back, players mostly join; with a new attack it is rarer than other moves.
constexpr double same_reed = 0.7;
/// A join is a moving bend more often than a slide to the next hole.
constexpr double slide = 0.25;

}  // namespace

double PlayerModel::prior(int position) noexcept {
    return position_weight[static_cast<std::size_t>(position - 1)];
}

PlayerModel::PlayerModel(int position) {
    const harp::Harp harp;  // C; the walk is the same on every harp
    const Pitch base = harp::made_for(harp, {1, Breath::blow});
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        for (const Breath breath : {Breath::blow, Breath::draw})
            for (int quarters = 0; quarters <= 7; ++quarters)
                if (const auto p = harp::pitch(harp, HoleNote{hole, breath, quarters, false}))
                    notes_.push_back({{hole, breath, quarters, false},
                                      (*p - base).value,
                                      harp::bend_floor(harp, {hole, breath}).value - 0.5 * quarters});
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        if (const auto over = harp::overbend(harp, hole))
            if (const auto p = harp::pitch(harp, *over)) notes_.push_back({*over, (*p - base).value, 0.0});

    const std::size_t n = notes_.size();
    const int tonic = 7 * (position - 1) % 12;
    std::vector<double> usual(n);
    std::vector<std::size_t> degree(n);
    for (std::size_t i = 0; i < n; ++i) {
        const HoleNote& note = notes_[i].note;
        const int above = static_cast<int>(std::lround(std::floor(notes_[i].above + 0.5))) - tonic;
        degree[i] = static_cast<std::size_t>(((above % 12) + 12) % 12);
        const double kind = !note.overbend                ? bend_weight(note)
                            : note.breath == Breath::blow ? overblow_weight
                                                          : overdraw_weight;
        usual[i] = hole_weight[static_cast<std::size_t>(note.hole - 1)] * kind * degree_weight[degree[i]];
    }
    first_.resize(n);
    last_.resize(n);
    next_.resize(n * n);
    joined_.resize(n * n);
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) sum += first_[i] = usual[i] * first_weight[degree[i]];
    for (double& f : first_) f /= sum;
    for (std::size_t i = 0; i < n; ++i) last_[i] = last_weight[degree[i]];
    for (std::size_t i = 0; i < n; ++i) {
        const HoleNote& a = notes_[i].note;
        double all = 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            const HoleNote& b = notes_[k].note;
            double w = usual[k] * std::exp(-hole_step * std::abs(a.hole - b.hole));
            if (std::abs(a.hole - b.hole) == 1) w *= next_hole;
            if (a.breath != b.breath) w *= turn_of_breath;
            if (i != k && a.hole == b.hole && a.breath == b.breath) w *= same_reed;
            all += next_[i * n + k] = w;
        }
        for (std::size_t k = 0; k < n; ++k) next_[i * n + k] /= all;
        all = 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            const HoleNote& b = notes_[k].note;
            const bool same_breath = a.breath == b.breath && a.overbend == b.overbend;
            const int apart = std::abs(a.hole - b.hole);
            const double w = !same_breath || i == k || apart > 1 ? 1e-4 : (apart == 1 ? slide : 1.0);
            all += joined_[i * n + k] = w * usual[k];
        }
        for (std::size_t k = 0; k < n; ++k) joined_[i * n + k] /= all;
    }
}

std::vector<harp::Harp> made_harps() {
    std::vector<harp::Harp> all;
    for (int key = 0; key < 12; ++key)
        for (const char* before : {"", "low ", "high "})
            if (const auto h =
                    harp::harp_named(std::string{before} + std::string{harp::name(harp::Key{key})}))
                all.push_back(*h);
    return all;
}

double prior(const harp::Harp& harp) noexcept {
    // C A D G F Bb E hang on most walls; flats and F# less. Low harps are fewer, high G is rare.
    constexpr std::array<double, 12> key = {0.103, 0.065, 0.094, 0.071, 0.088, 0.088,
                                            0.059, 0.097, 0.071, 0.106, 0.094, 0.065};
    const double of_key = key[static_cast<std::size_t>(harp.key.pitch_class)];
    if (harp.octave == harp::Register::low) return 0.45 * of_key;
    if (harp.octave == harp::Register::high) return 0.4 * of_key;
    return of_key;
}

}  // namespace lw::coach
