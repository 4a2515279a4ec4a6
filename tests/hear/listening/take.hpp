// SPDX-License-Identifier: GPL-3.0-or-later
//
// A take: sound that this project did not synthesise, and the truth about it. Phrase (phrase.hpp), player
// (playing.hpp), samples (reed_samples.hpp) and condition (conditions.hpp, band.hpp) come together here. The same wish
// gives the same take.
//
// Takes are samples played by a program, not players: they lack the mouth, the hands and the room a person has.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tests/hear/listening/playing.hpp"

namespace lw::listening {

enum class Condition : std::uint8_t {
    clean,
    room,          // RT60 0.3 to 0.6 s, direct sound 0 to 6 dB over the tail, noise 30 dB below
    phone,         // 300 to 6000 Hz, noise of that band 20 dB below, MP3 at 64 kbit/s
    double_stops,  // clean, half of the notes on several holes
    band_6,        // a shuffle band behind, the harp 6 dB louder than all of it
    band_0,        // the harp as loud as all of it
};
inline constexpr std::array<Condition, 6> every_condition = {Condition::clean,  Condition::room,
                                                             Condition::phone,  Condition::double_stops,
                                                             Condition::band_6, Condition::band_0};
/// `clean`, `room`, `phone`, `double-stops`, `band+6`, `band+0`.
[[nodiscard]] std::string_view name(Condition condition) noexcept;
[[nodiscard]] std::optional<Condition> condition_named(std::string_view text) noexcept;

struct TakeWish {
    const Instrument* instrument = nullptr;
    Condition condition = Condition::clean;
    std::uint64_t seed = 1;
    bool click = false;     // on every beat, a bar of it before the first; the player keeps to it
    bool gestures = false;  // every note that is long enough for one has a gesture
};

struct Take {
    TakeWish wish;
    Phrase phrase;
    std::vector<TruthNote> truth;  // by onset
    Hz a4{440.0};
    std::array<Cents, 2 * harp::hole_count> reeds{};
    std::vector<Seconds> beats;
    std::vector<float> samples;  // at take_rate, peak between -20 and -3 dB of full scale
};

/// Makes takes on one instrument and knows its samples. When the environment names a folder in LICKWRIGHT_TAKES the
/// sound is kept there and found again.
class TakeMaker {
  public:
    /// Nothing when the instrument's font is not installed.
    [[nodiscard]] static std::optional<TakeMaker> open(const Instrument& instrument);
    /// `wish.instrument` is the one of this maker.
    [[nodiscard]] Take make(TakeWish wish);
    /// The same with a phrase of one's own; its sound is not kept.
    [[nodiscard]] Take make(TakeWish wish, const Phrase& phrase);

  private:
    void sound(Take& take, const std::vector<Voice>& voices, Seconds length);
    std::vector<Voice> begin(Take& take, Seconds& length);
    TakeMaker(const Instrument& instrument, std::unique_ptr<ReedSamples> reeds)
        : instrument_(&instrument), reeds_(std::move(reeds)) {}
    const Instrument* instrument_;
    std::unique_ptr<ReedSamples> reeds_;
};

}  // namespace lw::listening
