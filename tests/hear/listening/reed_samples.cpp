// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/reed_samples.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "tests/hear/listening/synth.hpp"
#include "tests/sound/aubio_pitch.hpp"

namespace lw::listening {
namespace {

constexpr std::string_view fluid = "/usr/share/sounds/sf2/FluidR3_GM.sf2";
constexpr std::string_view tim = "/usr/share/sounds/sf2/TimGM6mb.sf2";
constexpr std::string_view fluid_package = "fluid-soundfont-gm";
constexpr std::string_view tim_package = "timgm6mb-soundfont";

constexpr std::array<Instrument, 8> table = {{
    {"fluid-harmonica", fluid, fluid_package, 22},
    {"fluid-accordion", fluid, fluid_package, 21},
    {"fluid-organ", fluid, fluid_package, 20},
    {"fluid-bandoneon", fluid, fluid_package, 23},
    {"tim-harmonica", tim, tim_package, 22, true},
    {"tim-accordion", tim, tim_package, 21},
    {"tim-organ", tim, tim_package, 20},
    {"tim-bandoneon", tim, tim_package, 23},
}};

constexpr int channels = 64;  // a voice keeps its channel until its release has died away

int wheel_of(Semitones distance) {
    return std::clamp(8192 + static_cast<int>(std::lround(distance.value / 12.0 * 8192.0)), 0, 16383);
}

class FontReeds final : public ReedSamples {
  public:
    explicit FontReeds(const Instrument& instrument) : synth_(std::string{instrument.font}, channels) {
        for (int c = 0; c < channels; ++c) synth_.program(c, 0, instrument.program);
    }
    [[nodiscard]] bool loaded() const noexcept { return synth_.loaded(); }

    Cents off_pitch(int key) override {
        const auto known = off_pitch_.find(key);
        if (known != off_pitch_.end()) return known->second;
        // Long enough to be past the attack of the lowest reed.
        constexpr Seconds settled{0.30};
        constexpr Seconds end{0.90};
        const std::vector<float> note =
            synth_.render({{.at = {0.0}, .kind = Message::Kind::wheel, .first = 8192},
                           {.at = {0.0}, .first = key, .second = 90},
                           {.at = end, .kind = Message::Kind::off, .first = key}},
                          end);
        const double meant = 440.0 * std::exp2((key - 69) / 12.0);
        const std::span<const float> steady =
            std::span{note}.subspan(static_cast<std::size_t>(settled.value * take_rate));
        const double heard = test::median_pitch(steady, take_rate, meant);
        // Where the second harmonic is 13 dB over the first (keys 71 to 73 of TimGM6mb's harmonica) aubio hears the octave.
        double off = heard > 0.0 ? test::cents(heard, meant) : 0.0;
        off -= 1200.0 * std::round(off / 1200.0);
        const Cents cents{std::abs(off) < 100.0 ? off : 0.0};
        off_pitch_.emplace(key, cents);
        return cents;
    }

    std::vector<float> render(std::span<const Voice> voices, Seconds length) override {
        std::vector<Message> messages;
        int channel = 0;
        for (const Voice& voice : voices) {
            const Semitones off = to_semitones(off_pitch(voice.key));
            for (const PitchPoint& p : voice.pitch) {
                messages.push_back(
                    {.at = std::max(p.at, voice.on),
                     .kind = Message::Kind::wheel,
                     .channel = channel,
                     .first = wheel_of(p.pitch - Pitch{static_cast<double>(voice.key)} - off)});
            }
            messages.push_back({.at = voice.on,
                                .kind = Message::Kind::controller,
                                .channel = channel,
                                .first = 11,
                                .second = 127});
            for (const LevelPoint& l : voice.level) {
                messages.push_back(
                    {.at = std::max(l.at, voice.on),
                     .kind = Message::Kind::controller,
                     .channel = channel,
                     .first = 11,
                     .second = std::clamp(static_cast<int>(std::lround(l.level * 127.0)), 0, 127)});
            }
            messages.push_back(
                {.at = voice.on, .channel = channel, .first = voice.key, .second = voice.velocity});
            messages.push_back(
                {.at = voice.off, .kind = Message::Kind::off, .channel = channel, .first = voice.key});
            channel = (channel + 1) % channels;
        }
        return synth_.render(std::move(messages), length);
    }

  private:
    Synth synth_;
    std::map<int, Cents> off_pitch_;
};

}  // namespace

std::span<const Instrument> instruments() noexcept {
    return table;
}

const Instrument* instrument_named(std::string_view name) noexcept {
    const auto found =
        std::find_if(table.begin(), table.end(), [&](const Instrument& i) { return i.name == name; });
    return found == table.end() ? nullptr : &*found;
}

bool installed(const Instrument& instrument) {
    return std::filesystem::exists(instrument.font);
}

std::unique_ptr<ReedSamples> ReedSamples::open(const Instrument& instrument) {
    auto reeds = std::make_unique<FontReeds>(instrument);
    if (!reeds->loaded()) return nullptr;
    return reeds;
}

}  // namespace lw::listening
