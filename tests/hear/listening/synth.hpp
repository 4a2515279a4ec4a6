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
    [[nodiscard]] std::vector<float> render(std::vector<Message> messages, Seconds length);

  private:
    struct Free {
        void operator()(fluid_settings_t* s) const { delete_fluid_settings(s); }
        void operator()(fluid_synth_t* s) const { delete_fluid_synth(s); }
    };
    std::unique_ptr<fluid_settings_t, Free> settings_;
    std::unique_ptr<fluid_synth_t, Free> synth_;
    bool loaded_ = false;
};

}  // namespace lw::listening
