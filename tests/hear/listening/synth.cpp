// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/synth.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "tests/hear/listening/reed_samples.hpp"

namespace lw::listening {

Synth::Synth(const std::string& font, int channels) : settings_(new_fluid_settings()), font_(font) {
    fluid_set_log_function(FLUID_WARN, nullptr, nullptr);  // presets of other instruments are no news here
    fluid_set_log_function(FLUID_INFO, nullptr, nullptr);
    fluid_settings_setnum(settings_.get(), "synth.sample-rate", take_rate);
    fluid_settings_setnum(settings_.get(), "synth.gain", 0.4);
    fluid_settings_setint(settings_.get(), "synth.reverb.active", 0);
    fluid_settings_setint(settings_.get(), "synth.chorus.active", 0);
    fluid_settings_setint(settings_.get(), "synth.midi-channels", channels);
    fluid_settings_setint(settings_.get(), "synth.polyphony", 512);
    fluid_settings_setint(settings_.get(), "synth.dynamic-sample-loading", 1);  // a font may have 148 MB
    refresh();
}

void Synth::refresh() {
    synth_.reset();
    synth_.reset(new_fluid_synth(settings_.get()));
    // FluidSynth renders silence for a missing font, so it is looked for first.
    loaded_ =
        std::filesystem::exists(font_) && fluid_synth_sfload(synth_.get(), font_.c_str(), 1) != FLUID_FAILED;
    for (const Preset& p : presets_) set(p);
}

void Synth::program(int channel, int bank, int program) {
    presets_.push_back({channel, bank, program});
    set(presets_.back());
}

void Synth::set(const Preset& preset) {
    fluid_synth_set_channel_type(synth_.get(), preset.channel,
                                 preset.bank == 128 ? CHANNEL_TYPE_DRUM : CHANNEL_TYPE_MELODIC);
    fluid_synth_bank_select(synth_.get(), preset.channel, preset.bank);
    fluid_synth_program_change(synth_.get(), preset.channel, preset.program);
    fluid_synth_pitch_wheel_sens(synth_.get(), preset.channel, 12);
}

std::vector<float> Synth::render(std::vector<Message> messages, Seconds length) {
    std::stable_sort(messages.begin(), messages.end(), [](const Message& a, const Message& b) {
        return a.at != b.at ? a.at < b.at : a.kind < b.kind;
    });
    const std::size_t samples = static_cast<std::size_t>(std::ceil(length.value * take_rate));
    std::vector<float> left(samples);
    std::vector<float> right(samples);
    std::size_t at = 0;
    const auto up_to = [&](std::size_t sample) {
        sample = std::min(sample, samples);
        if (sample <= at) return;
        fluid_synth_write_float(synth_.get(), static_cast<int>(sample - at), left.data(),
                                static_cast<int>(at), 1, right.data(), static_cast<int>(at), 1);
        at = sample;
    };
    for (const Message& m : messages) {
        up_to(static_cast<std::size_t>(std::max(0.0, m.at.value) * take_rate));
        switch (m.kind) {
            case Message::Kind::on:
                fluid_synth_noteon(synth_.get(), m.channel, m.first, m.second);
                break;
            case Message::Kind::off:
                fluid_synth_noteoff(synth_.get(), m.channel, m.first);
                break;
            case Message::Kind::wheel:
                fluid_synth_pitch_bend(synth_.get(), m.channel, m.first);
                break;
            case Message::Kind::controller:
                fluid_synth_cc(synth_.get(), m.channel, m.first, m.second);
                break;
        }
    }
    up_to(samples);
    // The next rendering begins in silence: every voice ended and its block of 64 samples used up.
    fluid_synth_all_sounds_off(synth_.get(), -1);
    std::vector<float> rest(64 - samples % 64 + 64);
    fluid_synth_write_float(synth_.get(), static_cast<int>(rest.size()), rest.data(), 0, 1, rest.data(), 0,
                            1);
    for (std::size_t i = 0; i < samples; ++i) left[i] = 0.5F * (left[i] + right[i]);
    return left;
}

}  // namespace lw::listening
