// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/strands.hpp"

#include <algorithm>
#include <cmath>

#include "engine/sound/habits.hpp"
#include "engine/sound/voicing.hpp"

namespace lw::sound {
namespace {

using lick::Gesture;

Hz frequency_of(const harp::Harp& harp, const harp::HoleNote& reed) {
    if (const auto f = harp::frequency(harp, reed)) return *f;
    return harp::frequency(harp, reed.reed());  // an overbend that is not there sounds its own reed
}

class Weaver {
  public:
    Weaver(const harp::Harp& harp, const Performance& performance) : harp_(harp), performance_(performance) {}

    std::vector<Strand> weave() {
        for (std::size_t i = 0; i < performance_.notes.size(); ++i) weave_note(i);
        std::stable_sort(strands_.begin(), strands_.end(),
                         [](const Strand& a, const Strand& b) { return a.start < b.start; });
        return std::move(strands_);
    }

  private:
    /// Strands of the note before, by index, so that a joined note can take them on.
    [[nodiscard]] Strand* open_strand(const harp::HoleNote& reed) {
        for (const std::size_t i : open_) {
            if (strands_[i].reed == reed && strands_[i].shake == 0) return &strands_[i];
        }
        return nullptr;
    }

    void weave_note(std::size_t index) {
        const SoundedNote& note = performance_.notes[index];
        std::vector<std::size_t> mine;
        const harp::HoleNote* from_reed = nullptr;
        harp::HoleNote from;
        Seconds begin = note.onset;
        const lick::PlayedOrnament* approach = find(note, Gesture::approach);
        if (approach != nullptr && approach->ornament.from.lead_hole() != note.tab.lead_hole()) {
            from = {approach->ornament.from.lead_hole(), note.tab.breath, 0, false};
            from_reed = &from;
        }
        const Seconds sliding =
            std::min(habits::join_time, (note.offset - note.onset) * habits::most_of_note);
        if (from_reed != nullptr) {
            const Seconds there = note.onset + std::min(habits::approach_time,
                                                        (note.offset - note.onset) * habits::most_of_note);
            Strand quick = strand(note, index, from, false);
            quick.pieces.front().leads = false;
            approach_depth(quick, approach->ornament.from);
            quick.end = there - sliding * 0.5;
            quick.fade = sliding;
            strands_.push_back(std::move(quick));
            begin = there - sliding * 0.5;
        }
        for (const int hole : note.tab.holes) {
            const harp::HoleNote reed{hole, note.tab.breath, 0, note.tab.overbend};
            const bool leads = hole == note.tab.lead_hole();
            if (note.how != lick::Start::attack) {
                if (Strand* on = open_strand(reed)) {
                    on->end = note.offset;
                    on->pieces.push_back({note.onset, index, leads});
                    on->highest = std::max(on->highest, highest(note, reed, leads));
                    on->fade = voicing::release_of(frequency_of(harp_, reed));
                    mine.push_back(static_cast<std::size_t>(on - strands_.data()));
                    continue;
                }
            }
            Strand s = strand(note, index, reed, leads);
            if (note.how != lick::Start::attack || from_reed != nullptr) {
                s.begin = Strand::Begin::slide;
                s.start = begin - (from_reed != nullptr ? Seconds{} : smear(index));
                s.rise = sliding + (begin - s.start);
            }
            mine.push_back(strands_.size());
            strands_.push_back(std::move(s));
        }
        if (note.how != lick::Start::attack) {
            // What is left behind fades as the new comes in.
            for (const std::size_t i : open_) {
                if (std::find(mine.begin(), mine.end(), i) == mine.end()) strands_[i].fade = sliding;
            }
        }
        open_ = mine;
        add_slap(note, index);
        add_shake(note, index);
    }

    static const lick::PlayedOrnament* find(const SoundedNote& note, Gesture gesture) noexcept {
        for (const lick::PlayedOrnament& o : note.ornaments) {
            if (o.ornament.gesture == gesture) return &o;
        }
        return nullptr;
    }

    /// A glide to another hole begins inside the note before: the mouth takes its second half to get there.
    [[nodiscard]] Seconds smear(std::size_t index) const noexcept {
        if (performance_.notes[index].how != lick::Start::glide || index == 0) return {};
        const SoundedNote& before = performance_.notes[index - 1];
        return (before.offset - before.onset) * 0.5;
    }

    [[nodiscard]] Hz highest(const SoundedNote& note, const harp::HoleNote& reed, bool leads) const {
        double depth = 0.0;
        if (leads) {
            for (const BendPoint& point : note.bend) depth = std::min(depth, point.depth.value);
        }
        return frequency_of(harp_, reed) * std::exp2(-depth / 12.0);
    }

    [[nodiscard]] Strand strand(const SoundedNote& note, std::size_t index, const harp::HoleNote& reed,
                                bool leads) const {
        Strand s;
        s.reed = reed;
        const Hz f = frequency_of(harp_, reed);
        const Seconds length = note.offset - note.onset;
        const double quick = note.strength > habits::plain_strength + 0.1 ? voicing::accent_quickens : 1.0;
        s.rise = std::min(voicing::attack_of(f) * quick, length * voicing::most_attack);
        // A player starts a slow reed early, so that it speaks on the beat.
        const Seconds early = std::clamp(s.rise * voicing::half_way_up - voicing::heard_late, Seconds{0.0},
                                         voicing::most_early);
        s.start = std::max(note.onset - early, Seconds{0.0});
        s.end = note.offset;
        s.fade = voicing::release_of(f);
        s.share = std::pow(double(note.tab.holes.size()), -voicing::chord_share);
        s.bite = note.strength / habits::plain_strength;
        s.highest = highest(note, reed, leads);
        s.pieces.push_back({s.start, index, leads});
        return s;
    }

    /// The approaching hole may itself be bent: it keeps one depth, by a reed of that depth.
    void approach_depth(Strand& quick, const lick::Tab& from) const {
        quick.reed.bend_quarter_steps = from.bend_quarter_steps;
        quick.reed.overbend = from.overbend;
    }

    /// The tongue hits the holes beside the note before it lands: they speak for a moment.
    void add_slap(const SoundedNote& note, std::size_t index) {
        if (find(note, Gesture::slap) == nullptr) return;
        const int lead = note.tab.holes.front();
        for (int hole = std::max(1, lead - voicing::slap_holes); hole < lead; ++hole) {
            Strand s = strand(note, index, {hole, note.tab.breath, 0, false}, false);
            s.end = std::min(s.start + voicing::slap_time, note.offset);
            s.rise = s.rise * 0.5;
            s.share *= voicing::slap_share;
            s.bite *= voicing::slap_bite;
            strands_.push_back(std::move(s));
        }
    }

    void add_shake(const SoundedNote& note, std::size_t index) {
        for (std::size_t i = 0; i < note.ornaments.size(); ++i) {
            const lick::Ornament& o = note.ornaments[i].ornament;
            if (o.gesture != Gesture::shake || o.other_hole < 1 || o.other_hole > harp::hole_count) continue;
            for (const std::size_t s : open_) {
                strands_[s].shake = 1;
                strands_[s].shake_from = note.ornament_starts[i];
            }
            Strand s = strand(note, index, {o.other_hole, note.tab.breath, 0, false}, false);
            s.start = note.ornament_starts[i];
            s.begin = Strand::Begin::slide;
            s.rise = Seconds{0.010};
            s.pieces.front().from = s.start;
            s.shake = 2;
            s.shake_from = s.start;
            strands_.push_back(std::move(s));
        }
    }

    const harp::Harp& harp_;
    const Performance& performance_;
    std::vector<Strand> strands_;
    std::vector<std::size_t> open_;
};

}  // namespace

std::vector<Strand> strands_of(const harp::Harp& harp, const Performance& performance) {
    return Weaver{harp, performance}.weave();
}

}  // namespace lw::sound
