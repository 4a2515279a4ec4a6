// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/tuning.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lw::hear {
namespace {

// The door promises A4 between 434 and 446 Hz.
const double lowest = 12.0 * std::log2(434.0 / 440.0);
const double highest = 12.0 * std::log2(446.0 / 440.0);
// A note or two (20 frames) is weighed against the usual tuning before it moves it by half.
constexpr double usual_frames = 20.0;
// A reed further out than this is bent or another one; soundfonts and worn harps stay within 30 cents.
constexpr double furthest_reed = 40.0;  // cents
// A reed that was only heard bent is taken to stand as those near it in pitch do. Set on free reeds of soundfonts, where
// neighbours share a recording: a semitone apart they correlate to 0.7 to 0.95, five apart to 0.7 or not at all.
constexpr double near_semitones = 2.0;
constexpr double near_prior = 0.5;  // of no offset, in reeds

}  // namespace

// The upper reed of an octave hides in the lower one's harmonics. On takes made for tuning the net says -2 to 2 where
// there is one, and in a quarter of the single notes of a harp less than -5.6. The quarter, since up to half of the notes
// may be octaves.
OctaveHabit::OctaveHabit() noexcept {
    for (int i = 0; i < 50; ++i) heard(-5.5F, false);  // half a second of what is usual
}

void OctaveHabit::heard(float odds, bool as_octave) noexcept {
    octave_frames_ += as_octave ? 1 : 0;
    const int bin = std::clamp(static_cast<int>(std::lround(2.0F * (odds + 6.0F))), 0, bins - 1);
    ++histogram_[static_cast<std::size_t>(bin)];
    ++frames_;
}

float OctaveHabit::doubt() const noexcept {
    std::uint32_t below = 0;
    int bin = 0;
    while (bin < bins - 1 && 20 * (below + histogram_[static_cast<std::size_t>(bin)]) < 12 * frames_)
        below += histogram_[static_cast<std::size_t>(bin++)];
    const float usual = static_cast<float>(bin) / 2.0F - 6.0F;
    return std::clamp(-2.6F - usual, -1.5F, 1.6F);
}

float OctaveHabit::leaning() const noexcept {
    // A second of an unknown player counts along, who plays every twelfth note as an octave; a lean is against one in five.
    const float share = (static_cast<float>(octave_frames_) + 8.0F) / (static_cast<float>(frames_) + 100.0F);
    const float usual = std::log(0.2F / 0.8F);
    return std::clamp(std::log(share / (1.0F - share)) - usual, -2.5F, 2.5F);
}

TuningLearner::TuningLearner(const Given& given)
    : a4_given_(given.a4.has_value()), reeds_given_(given.reeds.has_value()) {
    if (a4_given_) a4_ = 12.0 * std::log2(given.a4->value / 440.0);
    // A harp that says where its A4 is, is believed as a start.
    else if (given.harp)
        a4_ = std::clamp(12.0 * std::log2(given.harp->a4.value / 440.0), lowest, highest);
    if (given.harp)
        for (std::size_t i = 0; i < pitch_.size(); ++i) {
            const auto hole = static_cast<int>(i / 2) + 1;
            pitch_[i] =
                harp::made_for(*given.harp, {hole, i % 2 == 0 ? harp::Breath::blow : harp::Breath::draw})
                    .midi;
        }
    if (reeds_given_)
        for (std::size_t i = 0; i < reeds_.size(); ++i)
            reeds_[i] = static_cast<float>(to_semitones((*given.reeds)[i]).value);
}

double TuningLearner::Reed::median_cents() const noexcept {
    std::uint32_t below = 0;
    for (int i = 0; i < bins; ++i) {
        const std::uint32_t here = histogram[static_cast<std::size_t>(i)];
        if (2 * (below + here) >= frames && here > 0)
            return 2.0 * (i - bins / 2) - 1.0 + 2.0 * (frames / 2.0 - below) / here;
        below += here;
    }
    return 0.0;
}

void TuningLearner::heard(int reed, double semitones) noexcept {
    if (reed < 0 || reed >= 2 * harp::hole_count) return;
    const int bin = static_cast<int>(std::lround(semitones * 50.0)) + bins / 2;
    if (bin < 0 || bin >= bins) return;
    Reed& r = heard_[static_cast<std::size_t>(reed)];
    ++r.histogram[static_cast<std::size_t>(bin)];
    ++r.frames;
}

void TuningLearner::heard_any(double midi) noexcept {
    const double turn = 2.0 * std::numbers::pi * (midi - std::floor(midi));
    around_x_ += std::cos(turn);
    around_y_ += std::sin(turn);
    around_frames_ += 1.0;
}

void TuningLearner::settle() noexcept {
    struct Vote {
        double cents;
        double weight;
    };
    std::array<Vote, 2 * harp::hole_count + 1> votes;
    std::size_t count = 0;
    std::array<double, 2 * harp::hole_count> median{};
    for (std::size_t i = 0; i < heard_.size(); ++i) {
        const Reed& r = heard_[i];
        if (r.frames < 5) continue;
        median[i] = r.median_cents();
        const double own = reeds_given_ ? 100.0 * static_cast<double>(reeds_[i]) : 0.0;
        votes[count++] = {median[i] - own, std::min<double>(r.frames, 100.0)};
    }
    if (!a4_given_) {
        if (around_frames_ > 0.0) {
            const double angle = std::atan2(around_y_, around_x_) / (2.0 * std::numbers::pi);
            a4_ = std::clamp(angle * around_frames_ / (around_frames_ + usual_frames), lowest, highest);
        } else if (count > 0) {
            std::sort(votes.begin(), votes.begin() + static_cast<std::ptrdiff_t>(count),
                      [](const Vote& a, const Vote& b) { return a.cents < b.cents; });
            double total = 0.0;
            for (std::size_t i = 0; i < count; ++i) total += votes[i].weight;
            // The weighted middle, and the mean of what lies around it, so that one reed more does not make it jump.
            double half = total / 2.0;
            std::size_t middle = 0;
            while (middle + 1 < count && (half -= votes[middle].weight) > 0.0) ++middle;
            double sum = 0.0;
            double weight = 0.0;
            for (std::size_t i = 0; i < count; ++i)
                if (std::abs(votes[i].cents - votes[middle].cents) < 8.0) {
                    sum += votes[i].weight * votes[i].cents;
                    weight += votes[i].weight;
                }
            a4_ = std::clamp(sum / weight / 100.0 * total / (total + usual_frames), lowest, highest);
        }
    }
    if (reeds_given_) return;
    std::array<double, 2 * harp::hole_count> own{};
    for (std::size_t i = 0; i < heard_.size(); ++i) {
        const double n = heard_[i].frames;
        own[i] = n < 5 ? 0.0 : (median[i] - 100.0 * a4_) * n / (n + 3.0);
    }
    for (std::size_t i = 0; i < heard_.size(); ++i) {
        double cents = own[i];
        if (heard_[i].frames < 5) {
            double sum = 0.0;
            double weight = near_prior;
            for (std::size_t j = 0; j < heard_.size(); ++j) {
                if (heard_[j].frames < 5) continue;
                const double apart = (pitch_[j] - pitch_[i]) / near_semitones;
                const double w = std::exp(-apart * apart);
                sum += w * own[j];
                weight += w;
            }
            cents = sum / weight;
        }
        reeds_[i] = static_cast<float>(std::clamp(cents, -furthest_reed, furthest_reed) / 100.0);
    }
}

Hz TuningLearner::a4() const noexcept {
    return {440.0 * std::exp2(a4_ / 12.0)};
}

std::array<std::optional<Cents>, 2 * harp::hole_count> TuningLearner::reed_cents() const noexcept {
    std::array<std::optional<Cents>, 2 * harp::hole_count> cents;
    for (std::size_t i = 0; i < heard_.size(); ++i)
        if (heard_[i].frames >= 5) cents[i] = Cents{heard_[i].median_cents() - 100.0 * a4_};
    return cents;
}

}  // namespace lw::hear
