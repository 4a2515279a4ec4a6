// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/shakes.hpp"

#include <algorithm>
#include <cstdlib>
#include <utility>

namespace lw::hear {
namespace {

constexpr Seconds longest_swing{0.135};  // 3.7 times there and back in a second, and quicker
constexpr std::size_t sure_swings = 4;   // twice there and back
constexpr Seconds gap{0.040};
constexpr std::size_t most_waiting = 8;

bool may_swing(const HeardNote& n) noexcept {
    return n.tab.holes.size() == 1 && n.tab.bent_hole == 0 && !n.tab.overbend &&
           n.offset - n.onset <= longest_swing;
}

}  // namespace

void reserve(HeardNote& note) {
    note.tab.holes.reserve(harp::hole_count);
    note.bend_path.reserve(longest_path);
    note.gestures.reserve(8);
}

Shakes::Shakes(const Ways& ways)
    : ways_(&ways), waiting_(most_waiting), waiting_why_(most_waiting), ready_(16), why_(16) {
    for (HeardNote& n : waiting_) reserve(n);
    for (HeardNote& n : ready_) reserve(n);
}

void Shakes::silence(Seconds now) {
    if (waiting_count_ > 0 && now - waiting_[waiting_count_ - 1].offset > gap) release_all();
}

void Shakes::sounds(int way, Seconds until) {
    if (waiting_count_ == 0) return;
    if (until - waiting_[waiting_count_ - 1].offset > longest_swing || !may_go_on(way)) release_all();
}

/// From one of the two holes to the other.
bool Shakes::turns(int hole) const noexcept {
    return std::abs(hole - waiting_[waiting_count_ - 1].tab.holes[0]) == 1 &&
           (waiting_count_ < 2 || hole == waiting_[waiting_count_ - 2].tab.holes[0]);
}

/// Whether the notes that wait and a note of this way, if it is as short, may be a shake.
bool Shakes::may_go_on(int way) const noexcept {
    const Way& w = (*ways_)[way];
    if (w.reeds != 1 || w.quarter_steps != 0 || w.overbend) return false;
    const HeardNote& last = waiting_[waiting_count_ - 1];
    const auto goes_to = [&](int hole) {
        if (shaking_) return hole == last.tab.holes[0] || hole == last.gestures.back().other_hole;
        return turns(hole);
    };
    if (w.breath == last.tab.breath) return goes_to(w.lead);
    // 2 draw may be 3 blow yet, this one or the one that waits.
    if (const int twin = ways_->twin(way); twin >= 0 && goes_to((*ways_)[twin].lead)) return true;
    const int twin = waiting_count_ == 1 ? twin_of(last) : -1;
    return twin >= 0 && std::abs((*ways_)[twin].lead - w.lead) == 1;
}

/// The way on the other hole that has a plain note's pitch; -1 if there is none.
int Shakes::twin_of(const HeardNote& note) const noexcept {
    for (int i = 0; i < ways_->count(); ++i) {
        const Way& w = (*ways_)[i];
        if (ways_->twin(i) >= 0 && note.tab.holes.size() == 1 && w.lead == note.tab.holes[0] &&
            w.breath == note.tab.breath)
            return ways_->twin(i);
    }
    return -1;
}

bool Shakes::retell_as_twin(HeardNote& note) const noexcept {
    const int twin = twin_of(note);
    if (twin < 0) return false;
    note.tab.holes[0] = (*ways_)[twin].lead;
    note.tab.breath = (*ways_)[twin].breath;
    return true;
}

/// Whether the note goes on with those that wait.
bool Shakes::swings(const HeardNote& note) const noexcept {
    const HeardNote& first = waiting_[0];
    const HeardNote& last = waiting_[waiting_count_ - 1];
    if (!may_swing(note) || note.tab.breath != last.tab.breath || note.onset - last.offset > gap)
        return false;
    const int hole = note.tab.holes[0];
    if (shaking_) return hole == first.tab.holes[0] || hole == first.gestures.back().other_hole;
    return turns(hole);
}

void Shakes::note(HeardNote& note, const Witness& why) {
    if (waiting_count_ > 0) {
        const HeardNote& last = waiting_[waiting_count_ - 1];
        // A shake keeps its breath: 2 draw between two 2 blows was 3 blow.
        if (may_swing(note) && note.onset - last.offset <= gap && note.tab.breath != last.tab.breath) {
            if (waiting_count_ > 1 || shaking_ || !retell_as_twin(waiting_[0]))
                (void)retell_as_twin(note);
            else if (std::abs(waiting_[0].tab.holes[0] - note.tab.holes[0]) != 1)
                (void)retell_as_twin(waiting_[0]);
        }
        if (!swings(note)) {
            release_all();
        } else if (shaking_) {
            waiting_[0].offset = note.offset;
            return;
        }
    }
    if (!ways_->with_harp() || !may_swing(note)) {
        write(note, why);
        return;
    }
    hold(note, why);
    if (waiting_count_ < sure_swings) return;
    HeardNote& shake = waiting_[0];
    shake.gestures.push_back({lick::Gesture::shake, waiting_[1].tab.holes[0], shake.onset});
    shake.offset = note.offset;
    for (std::size_t i = 1; i < waiting_count_; ++i)
        shake.confidence = std::min(shake.confidence, waiting_[i].confidence);
    waiting_count_ = 1;
    shaking_ = true;
}

void Shakes::hold(const HeardNote& note, const Witness& why) {
    waiting_why_[waiting_count_] = why;
    waiting_[waiting_count_++] = note;
}

void Shakes::release_oldest() {
    write(waiting_[0], waiting_why_[0]);
    for (std::size_t i = 1; i < waiting_count_; ++i) {
        std::swap(waiting_[i - 1], waiting_[i]);
        waiting_why_[i - 1] = waiting_why_[i];
    }
    --waiting_count_;
    shaking_ = false;
}

void Shakes::release_all() {
    while (waiting_count_ > 0) release_oldest();
}

void Shakes::write(const HeardNote& note, const Witness& why) {
    if (ready_count_ == ready_.size()) {
        ready_.emplace_back();
        reserve(ready_.back());
        why_.emplace_back();
    }
    why_[ready_count_] = why;
    ready_[ready_count_++] = note;
}

}  // namespace lw::hear
