// SPDX-License-Identifier: GPL-3.0-or-later
//
// FluidSynth, offline: a list of MIDI messages in, one channel of sound out.
#pragma once

#include <fluidsynth.h>

#include <memory>
#include <string>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::listening {

struct Message {
    // In this order when several fall together: what shapes a note stands before the note.
    enum class Kind { off, wheel, controller, on };
    Seconds at;
    Kind kind = Kind::on;
    int channel = 0;
    int first = 0;   // key, wheel (0..16383) or controller
    int second = 0;  // velocity or value
};

class Synth {
  public:
    /// `channels` is a multiple of 16; the pitch wheel reaches an octave up and down (RPN 0 = 12).
    Synth(const std::string& font, int channels);
    [[nodiscard]] bool loaded() const noexcept { return loaded_; }
    /// A drum channel has `bank` 128.
    void program(int channel, int bank, int program);
    /// Forgets what was played. (What a voice of FluidSynth 2.3 played before leaves a trace of -60 dB in what it plays
    /// next, a reset of the system or not; so the synthesiser is made anew. Costs 5 to 50 ms.)
    void refresh();
    [[nodiscard]] std::vector<float> render(std::vector<Message> messages, Seconds length);

  private:
    struct Preset {
        int channel = 0;
        int bank = 0;
        int program = 0;
    };
    struct Free {
        void operator()(fluid_settings_t* s) const { delete_fluid_settings(s); }
        void operator()(fluid_synth_t* s) const { delete_fluid_synth(s); }
    };
    void set(const Preset& preset);

    std::unique_ptr<fluid_settings_t, Free> settings_;
    std::unique_ptr<fluid_synth_t, Free> synth_;
    std::vector<Preset> presets_;
    std::string font_;
    bool loaded_ = false;
};

}  // namespace lw::listening
