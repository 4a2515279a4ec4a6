// SPDX-License-Identifier: Apache-2.0
//
// The two halves of hearing. Private to the room. The Ear turns sound into looks, one every 10 ms, and knows nothing of
// harps; the Story turns looks into notes and knows nothing of sound. A Listener runs both at once; `listen` runs the
// Ear once and the Story twice, the second time with the tuning that the first has learned.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "engine/hear/attacks.hpp"
#include "engine/hear/decoder.hpp"
#include "engine/hear/evidence.hpp"
#include "engine/hear/front_end.hpp"
#include "engine/hear/hear.hpp"
#include "engine/hear/notes.hpp"
#include "engine/hear/resampler.hpp"
#include "engine/hear/tuning.hpp"

namespace lw::hear {

class Ear {
  public:
    Ear(double rate, std::unique_ptr<Salience> salience);

    /// Calls `sink(look)` for every frame decided on, in order.
    template <class Sink>
    void push(std::span<const float> samples, Sink&& sink) {
        while (!samples.empty()) {
            const std::size_t n = std::min(samples.size(), Resampler::most_in);
            feed(resampler_.step(samples.first(n)), sink);
            samples = samples.subspan(n);
        }
    }
    template <class Sink>
    void finish(Sink&& sink) {
        feed(resampler_.finish(), sink);
        // Silence follows, until the last frame that stands within the sound has been looked at.
        last_frame_ = taken_ == 0 ? 0 : (taken_ - 1) / hop + 1;
        static constexpr std::array<float, hop> silence{};
        while (given_ < last_frame_) feed(silence, sink);
    }
    /// The last 25 ms of sound at ear_rate.
    [[nodiscard]] std::span<const float> latest() const noexcept { return front_.latest(400); }
    [[nodiscard]] Seconds heard() const noexcept { return {static_cast<double>(taken_) / ear_rate}; }

  private:
    template <class Sink>
    void feed(std::span<const float> samples, Sink&& sink) {
        while (!samples.empty()) {
            const std::size_t n = front_.take(samples);
            taken_ += static_cast<std::int64_t>(n);
            samples = samples.subspan(n);
            while (front_.next(views_[static_cast<std::size_t>(front_.frames()) % views_.size()]))
                if (look_closer() && given_++ < last_frame_) sink(std::as_const(look_));
        }
    }
    [[nodiscard]] bool look_closer() noexcept;

    Resampler resampler_;
    FrontEnd front_;
    std::unique_ptr<Salience> salience_;
    std::vector<View> views_;
    Look look_;
    std::int64_t taken_ = 0;  // samples at ear_rate
    std::int64_t given_ = 0;  // looks
    std::int64_t last_frame_ = std::numeric_limits<std::int64_t>::max();
};

/// With the weights that are built in; nothing without any.
[[nodiscard]] std::unique_ptr<Salience> learned_salience();
/// What the ears of this program weigh frames with: the learned one when weights are built in, else the plain one.
[[nodiscard]] std::unique_ptr<Salience> best_salience();

class Story {
  public:
    explicit Story(const Given& given) : Story(given, {}, Attacks{given.harp}) {}
    Story(const Given& given, const OctaveHabit& octaves, const Attacks& attacks);
    void step(const Look& look);
    void finish();
    [[nodiscard]] std::span<const HeardNote> ready() const noexcept { return notes_.ready(); }
    [[nodiscard]] std::span<const Witness> witnesses() const noexcept { return notes_.witnesses(); }
    void forget() noexcept { notes_.forget(); }
    [[nodiscard]] const TuningLearner& tuning() const noexcept { return tuning_; }
    [[nodiscard]] const OctaveHabit& octaves() const noexcept { return octaves_; }
    [[nodiscard]] const Attacks& attacks() const noexcept { return attacks_; }

  private:
    void weigh(const Chances& after);
    void decided(std::int64_t frame, Decision decision);
    [[nodiscard]] NoteMaker::Rival rival(std::int64_t frame, int way) const noexcept;

    static constexpr std::size_t kept = 16;  // looks; the lag and three around a decision fit
    TuningLearner tuning_;
    OctaveHabit octaves_;
    Attacks attacks_;
    Ways ways_;
    Decoder decoder_;
    NoteMaker notes_;
    std::vector<Look> looks_;
    ChanceTable table_;
    std::vector<Chances> chances_;  // of the looks kept
    std::vector<float> fits_;       // the same
    std::int64_t seen_ = 0;
    std::int64_t weighed_ = 0;  // by the decoder; one fewer while sound comes
};

/// What the public frame says of a look.
[[nodiscard]] Frame frame_of(const Look& look, std::int64_t number) noexcept;

/// The two halves of `listen`, for tests and benchmarks that compare saliences or hear the same looks again.
[[nodiscard]] std::vector<Look> looks_at(std::unique_ptr<Salience> salience, std::span<const float> samples,
                                         double rate);
/// With `witnesses`, also why each note is believed.
[[nodiscard]] Heard heard_in(std::span<const Look> looks, const Given& given,
                             std::vector<Witness>* witnesses = nullptr);

}  // namespace lw::hear
