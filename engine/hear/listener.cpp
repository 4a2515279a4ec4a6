// SPDX-License-Identifier: Apache-2.0
//
// The door's two sides: a Listener that hears while the sound runs, and `listen` for what is all there.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "engine/hear/ear.hpp"
#include "engine/hear/hear.hpp"
#include "engine/hear/net.hpp"
#include "engine/hear/plain_salience.hpp"

namespace lw::hear {

// Baked from ear.weights while building.
extern const std::uint8_t ear_weights[];
extern const std::size_t ear_weights_size;

std::unique_ptr<Salience> learned_salience() {
    if (std::optional<Net> net = Net::read({ear_weights, ear_weights_size}))
        return std::make_unique<LearnedSalience>(*std::move(net));
    return nullptr;
}

std::unique_ptr<Salience> best_salience() {
    if (auto learned = learned_salience()) return learned;
    return std::make_unique<PlainSalience>();
}

struct Listener::State {
    State(double rate, const Given& given) : ear(rate, best_salience()), story(given) {
        frames.reserve(1024);
    }

    void begin_call() {
        if (frames_taken) frames.clear();
        if (notes_taken) story.forget();
        frames_taken = notes_taken = false;
    }
    void look(const Look& l) {
        frames.push_back(frame_of(l, number++));
        story.step(l);
    }

    Ear ear;
    Story story;
    std::vector<Frame> frames;
    std::int64_t number = 0;
    bool frames_taken = false, notes_taken = false;
};

Listener::Listener(double rate, const Given& given) : state_(std::make_unique<State>(rate, given)) {}
Listener::Listener(Listener&&) noexcept = default;
Listener& Listener::operator=(Listener&&) noexcept = default;
Listener::~Listener() = default;

void Listener::push(std::span<const float> samples) {
    State& s = *state_;
    s.begin_call();
    s.ear.push(samples, [&](const Look& l) { s.look(l); });
}

void Listener::finish() {
    State& s = *state_;
    s.begin_call();
    s.ear.finish([&](const Look& l) { s.look(l); });
    s.story.finish();
}

std::span<const Frame> Listener::take_frames() {
    if (state_->frames_taken) return {};
    state_->frames_taken = true;
    return state_->frames;
}

std::span<const HeardNote> Listener::take_notes() {
    if (state_->notes_taken) return {};
    state_->notes_taken = true;
    return state_->story.ready();
}

Hz Listener::a4() const noexcept {
    return state_->story.tuning().a4();
}

std::array<std::optional<Cents>, 2 * harp::hole_count> Listener::reeds() const noexcept {
    return state_->story.tuning().reed_cents();
}

Guess Listener::guess() const noexcept {
    // Normalised square difference (P. McLeod & G. Wyvill, A smarter way to find pitch, ICMC 2005, from memory) over
    // the last 25 ms: three periods of the lowest reed.
    const std::span<const float> x = state_->ear.latest();
    Guess g;
    g.at = state_->ear.heard();
    const int n = static_cast<int>(x.size());
    constexpr int longest = 130;  // 123 Hz
    constexpr int shortest = 5;   // 3200 Hz
    constexpr int taps = 4;       // either side, to read between the samples
    std::array<float, longest + 2> likeness{};
    float loud = 0.0F;
    for (int i = 0; i < n; ++i) loud = std::max(loud, std::abs(x[static_cast<std::size_t>(i)]));
    if (loud < 1e-3F) return g;  // -60 dB: nobody plays
    for (int lag = shortest - taps; lag <= longest + 1; ++lag) {
        float same = 0.0F;
        float all = 1e-9F;
        for (int i = 0; i + lag < n; ++i) {
            const float a = x[static_cast<std::size_t>(i)];
            const float b = x[static_cast<std::size_t>(i + lag)];
            same += a * b;
            all += a * a + b * b;
        }
        likeness[static_cast<std::size_t>(lag)] = 2.0F * same / all;
    }
    // A high reed's period lies between two samples, its multiple may lie on one: tops are compared between the samples.
    struct Top {
        double lag = 0.0;
        float likeness = 0.0F;
    };
    const auto top_at = [&](int lag) -> Top {
        const float l = likeness[static_cast<std::size_t>(lag - 1)];
        const float m = likeness[static_cast<std::size_t>(lag)];
        const float r = likeness[static_cast<std::size_t>(lag + 1)];
        if (m < l || m <= r) return {};
        const float curve = l - 2.0F * m + r;
        const float part = curve < 0.0F ? 0.5F * (l - r) / curve : 0.0F;
        return {static_cast<double>(lag) + static_cast<double>(part),
                std::min(1.0F, m - 0.25F * (l - r) * part)};
    };
    float best = 0.0F;
    for (int lag = shortest; lag <= longest; ++lag) best = std::max(best, top_at(lag).likeness);
    if (best < 0.6F) return g;
    const auto between = [&](double lag) {
        const int low = static_cast<int>(lag);
        double sum = 0.0;
        for (int i = low - taps + 1; i <= low + taps; ++i) {
            const double off = std::numbers::pi * (lag - i);
            const double sinc = std::abs(off) < 1e-6 ? 1.0 : std::sin(off) / off;
            sum += sinc * 0.5 * (1.0 + std::cos(off / taps)) *
                   static_cast<double>(likeness[static_cast<std::size_t>(i)]);
        }
        return static_cast<float>(sum);
    };
    // The first top nearly as good as the best: the best may be a multiple.
    for (int lag = shortest; lag <= longest; ++lag) {
        Top top = top_at(lag);
        if (top.likeness < 0.93F * best) continue;
        // Of the highest reeds a period is so short that a parabola through whole samples misses its top.
        if (const double half = top.lag / 2.0; half >= shortest && half < 1.5 * shortest)
            if (const float there = between(half); there > 0.9F * best) top = {half, there};
        if (top.lag < 4 * shortest) {
            constexpr double step = 0.25;
            const float l = between(top.lag - step), m = between(top.lag), r = between(top.lag + step);
            if (const float curve = l - 2.0F * m + r; curve < 0.0F)
                top.lag += step * std::clamp(0.5 * static_cast<double>(l - r) / static_cast<double>(curve),
                                             -1.0, 1.0);
        }
        g.pitch = Hz{ear_rate / top.lag};
        g.confidence = std::clamp((static_cast<double>(top.likeness) - 0.6) / 0.4, 0.0, 1.0);
        return g;
    }
    return g;
}

std::vector<Look> looks_at(std::unique_ptr<Salience> salience, std::span<const float> samples, double rate) {
    Ear ear(rate, std::move(salience));
    std::vector<Look> looks;
    const auto keep = [&](const Look& l) { looks.push_back(l); };
    ear.push(samples, keep);
    ear.finish(keep);
    return looks;
}

Heard heard_in(std::span<const Look> looks, const Given& given, std::vector<Witness>* witnesses) {
    // First learn how the recording is tuned, then hear it again knowing that.
    Story first(given);
    for (const Look& l : looks) {
        first.step(l);
        first.forget();
    }
    first.finish();
    Given learned = given;
    learned.a4 = first.tuning().a4();
    if (!learned.reeds) {
        learned.reeds.emplace();
        for (std::size_t i = 0; i < learned.reeds->size(); ++i)
            (*learned.reeds)[i] = to_cents(Semitones{static_cast<double>(first.tuning().reeds()[i])});
    }
    // Who brings a calibration is told the same while playing, when no later attack is known.
    Attacks attacks{given.harp};
    if (!given.reeds) {
        attacks = first.attacks();
        attacks.know_all();
    }
    Story second(learned, first.octaves(), attacks);
    Heard heard;
    const auto take = [&] {
        heard.notes.insert(heard.notes.end(), second.ready().begin(), second.ready().end());
        if (witnesses != nullptr)
            witnesses->insert(witnesses->end(), second.witnesses().begin(), second.witnesses().end());
        second.forget();
    };
    float loudest = -120.0F;
    heard.frames.reserve(looks.size());
    for (std::size_t i = 0; i < looks.size(); ++i) {
        heard.frames.push_back(frame_of(looks[i], static_cast<std::int64_t>(i)));
        loudest = std::max(loudest, looks[i].level);
        second.step(looks[i]);
        take();
    }
    second.finish();
    take();
    heard.a4 = first.tuning().a4();
    heard.reeds = first.tuning().reed_cents();

    // Frames that are loud (within 30 dB of the loudest, above -60 dB of full scale) but not of a reed.
    int loud = 0;
    int strange = 0;
    for (const Look& l : looks)
        if (l.level > std::max(loudest - 30.0F, -60.0F)) {
            ++loud;
            if (odds(l.evidence.voice) < 0.0F) ++strange;
        }
    heard.noise = loud == 0 ? 0.0 : static_cast<double>(strange) / loud;
    return heard;
}

Heard listen(std::span<const float> samples, double rate, const Given& given) {
    Heard heard = heard_in(looks_at(best_salience(), samples, rate), given);
    std::size_t full = 0;
    for (const float x : samples)
        if (std::abs(x) >= 0.999F) ++full;  // 16-bit full scale is 0.99997
    heard.clipped = samples.empty() ? 0.0 : static_cast<double>(full) / static_cast<double>(samples.size());
    return heard;
}

}  // namespace lw::hear
