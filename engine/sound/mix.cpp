// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/mix.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "engine/sound/click.hpp"

namespace lw::sound {
namespace {

/// A first few walls: what makes a dry reed in headphones sound outside the head. Times are apart from each
/// other by no simple ratio (no comb is heard) and differ left and right; levels are 15 to 24 dB under the
/// harp, so that the phrase stays dry enough to learn from. Our own choice, common practice, no source.
struct Wall {
    double milliseconds;
    float level;
};
constexpr std::array left_walls = {Wall{9.7, 0.17F}, Wall{16.9, -0.13F}, Wall{26.3, 0.095F},
                                   Wall{38.1, -0.062F}};
constexpr std::array right_walls = {Wall{12.1, 0.16F}, Wall{19.3, -0.12F}, Wall{23.9, 0.10F},
                                    Wall{41.7, -0.058F}};
/// Walls eat the top.
constexpr Hz wall_corner{3800.0};

void place_harp(Clip& clip, const std::vector<float>& voice, bool room) {
    for (std::size_t i = 0; i < voice.size(); ++i) {
        clip.samples[2 * i] = voice[i];
        clip.samples[2 * i + 1] = voice[i];
    }
    if (!room) return;
    std::vector<float> dull(voice.size());
    const float pull = static_cast<float>(
        1.0 - std::exp(-2.0 * std::numbers::pi * std::min(wall_corner.value, 0.4 * clip.rate.value) /
                       clip.rate.value));
    float state = 0.0F;
    for (std::size_t i = 0; i < voice.size(); ++i) {
        state += (voice[i] - state) * pull;
        if (std::abs(state) < 1e-15F) state = 0.0F;  // no numbers too small to be quick
        dull[i] = state;
    }
    const auto add = [&](const auto& walls, std::size_t channel) {
        for (const Wall& wall : walls) {
            const auto late =
                static_cast<std::size_t>(std::lround(wall.milliseconds * clip.rate.value / 1000.0));
            for (std::size_t i = late; i < dull.size(); ++i) {
                clip.samples[2 * i + channel] += wall.level * dull[i - late];
            }
        }
    };
    add(left_walls, 0);
    add(right_walls, 1);
}

void place_clicks(Clip& clip, const std::vector<Click>& clicks) {
    const std::array sounds = {click_sound(false, clip.rate), click_sound(true, clip.rate)};
    for (const Click& click : clicks) {
        const std::vector<float>& sound = sounds[click.first_of_bar ? 1 : 0];
        const auto at = static_cast<std::size_t>(std::lround(click.at.value * clip.rate.value));
        const float level = static_cast<float>(click_level(click));
        for (std::size_t i = 0; i < sound.size() && at + i < clip.frames(); ++i) {
            clip.samples[2 * (at + i)] += level * sound[i];
            clip.samples[2 * (at + i) + 1] += level * sound[i];
        }
    }
}

Lufs loudness_of(const std::vector<float>& samples, const Clip& clip) {
    LoudnessMeter meter{clip.channels, clip.rate};
    meter.add(samples);
    return meter.integrated();
}

void scale(std::vector<float>& samples, double gain) noexcept {
    const float g = static_cast<float>(gain);
    for (float& x : samples) x *= g;
}

/// Moving minimum over `reach` frames to each side.
std::vector<float> lowest_around(const std::vector<float>& x, std::size_t reach) {
    // Two passes over blocks (van Herk, Pattern Recognition Letters 13(7), 1992, from memory): linear.
    const std::size_t width = 2 * reach + 1;
    const std::size_t n = x.size() + 2 * reach;
    std::vector<float> padded(n, 1.0F);
    std::copy(x.begin(), x.end(), padded.begin() + static_cast<std::ptrdiff_t>(reach));
    std::vector<float> forward = padded;
    std::vector<float> backward = padded;
    for (std::size_t i = 1; i < n; ++i) {
        if (i % width != 0) forward[i] = std::min(forward[i], forward[i - 1]);
    }
    for (std::size_t i = n - 1; i-- > 0;) {
        if ((i + 1) % width != 0) backward[i] = std::min(backward[i], backward[i + 1]);
    }
    std::vector<float> out(x.size());
    for (std::size_t i = 0; i < x.size(); ++i) out[i] = std::min(backward[i], forward[i + width - 1]);
    return out;
}

/// Moving mean over `reach` frames to each side; beyond the ends lies 1.
std::vector<float> mean_around(const std::vector<float>& x, std::size_t reach) {
    const double width = static_cast<double>(2 * reach + 1);
    const auto at = [&](std::ptrdiff_t i) {
        return i < 0 || i >= static_cast<std::ptrdiff_t>(x.size()) ? 1.0
                                                                   : double{x[static_cast<std::size_t>(i)]};
    };
    double sum = 0.0;
    const auto r = static_cast<std::ptrdiff_t>(reach);
    for (std::ptrdiff_t i = -r; i <= r; ++i) sum += at(i);
    std::vector<float> out(x.size());
    for (std::ptrdiff_t i = 0; i < static_cast<std::ptrdiff_t>(x.size()); ++i) {
        out[static_cast<std::size_t>(i)] = static_cast<float>(sum / width);
        sum += at(i + r + 1) - at(i - r);
    }
    return out;
}

/// Holds every true peak under `ceiling` by a gain that moves softly: it sinks before the peak comes and
/// rises after it. The moving minimum reaches twice as far as the mean that smooths it, so the mean never
/// passes it.
void limit(std::vector<float>& samples, const Clip& clip, double ceiling) {
    constexpr Seconds foresight{0.010};
    const auto reach = static_cast<std::size_t>(foresight.value * clip.rate.value / 2.0);
    std::vector<float> gain = true_peaks(samples, clip.channels, clip.rate);
    for (float& g : gain) g = g > ceiling ? static_cast<float>(ceiling / double{g}) : 1.0F;
    gain = mean_around(mean_around(lowest_around(gain, 2 * reach), reach), reach);
    const auto width = static_cast<std::size_t>(clip.channels);
    for (std::size_t i = 0; i < samples.size(); ++i) samples[i] *= gain[i / width];
}

}  // namespace

void normalise(Clip& clip, Lufs wanted, Decibels ceiling) {
    constexpr double close_enough = 0.05;  // LU
    constexpr Decibels most_limiting{9.0};
    const Lufs found = loudness_of(clip.samples, clip);
    const double peak = true_peak(clip.samples, clip.channels, clip.rate);
    if (found <= silence || peak <= 0.0) return;
    const Decibels headroom = ceiling - to_decibels(peak);
    const Decibels most = headroom + most_limiting;
    Decibels gain{(wanted - found).value};
    if (gain <= headroom) {
        scale(clip.samples, to_ratio(gain));
        return;
    }
    // Limiting makes it a little quieter, so the gain is found by trying; it converges in a few rounds.
    std::vector<float> best;
    for (int round = 0; round < 5; ++round) {
        gain = std::min(gain, most);
        best = clip.samples;
        scale(best, to_ratio(gain));
        limit(best, clip, to_ratio(ceiling));
        const double missing = (wanted - loudness_of(best, clip)).value;
        if (std::abs(missing) < close_enough || (gain >= most && missing > 0.0)) break;
        gain += Decibels{missing};
    }
    clip.samples = std::move(best);
    // The gain that moved has itself changed the wave between the samples by a hair.
    const double over = true_peak(clip.samples, clip.channels, clip.rate) / to_ratio(ceiling);
    if (over > 1.0) scale(clip.samples, 1.0 / over);
}

Clip render_clip(const ReedTables& tables, const harp::Harp& harp, const Performance& performance,
                 const MixChoices& choices) {
    Clip clip;
    clip.rate = choices.rate;
    std::vector<float> voice(
        static_cast<std::size_t>(std::ceil(performance.length.value * choices.rate.value)));
    if (choices.harp) voice = render_voice(tables, harp, performance, choices.rate);
    clip.samples.assign(2 * voice.size(), 0.0F);
    place_harp(clip, voice, choices.room);
    if (choices.clicks) place_clicks(clip, performance.clicks);
    if (choices.normalise) normalise(clip);
    return clip;
}

Clip render_clip(const harp::Harp& harp, const Performance& performance, const MixChoices& choices) {
    const ReedTables tables;
    return render_clip(tables, harp, performance, choices);
}

}  // namespace lw::sound
