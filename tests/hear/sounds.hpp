// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sounds for the tests of the ear: licks through the project's own reed voice, and things that are no harp.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/sound/reed_voice.hpp"
#include "engine/text/text.hpp"

namespace lw::test {

struct Played {
    sound::Performance performance;
    std::vector<float> samples;
    harp::Harp harp;
};

/// A lick in text, at `rate`, with silence before it.
inline Played play(std::string_view text, double rate = 48000.0, double silence_s = 0.3,
                   Hz a4 = harp::concert_a4) {
    const text::LickReading reading = text::read_lick(text);
    Played p;
    p.harp = reading.lick.head.harp;
    p.harp.a4 = a4;
    sound::Choices choices;
    choices.count_in = false;
    choices.click_through = false;
    p.performance = sound::perform(reading.lick, choices);
    static const sound::ReedTables tables;
    p.samples.assign(static_cast<std::size_t>(silence_s * rate), 0.0F);
    const std::vector<float> voice = sound::render_voice(tables, p.harp, p.performance, Hz{rate});
    p.samples.insert(p.samples.end(), voice.begin(), voice.end());
    for (sound::SoundedNote& n : p.performance.notes) {
        n.onset += Seconds{silence_s};
        n.offset += Seconds{silence_s};
    }
    return p;
}

/// The same numbers every time (xorshift; Marsaglia, Journal of Statistical Software 8(14), 2003, from memory).
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 1) {}
    std::uint64_t next() {
        state_ ^= state_ << 13;
        state_ ^= state_ >> 7;
        state_ ^= state_ << 17;
        return state_;
    }
    /// -1 to 1.
    float sample() {
        return static_cast<float>(static_cast<double>(next() >> 11) / 4503599627370496.0 - 1.0);
    }
    int below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }

  private:
    std::uint64_t state_;
};

inline std::vector<float> white_noise(double seconds, double rate, float level, std::uint64_t seed = 1) {
    Chance chance(seed);
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    for (float& v : x) v = level * chance.sample();
    return x;
}

/// Like talk: a buzz that glides between 95 and 160 Hz through three moving resonances, in syllables with gaps and
/// hisses. Rates and formants are those of textbooks (from memory).
inline std::vector<float> talk(double seconds, double rate, std::uint64_t seed = 7) {
    Chance chance(seed);
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    double phase = 0.0;
    double y[3][2] = {};
    double pitch = 120.0, target = 120.0;
    double formant[3] = {500.0, 1500.0, 2500.0}, aim[3] = {500.0, 1500.0, 2500.0};
    double loud = 0.0, want = 0.0;
    bool hiss = false;
    double until = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        if (t >= until) {
            until = t + 0.06 + 0.14 * (0.5 + 0.5 * static_cast<double>(chance.sample()));
            target = 95.0 + 65.0 * (0.5 + 0.5 * static_cast<double>(chance.sample()));
            aim[0] = 300.0 + 500.0 * (0.5 + 0.5 * static_cast<double>(chance.sample()));
            aim[1] = 900.0 + 1300.0 * (0.5 + 0.5 * static_cast<double>(chance.sample()));
            aim[2] = 2300.0 + 700.0 * (0.5 + 0.5 * static_cast<double>(chance.sample()));
            want = chance.below(4) == 0 ? 0.0 : 1.0;
            hiss = chance.below(4) == 0;
        }
        const double ease = 1.0 / (0.03 * rate);
        pitch += (target - pitch) * ease;
        loud += (want - loud) * 3.0 * ease;
        phase += pitch / rate;
        double source = 0.0;
        if (phase >= 1.0) {
            phase -= 1.0;
            source = 1.0;
        }
        if (hiss) source = 0.08 * static_cast<double>(chance.sample());
        double out = source;
        for (int k = 0; k < 3; ++k) {
            formant[k] += (aim[k] - formant[k]) * ease;
            const double r = std::exp(-std::numbers::pi * 90.0 / rate);
            const double c = 2.0 * r * std::cos(2.0 * std::numbers::pi * formant[k] / rate);
            const double v = out + c * y[k][0] - r * r * y[k][1];
            y[k][1] = y[k][0];
            y[k][0] = v;
            out = v * (1.0 - r);
        }
        x[i] = static_cast<float>(2.0 * loud * out);
    }
    return x;
}

/// One note in words, for the messages of failing tests.
inline std::string words(const hear::HeardNote& n) {
    std::string s = std::to_string(n.onset.value) + " " + (n.tab.holes.empty() ? "?" : text::to_text(n.tab)) +
                    (n.joined ? " joined" : "");
    return s;
}
inline std::string words(const std::vector<hear::HeardNote>& notes) {
    std::string s;
    for (const hear::HeardNote& n : notes) s += words(n) + "; ";
    return s;
}

}  // namespace lw::test
