// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reeds we did not make: the harmonica and the other free reeds of Debian's General MIDI soundfonts, played dry by
// FluidSynth (48 kHz, no reverb, no chorus); and a harmonium, recorded key by key, from the npm registry, played by a
// plain sampler (sample_files.cpp). A bend is the pitch wheel, an accent the velocity, a swell controller 11.
//
// No set is in tune: each key of a preset is measured once, by aubio's YIN on the bare note, and what is asked for
// is given the difference on the wheel. So the pitch that was asked for is the pitch that sounds.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::listening {

inline constexpr double take_rate = 48000.0;  // samples a second

/// A preset of a font, or a folder of recordings. Programs are counted from 0, as MIDI sends them.
struct Instrument {
    std::string_view name;     // `fluid-harmonica`, `tim-accordion`, `harmonium` ...
    std::string_view source;   // the font or the folder
    std::string_view package;  // where it comes from
    int program = 0;           // of a font
    bool held_out = false;     // never used for tuning or training
    std::string_view band;     // the font of the band that plays behind it
};
/// Programs 20 to 23 of General MIDI 1 (reed organ, accordion, harmonica, bandoneon) in FluidR3 and TimGM6mb, and the
/// harmonium.
[[nodiscard]] std::span<const Instrument> instruments() noexcept;
[[nodiscard]] const Instrument* instrument_named(std::string_view name) noexcept;
[[nodiscard]] bool installed(const Instrument& instrument);

struct PitchPoint {
    Seconds at;
    Pitch pitch;  // A4 = 440 Hz
};
struct LevelPoint {
    Seconds at;
    double level = 1.0;  // 0..1, controller 11
};

/// One reed from its attack to its release; what it does meanwhile holds from point to point.
struct Voice {
    int key = 60;  // whose sample sounds
    int velocity = 90;
    Seconds on;
    Seconds off;
    std::vector<PitchPoint> pitch;  // never empty, within an octave of `key`
    std::vector<LevelPoint> level;
};

class ReedSamples {
  public:
    /// Nothing when its source is not there.
    [[nodiscard]] static std::unique_ptr<ReedSamples> open(const Instrument& instrument);
    virtual ~ReedSamples() = default;
    /// How far the sample of a key sounds from its note.
    [[nodiscard]] Cents off_pitch(int key);
    /// One channel, at about the samples' own level.
    [[nodiscard]] virtual std::vector<float> render(std::span<const Voice> voices, Seconds length) = 0;

  protected:
    /// Some steady tenths of a second of the sample as it is.
    [[nodiscard]] virtual std::vector<float> bare_note(int key) = 0;

  private:
    std::map<int, Cents> off_pitch_;
};

/// The harmonium; `folder` holds As4.mp3 to D5.mp3.
[[nodiscard]] std::unique_ptr<ReedSamples> sample_files(const std::string& folder);

}  // namespace lw::listening
