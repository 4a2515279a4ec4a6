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
constexpr int ringing = 20;                // frames that a note may ring on into the next, in a room
constexpr std::size_t longest_slide = 12;  // frames
constexpr double furthest_step = 0.8;      // semitones from frame to frame, and from the way to its peak
constexpr float attack_ahead = 0.3F;       // chance of an attack; foresight ends before it

constexpr float clearly_not = -1.0F;  // nats a frame by which another mouth fits better
constexpr int long_enough = 15;       // frames; a shorter note is not told anew
constexpr double no_attack = 0.2;     // sum of the chances of an attack; under it none was heard
constexpr float unheard = -1.4F;      // odds of an attack in nats; the same

Seconds time_of(std::int64_t frame) noexcept {
    return frame_step * static_cast<double>(frame);
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

/// Which other mouth fits most of the note's frames better (R. Boyer, J. Moore, MJRTY, 1981, from memory).
void heed_rival(OpenNote& note, const NoteMaker::Seen& seen, const Ways& ways) noexcept {
    const NoteMaker::Rival& rival = seen.rival;
    if (rival.margin < 0.0F && rival.way == note.rival) {
        ++note.rival_frames;
    } else if (note.rival_frames > 0) {
        --note.rival_frames;
    } else if (rival.margin < 0.0F) {
        note.rival = rival.way;
        note.rival_frames = 1;
        note.rival_sounding = 0.0;
    }
    if (note.rival >= 0)
        note.rival_sounding += static_cast<double>(sounding_at(seen.chances(), ways[note.rival].lead_midi()));
}

}  // namespace

NoteMaker::NoteMaker(Ways& ways, TuningLearner& tuning, OctaveHabit& octaves, Attacks& attacks)
    : ways_(&ways), tuning_(&tuning), octaves_(&octaves), attacks_(&attacks), shakes_(ways) {
    bends_.resize(static_cast<std::size_t>(ways.count()), true);
    for (int i = 0; i < ways.count() && ways.with_harp(); ++i) {
        bool deeper = false;
        for (int j = 0; j < ways.count(); ++j)
            deeper |= ways[i].same_mouth(ways[j]) && ways[j].quarter_steps > 0;
        bends_[static_cast<std::size_t>(i)] = deeper;
    }
    reserve(made_);
    later_depth_.reserve(open_.depth.capacity());
}

void NoteMaker::frame(std::int64_t frame, Decision decision, const Seen& seen) {
    gap_.heard(frame, seen.now().level);
    if (decision.way < 0) {
        if (open_.open) end(time_of(frame), -1);
        shakes_.silence(time_of(frame));
        return;
    }
    const Ways& ways = *ways_;
    const Attack attack = decision.begins ? attack_at(frame, decision.way, seen) : Attack{time_of(frame)};
    // A story on the wrong reed comes to the right one without an attack: it is the note that sounded all along.
    if (open_.open && (!decision.begins || attack.odds < unheard) && rivals_note() &&
        ways[open_.rival].same_mouth(ways[decision.way])) {
        give_to_rival();
        decision.begins = false;
    }
    const bool same =
        open_.open && !decision.begins &&
        (ways.with_harp() ? ways[open_.way].same_mouth(ways[decision.way])
                          : std::abs(ways[open_.way].untuned[0] - ways[decision.way].untuned[0]) <= 4.0);
    if (!same) {
        const bool joined = open_.open && !decision.begins;
        if ((joined && reshapes(decision.way)) || rang_on(decision.way)) {
            open_.way = decision.way;
            open_.depth.clear();
            open_.start = frame;
            open_.settled.reset();
        } else {
            const Seconds moved = joined ? left_its_pitch(frame) : time_of(frame);
            if (open_.open) end(decision.begins ? std::min(moved, attack.at) : moved, decision.way);
            begin(frame, decision.way, attack);
            if (joined) open_.onset = moved;
            open_.joined = joined;
        }
    }
    const auto foreseen = static_cast<std::int64_t>(extend(decision.way, seen));
    shakes_.sounds(decision.way, time_of(frame + foreseen));
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

/// Whether the chord that just began was this one hole all along, beside what still rang of the note before it (a room, a
/// shake): when the ringing is over, what is left looks like an attack.
bool NoteMaker::rang_on(int way) const noexcept {
    if (!open_.open || !ways_->with_harp()) return false;
    const Way& was = (*ways_)[open_.way];
    const Way& is = (*ways_)[way];
    if (was.reeds != 2 || is.reeds != 1 || is.quarter_steps != 0 || was.breath != is.breath || is.overbend ||
        (was.holes & is.holes) != is.holes || open_.frames >= ringing || last_way_ < 0)
        return false;
    const Way& before = (*ways_)[last_way_];
    return open_.onset - last_end_ < Seconds{0.05} && before.breath == was.breath &&
           (before.holes & was.holes) != 0 && (before.holes & is.holes) == 0;
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

NoteMaker::Attack NoteMaker::attack_at(std::int64_t frame, int way, const Seen& seen) const noexcept {
    // Between the frames: where the evidence of the attack has its middle.
    double sum = 0.0;
    double weight = 0.0;
    double near = 0.0;
    for (int i = -2; i <= 2; ++i) {
        const Chances* chances = seen.around[static_cast<std::size_t>(i + 3)];
        if (chances == nullptr) continue;
        const double p = static_cast<double>(onset_at(*chances, (*ways_)[way].lead_midi()));
        sum += p * i;
        weight += p;
        if (std::abs(i) <= 1) near += 0.5 * p;
    }
    const float believed = odds_of(static_cast<float>(near));
    if (weight > no_attack)
        return {std::max(Seconds{0.0}, time_of(frame) + frame_step * (sum / weight)), believed};
    // One breath gives way to the next: an attack so soft that none was heard begins there.
    return {time_of(gap_.before(frame, seen.looks).value_or(frame)), believed};
}

void NoteMaker::begin(std::int64_t frame, int way, const Attack& attack) {
    open_.open = true;
    open_.way = way;
    open_.start = frame;
    open_.depth.clear();
    open_.frames = 0;
    open_.settled.reset();
    open_.sounding = open_.margin = open_.voice = 0.0;
    open_.bends = bends_[static_cast<std::size_t>(way)];
    open_.rival = -1;
    open_.rival_frames = 0;
    open_.rival_sounding = 0.0;
    open_.onset = attack.at;
    open_.onset_odds = attack.odds;
}

/// Gives back for how many frames more the note is seen to go on.
std::size_t NoteMaker::extend(int way, const Seen& seen) {
    const Way& w = (*ways_)[way];
    const Look& look = seen.now();
    ++open_.frames;
    for (std::size_t r = 0; r < static_cast<std::size_t>(w.reeds); ++r)
        open_.sounding += static_cast<double>(sounding_at(seen.chances(), w.midi[r])) / w.reeds;
    open_.margin += static_cast<double>(seen.rival.margin);
    heed_rival(open_, seen, *ways_);
    open_.voice += static_cast<double>(odds(look.evidence.voice));
    if (const double above = ways_->octave_above(way); above > 0.0)
        octaves_->heard(sounding_at(seen.chances(), above), w.reeds > 1);
    if (open_.depth.size() >= longest_path) return 0;

    const bool harp = ways_->with_harp();
    const double unbent = harp ? w.lead_midi() + w.quarter_steps / 2.0 : 0.0;
    const std::optional<float> fine = fine_at(look, w.lead_midi(), w.reeds == 1 ? furthest_step : 0.45);
    // The long window still hears the note before while this one begins; what the net says is of the moment.
    const double coarse = middle_near(seen.chances(), w.lead_midi());
    const bool trusted = fine && std::abs(static_cast<double>(*fine) - coarse) < fine_and_coarse;
    const auto depth = static_cast<float>(unbent - (trusted ? static_cast<double>(*fine) : coarse));
    open_.depth.push_back(fine || open_.depth.empty() ? depth : open_.depth.back());

    const std::size_t n = open_.depth.size();
    if (trusted && n >= 4 && w.reeds == 1) {
        const bool steady = std::abs(open_.depth[n - 1] - open_.depth[n - 2]) < 0.06F &&
                            std::abs(open_.depth[n - 2] - open_.depth[n - 3]) < 0.06F;
        if (steady && harp && w.quarter_steps == 0 && !w.overbend && seen.rival.margin > clearly_not)
            tuning_->heard(w.reed[0], static_cast<double>(*fine) - w.untuned[0]);
        if (steady && !harp) tuning_->heard_any(static_cast<double>(*fine));
    }
    if (w.reeds > 1) return 0;
    const std::size_t foreseen = foresee(way, seen);
    if (!w.overbend) split_where_the_bend_moved(foreseen);
    open_.depth.resize(open_.depth.size() - foreseen);
    return foreseen;
}

/// Lengthens the path by the frames in which the same reed plainly sounds on; gives back how many they are.
std::size_t NoteMaker::foresee(int way, const Seen& seen) {
    const Way& w = (*ways_)[way];
    const double unbent = ways_->with_harp() ? w.lead_midi() + w.quarter_steps / 2.0 : 0.0;
    double midi = unbent - static_cast<double>(open_.depth.back());
    std::size_t n = 0;
    while (n < foresight && seen.looks[n + 1] != nullptr) {
        const Look& look = *seen.looks[n + 1];
        const Chances& chances = seen.chances(n + 1);
        const std::optional<float> fine = fine_at(look, midi, furthest_step);
        if (!fine || odds(look.evidence.voice) < 0.0F) break;
        midi = static_cast<double>(*fine);
        if (onset_at(chances, midi) > attack_ahead ||
            std::abs(midi - middle_near(chances, midi)) > fine_and_coarse)
            break;
        open_.depth.push_back(static_cast<float>(unbent - midi));
        ++n;
    }
    return n;
}

/// The last `foreseen` frames of the path are not decided yet.
void NoteMaker::split_where_the_bend_moved(std::size_t foreseen) {
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

    // The new note takes along what belongs to it; the frames foreseen come last.
    later_depth_.assign(open_.depth.begin() + static_cast<std::ptrdiff_t>(next), open_.depth.end());
    const std::size_t kept = later_depth_.size() - foreseen;
    const double share = static_cast<double>(kept) / open_.frames;
    const OpenNote& was = open_;
    const double sounding = was.sounding * share, margin = was.margin * share, voice = was.voice * share;
    open_.depth.resize(next);
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
    open_.depth.swap(later_depth_);
    open_.frames = static_cast<int>(kept);
    open_.settled = stands;
    open_.sounding = sounding;
    open_.margin = margin;
    open_.voice = voice;
    open_.onset_odds = 0.0F;
}

/// A story that began on the wrong reed stays there, for leaving it asks for an attack, which a held note has not. Where
/// another single reed fits the note better all along, it is that reed's note.
bool NoteMaker::rivals_note() const noexcept {
    if (open_.rival < 0 || open_.joined || !ways_->with_harp()) return false;
    const Way& was = (*ways_)[open_.way];
    const Way& is = (*ways_)[open_.rival];
    if (was.reeds > 1 || is.reeds > 1 || was.overbend || is.overbend) return false;
    const double frames = open_.frames;
    return open_.frames >= long_enough && open_.rival_frames >= frames / 2.0 &&
           open_.margin <= clearly_not * frames;
}

void NoteMaker::give_to_rival() noexcept {
    const Way& was = (*ways_)[open_.way];
    const Way& is = (*ways_)[open_.rival];
    const auto unbent = [](const Way& w) { return w.lead_midi() + w.quarter_steps / 2.0; };
    const auto deeper = static_cast<float>(unbent(is) - unbent(was));
    for (float& depth : open_.depth) depth += deeper;
    if (open_.settled) *open_.settled += deeper;
    open_.way = open_.rival;
    open_.bends = bends_[static_cast<std::size_t>(open_.way)];
    open_.margin = -open_.margin;
    open_.sounding = open_.rival_sounding;
    open_.rival = -1;
    open_.rival_frames = 0;
}

void NoteMaker::end(Seconds at, int next_way) {
    open_.open = false;
    tuning_->settle();
    ways_->tune(tuning_->a4_semitones(), tuning_->reeds());
    ways_->doubt_octaves(octaves_->doubt(), octaves_->leaning());
    if (open_.frames < shortest_note) return;
    if (rivals_note()) give_to_rival();
    open_.way = better_twin(open_.way, next_way);
    last_way_ = open_.way;
    last_end_ = at;
    const Way& w = (*ways_)[open_.way];
    const int reed = w.reeds == 1 ? w.reed[0] : -1;
    const std::optional<float> below = reed >= 0 ? began_below(open_) : std::nullopt;
    const bool harp = ways_->with_harp();
    std::optional<float> usual;
    const float begun = below.value_or(0.0F);
    if (harp) usual = below ? attacks_->usual(reed, begun) : 0.0F;
    const Shape shape = shape_of(open_, usual);
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
    if (below) attacks_->heard(reed, begun);
    shakes_.note(n, why);
}

void NoteMaker::finish(std::int64_t frames) {
    if (open_.open) end(time_of(frames), -1);
    shakes_.finish();
}

}  // namespace lw::hear
