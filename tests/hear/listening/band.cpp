// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/band.hpp"

#include <array>
#include <cmath>

#include "tests/hear/listening/reed_samples.hpp"
#include "tests/hear/listening/synth.hpp"

namespace lw::listening {
namespace {

// Keys of General MIDI's drum map.
constexpr int kick = 36;
constexpr int snare = 38;
constexpr int closed_hat = 42;
constexpr int ride = 51;
constexpr int high_block = 76;
constexpr int low_block = 77;
constexpr int drums = 9;
constexpr int bass = 0;
constexpr int guitar = 1;
constexpr int keys = 2;

class Players {
  public:
    Players(const Phrase& phrase, const std::vector<Seconds>& beats, support::Dice& dice)
        : phrase_(phrase), beats_(beats), dice_(dice) {}

    std::vector<Message> play() {
        constexpr std::array<int, 12> roots = {0, 5, 0, 0, 5, 5,
                                               0, 0, 7, 5, 0, 7};  // semitones above the tonic
        const int tonic = harp::key_of_music(phrase_.harp.key, phrase_.position).pitch_class;
        const int per_bar = phrase_.groove.meter.beats();
        const int all = static_cast<int>(beats_.size());
        const bool shuffles = !phrase_.groove.feel.straight() || phrase_.groove.meter.compound();
        const double off_beat = shuffles ? 2.0 / 3.0 : 0.5;
        const int cymbal = dice_.chance(50) ? ride : closed_hat;
        for (int beat = 0; beat < all; ++beat) {
            const int root = (tonic + roots[static_cast<std::size_t>(beat / per_bar) % 12]) % 12;
            const int in_bar = beat % per_bar;
            hit(drums, cymbal, beat, 0.3, 70);
            hit(drums, cymbal, beat + off_beat, 0.3, 55);
            hit(drums, in_bar % 2 == 0 ? kick : snare, beat, 0.3, 95);
            // Bass: root, third, fifth, sixth; its E string is MIDI 28.
            constexpr std::array<int, 4> walk = {0, 4, 7, 9};
            const int low = 28 + (root - 4 + 12) % 12;
            hit(bass, low + walk[static_cast<std::size_t>(in_bar) % 4], beat, 0.85, 90);
            // Guitar: fifth and sixth in turn over the root, on the beat and off it.
            for (const double part : {0.0, off_beat}) {
                const int upper = in_bar % 2 == 0 ? 7 : 9;
                hit(guitar, 40 + (root - 4 + 12) % 12, beat + part, 0.3, 70);
                hit(guitar, 40 + (root - 4 + 12) % 12 + upper, beat + part, 0.3, 70);
            }
            // Keys: third and seventh, held for half a bar.
            if (in_bar % 2 == 0) {
                for (const int tone : {4, 10, 12}) hit(keys, 52 + (root + tone - 4 + 12) % 12, beat, 1.8, 62);
            }
        }
        return std::move(messages_);
    }

  private:
    [[nodiscard]] Seconds time_of(double beat) const {
        const auto whole = std::min(static_cast<std::size_t>(beat), beats_.size() - 2);
        return beats_[whole] + (beats_[whole + 1] - beats_[whole]) * (beat - static_cast<double>(whole));
    }
    void hit(int channel, int key, double beat, double length, int velocity) {
        const Seconds at = time_of(beat) + Seconds{0.004 * (dice_.roll(0, 100) / 100.0)};
        messages_.push_back(
            {.at = at, .channel = channel, .first = key, .second = velocity + dice_.roll(-6, 6)});
        messages_.push_back(
            {.at = time_of(beat + length), .kind = Message::Kind::off, .channel = channel, .first = key});
    }

    const Phrase& phrase_;
    const std::vector<Seconds>& beats_;
    support::Dice& dice_;
    std::vector<Message> messages_;
};

}  // namespace

std::vector<float> band(const Phrase& phrase, const std::vector<Seconds>& beats, std::size_t samples,
                        const std::string& font, support::Dice& dice) {
    Synth synth{font, 16};
    if (!synth.loaded()) return {};
    constexpr std::array<int, 3> guitars = {26, 27, 24};  // jazz, clean, nylon
    constexpr std::array<int, 3> keyboards = {0, 4, 16};  // piano, electric piano, drawbar organ
    synth.program(drums, 128, 0);
    synth.program(bass, 0, dice.chance(50) ? 33 : 32);
    synth.program(guitar, 0, dice.pick(guitars));
    synth.program(keys, 0, dice.pick(keyboards));
    return synth.render(Players{phrase, beats, dice}.play(), {static_cast<double>(samples) / take_rate});
}

std::vector<float> clicks(const Phrase& phrase, const std::vector<Seconds>& beats, std::size_t samples,
                          const std::string& font) {
    Synth synth{font, 16};
    if (!synth.loaded()) return {};
    synth.program(drums, 128, 0);
    const int per_bar = phrase.groove.meter.beats();
    const Seconds beat = beats[1] - beats[0];
    std::vector<Message> messages;
    for (int b = -per_bar; b < static_cast<int>(beats.size()); ++b) {
        const Seconds at = b < 0 ? beats[0] + beat * b : beats[static_cast<std::size_t>(b)];
        const int block = b % per_bar == 0 ? high_block : low_block;
        messages.push_back({.at = at, .channel = drums, .first = block, .second = 100});
    }
    return synth.render(std::move(messages), {static_cast<double>(samples) / take_rate});
}

}  // namespace lw::listening
