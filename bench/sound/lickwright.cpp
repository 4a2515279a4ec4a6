// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "bench/sound/contenders.hpp"
#include "engine/sound/reed_voice.hpp"

namespace lw::bench {
namespace {

class OurVoice final : public Contender {
  public:
    explicit OurVoice(const lick::Lick& lick)
        : harp_(lick.head.harp),
          performance_(sound::perform(lick, {.count_in = false, .click_through = false})) {}

    float render() override {
        sound::ReedVoice voice{tables_, harp_, performance_};
        samples_.resize(static_cast<std::size_t>(voice.length()));
        voice.render(samples_);
        float peak = 0.0F;
        for (const float x : samples_) peak = std::max(peak, std::abs(x));
        return peak;
    }

  private:
    harp::Harp harp_;
    sound::Performance performance_;
    sound::ReedTables tables_;
    std::vector<float> samples_;
};

}  // namespace

std::unique_ptr<Contender> our_voice(const lick::Lick& lick) {
    return std::make_unique<OurVoice>(lick);
}

}  // namespace lw::bench
