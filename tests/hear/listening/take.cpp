// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/take.hpp"

#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>

#include "tests/hear/listening/band.hpp"
#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/conditions.hpp"

namespace lw::listening {
namespace {

struct Close {
    void operator()(SNDFILE* f) const { sf_close(f); }
};
using File = std::unique_ptr<SNDFILE, Close>;

float peak_of(const std::vector<float>& samples) {
    float peak = 0.0F;
    for (const float x : samples) peak = std::max(peak, std::abs(x));
    return peak;
}

/// `behind` under `samples`, `below` so far under its level.
void mix(std::vector<float>& samples, const std::vector<float>& behind, Decibels below) {
    const double level = level_of(behind);
    if (level <= 0.0) throw std::runtime_error("the band is silent: its soundfont holds no such presets");
    const double gain = level_of(samples) / level * std::pow(10.0, -below.value / 20.0);
    for (std::size_t i = 0; i < samples.size(); ++i) samples[i] += static_cast<float>(gain) * behind[i];
}

std::vector<float> under(Condition condition, std::vector<float> dry, const Phrase& phrase,
                         const std::vector<Seconds>& beats, const Instrument& instrument,
                         support::Dice& dice) {
    switch (condition) {
        case Condition::clean:
        case Condition::double_stops:
            return dry;
        case Condition::room: {
            const Seconds rt60{between(dice, 0.3, 0.6)};
            std::vector<float> wet = in_room(dry, rt60, {between(dice, 0.0, 6.0)}, dice);
            add_noise(wet, {30.0}, dice);
            return wet;
        }
        case Condition::phone: {
            std::vector<float> narrow = in_band(dry, {300.0}, {6000.0});
            std::vector<float> noise(narrow.size());
            for (float& x : noise) x = static_cast<float>(bell(dice));
            mix(narrow, in_band(noise, {300.0}, {6000.0}), {20.0});
            // Below full scale, or the coder would clip.
            const float gain = 0.5F / std::max(peak_of(narrow), 1e-9F);
            for (float& x : narrow) x *= gain;
            return through_mp3(narrow);
        }
        case Condition::band_6:
        case Condition::band_0: {
            const auto behind = band(phrase, beats, dry.size(), std::string{instrument.band}, dice);
            mix(dry, behind, {condition == Condition::band_6 ? 6.0 : 0.0});
            return dry;
        }
    }
    return dry;
}

std::optional<std::filesystem::path> kept(const TakeWish& wish) {
    const char* folder = std::getenv("LICKWRIGHT_TAKES");
    if (folder == nullptr || *folder == '\0') return std::nullopt;
    // The number changes with whatever changes the sound.
    const std::string file = "3-" + std::string{wish.instrument->name} + "-" +
                             std::string{name(wish.condition)} + (wish.click ? "-click-" : "-") +
                             (wish.gestures ? "gestures-" : "") + std::to_string(wish.seed) + ".wav";
    return std::filesystem::path{folder} / file;
}

bool load(const std::filesystem::path& path, std::vector<float>& samples) {
    SF_INFO info{};
    const File file{sf_open(path.c_str(), SFM_READ, &info)};
    if (!file || info.channels != 1 || info.samplerate != static_cast<int>(take_rate)) return false;
    samples.resize(static_cast<std::size_t>(info.frames));
    return sf_read_float(file.get(), samples.data(), info.frames) == info.frames;
}

void save(const std::filesystem::path& path, const std::vector<float>& samples) {
    std::filesystem::create_directories(path.parent_path());
    std::filesystem::path aside = path;
    aside += ".tmp";
    {
        SF_INFO info{};
        info.samplerate = static_cast<int>(take_rate);
        info.channels = 1;
        info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
        const File file{sf_open(aside.c_str(), SFM_WRITE, &info)};
        if (!file || sf_write_float(file.get(), samples.data(), std::ssize(samples)) != std::ssize(samples))
            throw std::runtime_error("cannot keep a take as " + aside.string());
    }
    std::filesystem::rename(aside, path);
}

}  // namespace

std::string_view name(Condition condition) noexcept {
    constexpr std::array<std::string_view, 6> names = {"clean",        "room",   "phone",
                                                       "double-stops", "band+6", "band+0"};
    return names[static_cast<std::size_t>(condition)];
}

std::optional<Condition> condition_named(std::string_view text) noexcept {
    for (const Condition c : every_condition)
        if (name(c) == text) return c;
    return std::nullopt;
}

std::optional<TakeMaker> TakeMaker::open(const Instrument& instrument) {
    auto reeds = ReedSamples::open(instrument);
    if (reeds == nullptr) return std::nullopt;
    return TakeMaker{instrument, std::move(reeds)};
}

std::vector<Voice> TakeMaker::begin(Take& take, Seconds& length) {
    take.wish.instrument = instrument_;
    const Condition condition = take.wish.condition;
    const bool in_time = take.wish.click || condition == Condition::band_6 || condition == Condition::band_0;
    Playing playing = play(take.phrase, take.wish.seed, *reeds_, {.to_a_click = in_time});
    take.truth = std::move(playing.truth);
    take.a4 = playing.a4;
    take.reeds = playing.reeds;
    take.beats = std::move(playing.beats);
    length = playing.length;
    return std::move(playing.voices);
}

void TakeMaker::sound(Take& take, const std::vector<Voice>& voices, Seconds length) {
    support::Dice dice{take.wish.seed ^ 0x51ce7a3b9d20f684ULL};
    take.samples = under(take.wish.condition, reeds_->render(voices, length), take.phrase, take.beats,
                         *instrument_, dice);
    if (take.wish.click) {
        const std::string font{instrument_->band};
        mix(take.samples, clicks(take.phrase, take.beats, take.samples.size(), font), {6.0});
    }
    const double peak = std::pow(10.0, between(dice, -20.0, -3.0) / 20.0);
    const auto gain = static_cast<float>(peak / std::max(peak_of(take.samples), 1e-9F));
    for (float& x : take.samples) x *= gain;
}

Take TakeMaker::make(TakeWish wish) {
    Take take;
    take.wish = wish;
    take.phrase = chance_phrase(
        wish.seed, {.several_holes = wish.condition == Condition::double_stops, .gestures = wish.gestures});
    Seconds length;
    const std::vector<Voice> voices = begin(take, length);
    const auto keep = kept(take.wish);
    if (keep && load(*keep, take.samples)) return take;
    sound(take, voices, length);
    if (keep) save(*keep, take.samples);
    return take;
}

Take TakeMaker::make(TakeWish wish, const Phrase& phrase) {
    Take take;
    take.wish = wish;
    take.phrase = phrase;
    Seconds length;
    const std::vector<Voice> voices = begin(take, length);
    sound(take, voices, length);
    return take;
}

}  // namespace lw::listening
