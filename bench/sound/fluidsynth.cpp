// SPDX-License-Identifier: GPL-3.0-or-later
//
// FluidSynth played from the same performance: keys, wheel for the bends, program 23 (harmonica) of the font. No
// reverb, no chorus, the font and its samples loaded before the clock starts.
#include <fluidsynth.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

#include "bench/sound/contenders.hpp"
#include "engine/sound/performance.hpp"

namespace lw::bench {
namespace {

constexpr const char* font = "/usr/share/sounds/sf2/TimGM6mb.sf2";
constexpr double rate = 48000.0;

struct Message {
    enum class Kind { wheel, off, on };
    double seconds;
    Kind kind;
    int channel;
    int value;
    int velocity;
};

std::vector<Message> messages_of(const harp::Harp& harp, const sound::Performance& performance) {
    std::vector<Message> all;
    for (const sound::SoundedNote& note : performance.notes) {
        int channel = 1;
        for (const int hole : note.tab.holes) {
            const bool leads = hole == note.tab.lead_hole();
            const int c = leads ? 0 : channel++;
            const int key = static_cast<int>(harp::made_for(harp, {hole, note.tab.breath}).midi);
            all.push_back(
                {note.onset.value, Message::Kind::on, c, key, static_cast<int>(note.strength * 120.0)});
            all.push_back({note.offset.value, Message::Kind::off, c, key, 0});
            if (!leads) continue;
            for (const sound::BendPoint& point : note.bend) {
                const int wheel = 8192 - static_cast<int>(std::lround(point.depth.value / 12.0 * 8192.0));
                all.push_back({point.at.value, Message::Kind::wheel, c, wheel, 0});
            }
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const Message& a, const Message& b) {
        return a.seconds != b.seconds ? a.seconds < b.seconds : a.kind < b.kind;
    });
    return all;
}

class Fluidsynth final : public Contender {
  public:
    explicit Fluidsynth(const lick::Lick& lick) {
        const sound::Performance performance =
            sound::perform(lick, {.count_in = false, .click_through = false});
        messages_ = messages_of(lick.head.harp, performance);
        frames_ = static_cast<std::size_t>(std::ceil(performance.length.value * rate));
        settings_ = new_fluid_settings();
        fluid_settings_setnum(settings_, "synth.sample-rate", rate);
        fluid_settings_setint(settings_, "synth.reverb.active", 0);
        fluid_settings_setint(settings_, "synth.chorus.active", 0);
        synth_ = new_fluid_synth(settings_);
        loaded_ = fluid_synth_sfload(synth_, font, 1) != FLUID_FAILED;
        for (int channel = 0; channel < 6; ++channel) {
            fluid_synth_program_change(synth_, channel, 22);
            fluid_synth_pitch_wheel_sens(synth_, channel, 12);
        }
        left_.resize(frames_);
        right_.resize(frames_);
    }
    ~Fluidsynth() override {
        delete_fluid_synth(synth_);
        delete_fluid_settings(settings_);
    }
    [[nodiscard]] bool loaded() const noexcept { return loaded_; }

    float render() override {
        std::size_t at = 0;
        const auto up_to = [&](std::size_t frame) {
            frame = std::min(frame, frames_);
            if (frame <= at) return;
            fluid_synth_write_float(synth_, static_cast<int>(frame - at), left_.data(), static_cast<int>(at),
                                    1, right_.data(), static_cast<int>(at), 1);
            at = frame;
        };
        for (const Message& m : messages_) {
            up_to(static_cast<std::size_t>(m.seconds * rate));
            switch (m.kind) {
                case Message::Kind::on:
                    fluid_synth_noteon(synth_, m.channel, m.value, m.velocity);
                    break;
                case Message::Kind::off:
                    fluid_synth_noteoff(synth_, m.channel, m.value);
                    break;
                case Message::Kind::wheel:
                    fluid_synth_pitch_bend(synth_, m.channel, m.value);
                    break;
            }
        }
        up_to(frames_);
        fluid_synth_all_sounds_off(synth_, -1);
        float peak = 0.0F;
        for (const float x : left_) peak = std::max(peak, std::abs(x));
        return peak;
    }

  private:
    fluid_settings_t* settings_ = nullptr;
    fluid_synth_t* synth_ = nullptr;
    std::vector<Message> messages_;
    std::vector<float> left_;
    std::vector<float> right_;
    std::size_t frames_ = 0;
    bool loaded_ = false;
};

}  // namespace

std::unique_ptr<Contender> fluidsynth(const lick::Lick& lick) {
    auto synth = std::make_unique<Fluidsynth>(lick);
    if (!synth->loaded()) {
        std::fprintf(stderr, "bench_sound: no soundfont at %s (Debian package timgm6mb-soundfont)\n", font);
        return nullptr;
    }
    return synth;
}

}  // namespace lw::bench
