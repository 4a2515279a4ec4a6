// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/blowing.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/sound/habits.hpp"
#include "engine/sound/voicing.hpp"

namespace lw::sound {
namespace {

using lick::Gesture;

constexpr double two_pi = 2.0 * std::numbers::pi;

/// 32 well mixed bits from a number; the same everywhere. (Finaliser of MurmurHash3 by A. Appleby, public
/// domain, from memory; only its evenness matters here.)
std::uint32_t mixed(std::uint32_t x) noexcept {
    x ^= x >> 16;
    x *= 0x85ebca6bU;
    x ^= x >> 13;
    x *= 0xc2b2ae35U;
    x ^= x >> 16;
    return x;
}
/// A slow, smooth wander through -1..1.
double wander(std::uint32_t seed, double x) noexcept {
    const double whole = std::floor(x);
    const double part = x - whole;
    const auto step = static_cast<std::uint32_t>(static_cast<std::int64_t>(whole));
    const double a = scattered(seed * 7919U + step);
    const double b = scattered(seed * 7919U + step + 1U);
    return a + (b - a) * part * part * (3.0 - 2.0 * part);
}

/// The rise of a reed: exponential growth out of the noise that flattens at its full swing. 0..1 over 1.82
/// times the 10 to 90 % time.
double spoken(double x) noexcept {
    if (x <= 0.0) return 0.0;
    if (x >= 1.0) return 1.0;
    constexpr double steep = 8.0;
    const auto logistic = [](double u) { return 1.0 / (1.0 + std::exp(-steep * (u - 0.5))); };
    const double low = logistic(0.0);
    return (logistic(x) - low) / (1.0 - 2.0 * low);
}
constexpr double rise_stretch = 1.82;

double gesture_on_breath(Gesture gesture, const SoundedNote& note, Seconds from, Seconds at) noexcept {
    switch (gesture) {
        case Gesture::vibrato: {
            const Seconds begin = from + (from > note.onset ? Seconds{} : habits::vibrato_delay);
            const double since = (at - begin).value;
            if (since <= 0.0) return 1.0;
            const double grown = std::min(1.0, since / habits::vibrato_growth.value);
            return 1.0 - voicing::vibrato_breath * grown *
                             (0.5 - 0.5 * std::cos(two_pi * habits::vibrato_rate.value * since));
        }
        case Gesture::flutter: {
            const double since = (at - from).value;
            if (since <= 0.0) return 1.0;
            return 1.0 - voicing::flutter_breath *
                             (0.5 - 0.5 * std::cos(two_pi * voicing::flutter_rate.value * since));
        }
        case Gesture::fall: {
            const Seconds begin =
                note.offset - std::min(habits::fall_time, (note.offset - note.onset) * habits::most_of_note);
            const double x = std::clamp((at - begin) / (note.offset - begin), 0.0, 1.0);
            return 1.0 - voicing::fall_fade * x * x;
        }
        default:
            return 1.0;
    }
}

}  // namespace

double scattered(std::uint32_t x) noexcept {
    return mixed(x) / 2147483648.0 - 1.0;
}

double breath(const Strand& strand, std::uint32_t seed, const SoundedNote& note, Seconds at) noexcept {
    const double since = std::max(0.0, (at - strand.start).value);
    const double whole = std::max(0.05, (strand.end - strand.start).value);
    const double x = std::min(1.0, since / whole);
    // Short notes have no time to swell.
    const double held = std::min(1.0, whole / 0.8);
    double p = note.strength;
    // After eight time constants a push is 0.03 % of itself.
    if (since < 8.0 * voicing::push_time.value) {
        p *= 1.0 + voicing::push * std::exp(-since / voicing::push_time.value);
    }
    p *= 1.0 + held * voicing::swell * (std::sin(std::numbers::pi * std::sqrt(x)) - 0.5);
    p *= 1.0 + voicing::uneven * wander(seed, since * voicing::uneven_rate.value);
    for (std::size_t i = 0; i < note.ornaments.size(); ++i) {
        p *= gesture_on_breath(note.ornaments[i].ornament.gesture, note, note.ornament_starts[i], at);
    }
    return std::max(p, 0.0);
}

double opening(const Strand& strand, Seconds at) noexcept {
    double g = 1.0;
    const double since = (at - strand.start).value;
    if (strand.begin == Strand::Begin::attack) {
        g = spoken(since / (strand.rise.value * rise_stretch));
    } else {
        const double x = std::clamp(since / strand.rise.value, 0.0, 1.0);
        g = std::sin(0.5 * std::numbers::pi * x);
    }
    if (at > strand.end) {
        const double x = std::min(1.0, (at - strand.end) / strand.fade);
        g *= (1.0 - x) * (1.0 - x);
    }
    if (strand.shake != 0 && at > strand.shake_from) {
        const double turn = std::cos(two_pi * voicing::shake_rate.value * (at - strand.shake_from).value);
        // Moved quickly and held, not swung evenly: the head rests on each hole.
        const double here = std::clamp(0.5 + 0.9 * turn, 0.0, 1.0);
        g *= strand.shake == 1 ? here : 1.0 - here;
    }
    return g;
}

}  // namespace lw::sound
