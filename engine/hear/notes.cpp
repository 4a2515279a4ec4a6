// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/notes.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

namespace lw::hear {
namespace {

constexpr int shortest_note = 4;           // frames; a reed that spoke for less was not played
constexpr double least_confidence = 0.10;  // nine in ten of these are made of talk, plucked strings and rooms
constexpr float clear_step = 0.35F;        // semitones between two plateaus that are two notes
constexpr float step_without_harp = 0.6F;  // without reeds a quarter step is only out of tune
constexpr float left_the_pitch = 0.20F;    // "20 cents past the old pitch": where a joined note begins
constexpr double fine_and_coarse = 0.30;   // semitones that the two may differ when both are right
constexpr float on_a_half_step = 0.15F;    // semitones
constexpr std::size_t unsure_frames = 14;  // a dip's floor is off the half steps and over before this
constexpr int settling = 9;                // frames in which a chord finds together
constexpr std::size_t longest_slide = 12;  // frames
constexpr Seconds shake_swing{
    0.135};  // one side of a shake: 3.7 times there and back in a second, and quicker
constexpr std::size_t shake_swings = 4;  // twice there and back
constexpr Seconds shake_gap{0.040};
constexpr std::size_t most_waiting = 8;

Seconds time_of(std::int64_t frame) noexcept {
    return frame_step * static_cast<double>(frame);
}

void reserve(HeardNote& n) {
    n.tab.holes.reserve(harp::hole_count);
    n.bend_path.reserve(longest_path);
    n.gestures.reserve(8);
}

/// The fine pitch nearest to where this way's lead reed should be, if one is near.
std::optional<float> fine_at(const Look& look, double midi, double reach) noexcept {
    std::optional<float> best;
    double nearest = reach;
    for (const Peak& p : look.peaks) {
        const double off = std::abs(static_cast<double>(p.midi) - midi);
        if (p.midi > 0.0F && off < nearest) {
            nearest = off;
            best = p.midi;
        }
    }
    return best;
}

}  // namespace

NoteMaker::NoteMaker(Ways& ways, TuningLearner& tuning, OctaveHabit& octaves)
    : ways_(&ways), tuning_(&tuning), octaves_(&octaves) {
    bends_.resize(static_cast<std::size_t>(ways.count()), true);
    for (int i = 0; i < ways.count() && ways.with_harp(); ++i) {
        bool deeper = false;
        for (int j = 0; j < ways.count(); ++j)
            deeper |= ways[i].same_mouth(ways[j]) && ways[j].quarter_steps > 0;
        bends_[static_cast<std::size_t>(i)] = deeper;
    }
    reserve(made_);
    waiting_.resize(most_waiting);
    waiting_why_.resize(most_waiting);
    ready_.resize(16);
    why_.resize(16);
    for (HeardNote& n : waiting_) reserve(n);
    for (HeardNote& n : ready_) reserve(n);
}

void NoteMaker::frame(std::int64_t frame, Decision decision, const Seen& seen) {
    if (decision.way < 0) {
        if (open_.open) end(time_of(frame), -1);
        // After a silence nothing that waits can go on.
        if (waiting_count_ > 0 && time_of(frame) - waiting_[waiting_count_ - 1].offset > shake_gap)
            release_waiting();
        return;
    }
    const Ways& ways = *ways_;
    const bool same =
        open_.open && !decision.begins &&
        (ways.with_harp() ? ways[open_.way].same_mouth(ways[decision.way])
                          : std::abs(ways[open_.way].untuned[0] - ways[decision.way].untuned[0]) <= 4.0);
    if (!same) {
        const bool joined = open_.open && !decision.begins;
        if (joined && reshapes(decision.way)) {
            open_.way = decision.way;
            open_.depth.clear();
            open_.level.clear();
            open_.start = frame;
            open_.settled.reset();
        } else {
            const Seconds moved = joined ? left_its_pitch(frame) : time_of(frame);
            if (open_.open) end(moved, decision.way);
            begin(frame, decision.way, decision.begins, seen);
            if (joined) open_.onset = moved;
            open_.joined = joined;
        }
    }
    extend(decision.way, seen);
    if (waiting_count_ > 0 &&
        (time_of(frame) - open_.onset > shake_swing || !may_go_on_swinging(decision.way)))
        release_waiting();
}

/// Whether the notes that wait and a note of this way, if it is as short, may be a shake.
bool NoteMaker::may_go_on_swinging(int way) const noexcept {
    const auto fits = [&](int candidate) {
        const Way& w = (*ways_)[candidate];
        const HeardNote& last = waiting_[waiting_count_ - 1];
        if (shaking_) return w.lead == last.tab.holes[0] || w.lead == last.gestures.back().other_hole;
        return std::abs(w.lead - last.tab.holes[0]) == 1 &&
               (waiting_count_ < 2 || w.lead == waiting_[waiting_count_ - 2].tab.holes[0]);
    };
    const Way& w = (*ways_)[way];
    if (w.reeds != 1 || w.quarter_steps != 0 || w.overbend) return false;
    if (w.breath == waiting_[waiting_count_ - 1].tab.breath) return fits(way);
    // 2 draw may be 3 blow yet, the one that waits or this one.
    return ways_->twin(way) >= 0 ? fits(ways_->twin(way)) : waiting_count_ == 1;
}

/// Whether the new way is the note that just began, better known: one reed of a chord speaks later than the others, or a
/// neighbour still rang when it began.
bool NoteMaker::reshapes(int way) const noexcept {
    const Way& was = (*ways_)[open_.way];
    const Way& is = (*ways_)[way];
    const auto both = static_cast<std::uint16_t>(was.holes & is.holes);
    return ways_->with_harp() && was.breath == is.breath && !was.overbend && !is.overbend &&
           open_.frames < settling && was.holes != is.holes && (both == was.holes || both == is.holes);
}

/// A slide takes its time: the new note begins where the old one left its pitch, and the old one ends there.
Seconds NoteMaker::left_its_pitch(std::int64_t frame) noexcept {
    const std::size_t n = open_.depth.size();
    if (!open_.settled || n < 4 || open_.start + static_cast<std::int64_t>(n) != frame) return time_of(frame);
    std::size_t last = n;
    while (last > 1 && n - last < longest_slide &&
           std::abs(open_.depth[last - 1] - *open_.settled) > left_the_pitch)
        --last;
    if (n - last >= longest_slide) return time_of(frame);
    open_.depth.resize(last);
    open_.level.resize(last);
    return time_of(open_.start + static_cast<std::int64_t>(last));
}

/// 2 draw and 3 blow sound alike; what is played before and after says which is nearer at hand.
int NoteMaker::better_twin(int way, int next_way) const noexcept {
    const int other = ways_->twin(way);
    if (other < 0 || open_.joined) return way;
    const bool follows = last_way_ >= 0 && open_.onset - last_end_ < Seconds{0.5};
    const auto price = [&](int w) {
        return ways_->attack(follows ? last_way_ : -1, w) +
               (next_way >= 0 ? ways_->attack(w, next_way) : 0.0F);
    };
    return price(other) < price(way) ? other : way;
}

void NoteMaker::begin(std::int64_t frame, int way, bool attack, const Seen& seen) {
    const Way& w = (*ways_)[way];
    open_.open = true;
    open_.way = way;
    open_.start = frame;
    open_.depth.clear();
    open_.level.clear();
    open_.frames = 0;
    open_.settled.reset();
    open_.sounding = open_.margin = open_.voice = 0.0;
    open_.bends = bends_[static_cast<std::size_t>(way)];
    open_.onset = time_of(frame);
    open_.onset_odds = 0.0F;
    if (!attack) return;
    // Between the frames: where the evidence of the attack has its middle.
    double sum = 0.0;
    double weight = 0.0;
    double near = 0.0;
    for (int i = -2; i <= 2; ++i) {
        const Chances* chances = seen.around[static_cast<std::size_t>(i + 3)];
        if (chances == nullptr) continue;
        const double p = static_cast<double>(onset_at(*chances, w.lead_midi()));
        sum += p * i;
        weight += p;
        if (std::abs(i) <= 1) near += 0.5 * p;
    }
    open_.onset_odds = odds_of(static_cast<float>(near));
    if (weight > 0.2) open_.onset = std::max(Seconds{0.0}, open_.onset + frame_step * (sum / weight));
}

void NoteMaker::extend(int way, const Seen& seen) {
    const Way& w = (*ways_)[way];
    const Look& look = *seen.now;
    ++open_.frames;
    for (std::size_t r = 0; r < static_cast<std::size_t>(w.reeds); ++r)
        open_.sounding += static_cast<double>(sounding_at(*seen.around[3], w.midi[r])) / w.reeds;
    open_.margin += static_cast<double>(seen.margin);
    open_.voice += static_cast<double>(odds(look.evidence.voice));
    if (const double above = ways_->octave_above(way); above > 0.0)
        octaves_->heard(sounding_at(*seen.around[3], above));
    if (open_.depth.size() >= longest_path) return;

    const bool harp = ways_->with_harp();
    const double unbent = harp ? w.lead_midi() + w.quarter_steps / 2.0 : 0.0;
    const std::optional<float> fine = fine_at(look, w.lead_midi(), w.reeds == 1 ? 0.8 : 0.45);
    // The long window still hears the note before while this one begins; what the net says is of the moment.
    const double coarse = middle_near(*seen.around[3], w.lead_midi());
    const bool trusted = fine && std::abs(static_cast<double>(*fine) - coarse) < fine_and_coarse;
    const auto depth = static_cast<float>(unbent - (trusted ? static_cast<double>(*fine) : coarse));
    open_.depth.push_back(fine || open_.depth.empty() ? depth : open_.depth.back());
    open_.level.push_back(look.level);

    const std::size_t n = open_.depth.size();
    if (trusted && n >= 4 && w.reeds == 1) {
        const bool steady = std::abs(open_.depth[n - 1] - open_.depth[n - 2]) < 0.06F &&
                            std::abs(open_.depth[n - 2] - open_.depth[n - 3]) < 0.06F;
        if (steady && harp && w.quarter_steps == 0 && !w.overbend)
            tuning_->heard(w.reed[0], static_cast<double>(*fine) - w.untuned[0]);
        if (steady && !harp) tuning_->heard_any(static_cast<double>(*fine));
    }
    if (w.reeds == 1 && !w.overbend) split_where_the_bend_moved();
}

void NoteMaker::split_where_the_bend_moved() {
    std::optional<float> stands = plateau(open_.depth);
    std::size_t frames = plateau_frames;
    // A whole half step further is told sooner: few gestures stop just there.
    if (!stands && open_.settled && ways_->with_harp()) {
        frames = quick_plateau_frames;
        stands = plateau(open_.depth, frames);
        if (stands && (std::abs(*stands - std::round(*stands)) > on_a_half_step / 2.0F ||
                       std::abs(*stands - *open_.settled) < 0.7F))
            stands.reset();
    }
    if (!stands) return;
    const float step = ways_->with_harp() ? clear_step : step_without_harp;
    if (!open_.settled) {
        open_.settled = stands;
        return;
    }
    const float old = *open_.settled;
    if (std::abs(*stands - old) <= step) {
        *open_.settled += 0.1F * (*stands - old);  // a reed that sags is followed
        return;
    }
    if (ways_->with_harp() && std::abs(*stands - std::round(*stands)) > on_a_half_step) {
        const std::size_t n = open_.depth.size();
        if (n < unsure_frames || !plateau({open_.depth.data(), n - unsure_frames + plateau_frames})) return;
    }
    // The last frame that was still at the old depth.
    std::size_t last = open_.depth.size() - frames;
    while (last > 0 && std::abs(open_.depth[last] - old) > left_the_pitch) --last;
    const std::size_t next = last + 1;
    const float before = std::abs(open_.depth[last] - old);
    const float after = std::abs(open_.depth[next] - old);
    const double part =
        after > before ? std::clamp((left_the_pitch - before) / (after - before), 0.0F, 1.0F) : 0.0F;
    const std::int64_t frame = open_.start + static_cast<std::int64_t>(last);
    const Seconds moved = time_of(frame) + frame_step * part;

    std::array<float, 64> depth_kept, level_kept;
    const std::size_t kept = std::min(open_.depth.size() - next, depth_kept.size());
    std::copy_n(open_.depth.end() - static_cast<std::ptrdiff_t>(kept), kept, depth_kept.begin());
    std::copy_n(open_.level.end() - static_cast<std::ptrdiff_t>(kept), kept, level_kept.begin());
    const double share = static_cast<double>(kept) / open_.frames;
    const OpenNote& was = open_;
    const double sounding = was.sounding * share, margin = was.margin * share, voice = was.voice * share;
    open_.depth.resize(next);
    open_.level.resize(next);
    const int way = open_.way;
    const std::int64_t start = open_.start + static_cast<std::int64_t>(next);
    open_.frames -= static_cast<int>(kept);
    open_.sounding -= sounding;
    open_.margin -= margin;
    open_.voice -= voice;
    end(moved, open_.way);

    open_.open = true;
    open_.way = way;
    open_.start = start;
    open_.onset = moved;
    open_.joined = true;
    open_.depth.assign(depth_kept.begin(), depth_kept.begin() + static_cast<std::ptrdiff_t>(kept));
    open_.level.assign(level_kept.begin(), level_kept.begin() + static_cast<std::ptrdiff_t>(kept));
    open_.frames = static_cast<int>(kept);
    open_.settled = stands;
    open_.sounding = sounding;
    open_.margin = margin;
    open_.voice = voice;
    open_.onset_odds = 0.0F;
}

void NoteMaker::end(Seconds at, int next_way) {
    open_.open = false;
    tuning_->settle();
    ways_->tune(tuning_->a4_semitones(), tuning_->reeds());
    ways_->doubt_octaves(octaves_->doubt());
    if (open_.frames < shortest_note) return;
    open_.way = better_twin(open_.way, next_way);
    last_way_ = open_.way;
    last_end_ = at;
    const Way& w = (*ways_)[open_.way];
    const Shape shape = shape_of(open_);
    const bool harp = ways_->with_harp();
    HeardNote& n = made_;
    n.onset = open_.onset;
    n.offset = std::max(at, open_.onset);
    n.joined = open_.joined;
    n.tab.holes.clear();
    n.tab.breath = w.breath;
    n.tab.bent_hole = 0;
    n.tab.bend_quarter_steps = 0;
    n.tab.overbend = w.overbend;
    n.bend = n.bend_start = Semitones{0.0};
    n.bend_path.clear();
    n.gestures.clear();
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        if ((w.holes & (1U << (hole - 1))) != 0) n.tab.holes.push_back(hole);
    if (!harp) {
        n.pitch = Pitch{-static_cast<double>(shape.settled)};
    } else {
        const double unbent = w.lead_midi() + w.quarter_steps / 2.0;
        n.pitch = Pitch{unbent - static_cast<double>(shape.settled)};
        if (w.reeds == 1 && !w.overbend) {
            // Half steps are likelier than what lies between them.
            const double halves = static_cast<double>(shape.settled) * 2.0;
            int quarters = static_cast<int>(std::lround(halves));
            if (quarters % 2 != 0 && std::abs(halves - quarters) > 0.35)
                quarters = 2 * static_cast<int>(std::lround(halves / 2.0));
            // Never deeper than the hole goes: the ways of this mouth end there.
            int deepest = 0;
            for (int i = 0; i < ways_->count(); ++i)
                if ((*ways_)[i].same_mouth(w)) deepest = std::max<int>(deepest, (*ways_)[i].quarter_steps);
            quarters = std::clamp(quarters, 0, deepest);
            n.tab.bend_quarter_steps = quarters;
            n.tab.bent_hole = quarters > 0 ? w.lead : 0;
            const auto real = [](float depth) {
                return std::abs(depth) < 0.3F ? 0.0 : static_cast<double>(depth);
            };
            n.bend = Semitones{quarters > 0 ? static_cast<double>(shape.end) : real(shape.end)};
            n.bend_start = Semitones{quarters > 0 ? static_cast<double>(shape.start) : real(shape.start)};
            for (std::size_t i = 0; i < open_.depth.size(); ++i)
                n.bend_path.push_back({time_of(open_.start + static_cast<std::int64_t>(i)),
                                       Semitones{static_cast<double>(open_.depth[i])}});
        }
    }
    for (std::size_t i = 0; i < shape.gesture_count; ++i) n.gestures.push_back(shape.gestures[i]);
    const Witness why = witness_of(open_, w, harp ? shape.settled : 0.0F);
    n.confidence = confidence_of(why);
    if (n.confidence < least_confidence) return;
    pass_on(n, why);
}

/// Puts a plain note on the other hole that has its pitch, if there is one.
bool NoteMaker::retell_as_twin(HeardNote& note) const noexcept {
    for (int i = 0; i < ways_->count(); ++i) {
        const Way& w = (*ways_)[i];
        if (ways_->twin(i) < 0 || note.tab.holes.size() != 1 || w.lead != note.tab.holes[0] ||
            w.breath != note.tab.breath || w.quarter_steps != 0 || w.reeds != 1)
            continue;
        const Way& other = (*ways_)[ways_->twin(i)];
        note.tab.holes[0] = other.lead;
        note.tab.breath = other.breath;
        return true;
    }
    return false;
}

void NoteMaker::pass_on(HeardNote& note, const Witness& why) {
    const auto may_swing = [](const HeardNote& n) {
        return n.tab.holes.size() == 1 && n.tab.bent_hole == 0 && !n.tab.overbend &&
               n.offset - n.onset <= shake_swing;
    };
    if (waiting_count_ > 0) {
        const HeardNote& last = waiting_[waiting_count_ - 1];
        const HeardNote& first = waiting_[0];
        const int other = shaking_ ? first.gestures.back().other_hole : 0;
        // A shake keeps its breath: 2 draw between two 2 blows was 3 blow.
        if (may_swing(note) && note.onset - last.offset <= shake_gap && note.tab.breath != last.tab.breath) {
            if (waiting_count_ > 1 || shaking_ || !retell_as_twin(waiting_[0]))
                (void)retell_as_twin(note);
            else if (std::abs(waiting_[0].tab.holes[0] - note.tab.holes[0]) != 1)
                (void)retell_as_twin(waiting_[0]);
        }
        const int mine = note.tab.holes.size() == 1 ? note.tab.holes[0] : 0;
        bool swings =
            mine != 0 && note.tab.breath == last.tab.breath && note.onset - last.offset <= shake_gap;
        if (shaking_)
            swings = swings && (mine == first.tab.holes[0] || mine == other) && may_swing(note);
        else
            swings = swings && std::abs(mine - last.tab.holes[0]) == 1 &&
                     (waiting_count_ < 2 || mine == waiting_[waiting_count_ - 2].tab.holes[0]) &&
                     may_swing(note);
        if (shaking_ && swings) {
            waiting_[0].offset = note.offset;
            return;
        }
        if (!shaking_ && swings) {
            waiting_why_[waiting_count_] = why;
            waiting_[waiting_count_++] = note;
            if (waiting_count_ >= shake_swings) {
                HeardNote& shake = waiting_[0];
                shake.gestures.push_back({lick::Gesture::shake, waiting_[1].tab.holes[0], shake.onset});
                shake.offset = note.offset;
                for (std::size_t i = 1; i < waiting_count_; ++i)
                    shake.confidence = std::min(shake.confidence, waiting_[i].confidence);
                waiting_count_ = 1;
                shaking_ = true;
            }
            return;
        }
        release_waiting();
    }
    if (ways_->with_harp() && may_swing(note)) {
        waiting_why_[waiting_count_] = why;
        waiting_[waiting_count_++] = note;
    } else {
        write(note, why);
    }
}

void NoteMaker::release_waiting() {
    for (std::size_t i = 0; i < waiting_count_; ++i) write(waiting_[i], waiting_why_[i]);
    waiting_count_ = 0;
    shaking_ = false;
}

void NoteMaker::write(const HeardNote& note, const Witness& why) {
    if (ready_count_ == ready_.size()) {
        ready_.emplace_back();
        reserve(ready_.back());
        why_.emplace_back();
    }
    why_[ready_count_] = why;
    ready_[ready_count_++] = note;
}

void NoteMaker::finish(std::int64_t frames) {
    if (open_.open) end(time_of(frames), -1);
    release_waiting();
}

}  // namespace lw::hear
