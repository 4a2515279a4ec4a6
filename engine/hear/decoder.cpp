// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/decoder.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {
namespace {

// Frames 10 ms apart say nearly the same, so each counts as a part of a witness. Set on takes made for tuning.
constexpr float witness = 0.35F;
constexpr float attack_witness = 1.0F;  // an attack is one event: its evidence counts once, whole
constexpr float chord_witness =
    1.3F;  // of an attack of each further reed of a chord: that it is one is told here
constexpr float most_chord_attack = 4.0F;  // nats, either way
constexpr float end_price = 2.0F;          // of falling silent
constexpr float beam = 16.0F;              // nats; what lies further behind never wins any more
constexpr float unbroken_price =
    1.2F;  // of an attack within a bend, for each nat of `voice` above unbroken_voice
constexpr float unbroken_voice = 2.0F;
constexpr float hopeless = 3.5F;  // nats in one frame behind the fittest way
constexpr float lowest = -1e30F;

}  // namespace

Decoder::Decoder(const Ways& ways)
    : ways_(&ways),
      count_(ways.count()),
      voice_sounds_(ways.voices().size()),
      voice_begins_(ways.voices().size()),
      fit_(static_cast<std::size_t>(count_)),
      begin_fit_(fit_.size()) {
    const std::size_t states = 1 + 2 * fit_.size();
    score_.assign(states, lowest);
    next_.assign(states, lowest);
    score_[0] = 0.0F;  // before the sound is silence
    back_.assign(states * static_cast<std::size_t>(lag + 1), 0);
    hopeful_.reserve(fit_.size());
    voices_.fill(-8.0F);
    open_.reserve(static_cast<std::size_t>(lag) + 1);
}

Decision Decoder::meaning(int state) const noexcept {
    if (state == 0) return {};
    if (state <= count_) return {state - 1, false};
    return {state - 1 - count_, true};
}

std::optional<Decision> Decoder::step(const Evidence& e, const Chances& before, const Chances& now,
                                      const Chances& after) noexcept {
    const float voice = 0.5F * odds(e.voice);
    for (std::size_t v = 0; v < voice_sounds_.size(); ++v) {
        const double midi = ways_->voices()[v];
        voice_sounds_[v] = sounding_at(now, midi);
        // An attack is one in its frame and a half in those beside it, as the net was taught.
        voice_begins_[v] =
            odds_of(0.5F * (onset_at(before, midi) + onset_at(now, midi) + onset_at(after, midi)));
    }
    for (int i = 0; i < count_; ++i) {
        const Way& w = (*ways_)[i];
        float sum = 0.0F;
        float begin = -8.0F;
        float together = 0.0F;
        const auto of_chord = [&](float attack) {
            return std::clamp(attack + w.attack_doubt, -most_chord_attack, most_chord_attack);
        };
        for (std::size_t r = 0; r < static_cast<std::size_t>(w.reeds); ++r) {
            sum += voice_sounds_[static_cast<std::size_t>(w.voice[r])];
            const float attack = voice_begins_[static_cast<std::size_t>(w.voice[r])];
            begin = std::max(begin, attack);
            together += of_chord(attack);
        }
        together -= of_chord(begin);  // the clearest counts as any note's does
        const auto k = static_cast<std::size_t>(i);
        fit_[k] = witness * (sum + voice + w.doubt);
        begin_fit_[k] = fit_[k] + attack_witness * std::clamp(begin, -4.0F, 5.0F) + chord_witness * together;
    }
    const float silence_fit = -witness * voice;
    // A bend that lets go quickly looks like an attack, but the reed never stops: no gap, no new note.
    voices_[static_cast<std::size_t>(frame_) % voices_.size()] = odds(e.voice);
    const float unbroken =
        unbroken_price *
        std::clamp(*std::min_element(voices_.begin(), voices_.end()) - unbroken_voice, 0.0F, 3.0F);

    const float best = *std::max_element(score_.begin(), score_.end());
    std::fill(next_.begin(), next_.end(), lowest);
    Index* from = &back(frame_, 0);
    float* sounding = &next_[1];
    float* beginning = sounding + count_;
    Index* sounding_from = from + 1;
    Index* beginning_from = sounding_from + count_;
    const auto offer = [](float value, Index source, float& slot, Index& slot_from) {
        slot_from = value > slot ? source : slot_from;
        slot = value > slot ? value : slot;
    };
    // Only ways that the frame speaks for are worth going to: a detour over another costs more than it can gain.
    hopeful_.clear();
    const float fittest = *std::max_element(fit_.begin(), fit_.end());
    for (int j = 0; j < count_; ++j)
        if (fit_[static_cast<std::size_t>(j)] > fittest - hopeless) hopeful_.push_back(j);

    // Attacks on a way cost nearly the same from everywhere, so far behind the best source none can win; exact.
    const float best_source = *std::max_element(score_.begin(), score_.begin() + 1 + count_);
    const float attack_beam = ways_->attack_spread() + unbroken + 0.01F;
    if (score_[0] > best - beam) {
        offer(score_[0], 0, next_[0], from[0]);
        const float* price = ways_->attacks(-1);
        for (const int j : hopeful_) offer(score_[0] - price[j], 0, beginning[j], beginning_from[j]);
    }
    for (int way = 0; way < count_; ++way) {
        const Index source = 1 + way;
        const float here = score_[static_cast<std::size_t>(source)];
        if (here > best - beam) {
            offer(here - end_price, source, next_[0], from[0]);
            offer(here, source, sounding[way], sounding_from[way]);
            const float* move = ways_->moves(way);
            for (const int j : hopeful_) offer(here - move[j], source, sounding[j], sounding_from[j]);
            if (here > best_source - attack_beam) {
                const float* attack = ways_->attacks(way);
                const float* bend = ways_->bends(way);
                for (const int j : hopeful_)
                    offer(here - attack[j] - unbroken * bend[j], source, beginning[j], beginning_from[j]);
            }
        }
        // A beginning is followed by the note.
        const Index begun = source + count_;
        if (const float new_here = score_[static_cast<std::size_t>(begun)]; new_here > best - beam)
            offer(new_here, begun, sounding[way], sounding_from[way]);
    }
    next_[0] += silence_fit;
    for (int j = 0; j < count_; ++j) {
        sounding[j] += fit_[static_cast<std::size_t>(j)];
        beginning[j] += begin_fit_[static_cast<std::size_t>(j)];
    }
    const auto top = std::max_element(next_.begin(), next_.end());
    const float height = *top;
    const int winner = static_cast<int>(top - next_.begin());
    for (std::size_t s = 0; s < next_.size(); ++s) score_[s] = std::max(lowest, next_[s] - height);
    ++frame_;
    if (frame_ <= lag) return std::nullopt;

    // The state of the best path `lag` frames ago stands; paths through others are dropped.
    const auto ancestor = [&](int state) {
        for (int f = frame_ - 1; f > frame_ - 1 - lag; --f) state = back(f, state);
        return state;
    };
    const int decided = ancestor(winner);
    for (int s = 0; s <= 2 * count_; ++s) {
        float& here = score_[static_cast<std::size_t>(s)];
        if (here <= -beam || (s != winner && ancestor(s) != decided)) here = lowest;
    }
    return meaning(decided);
}

std::span<const Decision> Decoder::finish() noexcept {
    open_.clear();
    if (frame_ == 0) return open_;
    int state = static_cast<int>(std::max_element(score_.begin(), score_.end()) - score_.begin());
    const int open = std::min(frame_, lag);
    for (int i = 0; i < open; ++i) {
        open_.push_back(meaning(state));
        state = back(frame_ - 1 - i, state);
    }
    std::reverse(open_.begin(), open_.end());
    return open_;
}

}  // namespace lw::hear
