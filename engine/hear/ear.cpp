// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/ear.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/hear/fine_pitch.hpp"

namespace lw::hear {

Ear::Ear(double rate, std::unique_ptr<Salience> salience)
    : resampler_(rate), salience_(std::move(salience)), views_(2 * Salience::lookahead) {
    for (View& v : views_) {
        v.power.fill(0.0F);
        v.features.fill(0.0F);
    }
}

bool Ear::look_closer() noexcept {
    const auto newest = front_.frames() - 1;
    salience_->step(views_[static_cast<std::size_t>(newest) % views_.size()], look_.evidence);
    const std::int64_t about = newest - Salience::lookahead;
    if (about < 0) return false;
    const View& view = views_[static_cast<std::size_t>(about) % views_.size()];
    find_peaks(view, look_.evidence, look_.peaks);
    look_.level = 10.0F * std::log10(view.energy + 1e-12F);
    return true;
}

Story::Story(const Given& given, const OctaveHabit& octaves, const Attacks& attacks)
    : tuning_(given),
      octaves_(octaves),
      attacks_(attacks),
      ways_(given.harp),
      decoder_(ways_),
      notes_(ways_, tuning_, octaves_, attacks_),
      looks_(kept),
      chances_(kept),
      fits_(kept * static_cast<std::size_t>(ways_.count())) {
    ways_.tune(tuning_.a4_semitones(), tuning_.reeds());
    ways_.doubt_octaves(octaves_.doubt(), octaves_.leaning());
}

void Story::step(const Look& look) {
    const auto slot = static_cast<std::size_t>(seen_) % kept;
    looks_[slot] = look;
    table_.unpack(look.evidence, chances_[slot]);
    if (++seen_ > 1) weigh(chances_[slot]);
}

void Story::weigh(const Chances& after) {
    const auto slot = static_cast<std::size_t>(weighed_) % kept;
    const Chances& before = chances_[weighed_ == 0 ? slot : (slot + kept - 1) % kept];
    const std::optional<Decision> decision =
        decoder_.step(looks_[slot].evidence, before, chances_[slot], after);
    std::copy(decoder_.fit().begin(), decoder_.fit().end(),
              fits_.begin() + static_cast<std::ptrdiff_t>(slot * static_cast<std::size_t>(ways_.count())));
    ++weighed_;
    if (decision) decided(weighed_ - 1 - Decoder::lag, *decision);
}

void Story::finish() {
    if (weighed_ < seen_) weigh(chances_[static_cast<std::size_t>(weighed_) % kept]);
    const std::span<const Decision> open = decoder_.finish();
    for (std::size_t i = 0; i < open.size(); ++i)
        decided(weighed_ - static_cast<std::int64_t>(open.size() - i), open[i]);
    notes_.finish(weighed_);
}

NoteMaker::Rival Story::rival(std::int64_t frame, int way) const noexcept {
    const float* fit =
        &fits_[static_cast<std::size_t>(frame) % kept * static_cast<std::size_t>(ways_.count())];
    const Way& mine = ways_[way];
    float other = -100.0F;
    int rival = -1;
    for (int i = 0; i < ways_.count(); ++i) {
        if (fit[i] <= other) continue;
        const Way& w = ways_[i];
        if (ways_.with_harp() ? w.same_mouth(mine) : std::abs(w.lead_midi() - mine.lead_midi()) < 0.8)
            continue;
        // The same pitch on another hole cannot be heard apart; it is no doubt about this one.
        if (w.reeds == mine.reeds && std::abs(w.lead_midi() - mine.lead_midi()) < 0.3) continue;
        other = fit[i];
        rival = i;
    }
    return {rival, fit[way] - other};
}

void Story::decided(std::int64_t frame, Decision decision) {
    NoteMaker::Seen seen;
    for (std::size_t i = 0; i < seen.around.size(); ++i)
        if (const std::int64_t f = frame - 3 + static_cast<std::int64_t>(i); f >= 0 && f < seen_) {
            seen.around[i] = &chances_[static_cast<std::size_t>(f) % kept];
            if (f >= frame) seen.looks[i - 3] = &looks_[static_cast<std::size_t>(f) % kept];
        }
    if (decision.way >= 0) seen.rival = rival(frame, decision.way);
    notes_.frame(frame, decision, seen);
}

Frame frame_of(const Look& look, std::int64_t number) noexcept {
    Frame f;
    f.at = frame_step * static_cast<double>(number);
    f.level = Decibels{static_cast<double>(look.level)};
    f.onset = chance(odds(look.evidence.attack));
    f.reed = chance(odds(look.evidence.reed));
    const Peak* best = nullptr;
    for (const Peak& p : look.peaks)
        if (p.midi > 0.0F && (best == nullptr || p.odds > best->odds)) best = &p;
    if (best != nullptr && best->odds > 0.0F && odds(look.evidence.voice) > 0.0F) {
        f.pitch = Hz{440.0 * std::exp2((static_cast<double>(best->midi) - 69.0) / 12.0)};
        f.confidence = chance(std::min(best->odds, odds(look.evidence.voice)));
    }
    return f;
}

}  // namespace lw::hear
