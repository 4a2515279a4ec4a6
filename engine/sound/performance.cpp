// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/performance.hpp"

#include <algorithm>
#include <optional>

#include "engine/sound/bend_path.hpp"
#include "engine/sound/habits.hpp"

namespace lw::sound {
namespace {

using lick::Gesture;
using lick::PlayedNote;
using lick::Start;

/// A whole number of beats at or above a place.
std::int64_t ceiling(Beats beats) noexcept {
    return -(-beats.value).floor();
}

/// Where the passes of a phrase lie on the clip, in beats of the clip: exact, before any tempo.
class Timeline {
  public:
    Timeline(const lick::Lick& lick, const lick::Unfolded& played, bool count_in)
        : lick_(lick), played_(played), bar_(lick.head.meter.beats()) {
        const bool pickup = !lick.bars.empty() && lick.bars.front().pickup;
        // The bar line that the count leads to: a pickup counts as the end of a full bar.
        line_ = Beats{pickup ? Fraction{-bar_} : Fraction{0}};
        begin_ = count_in ? line_ - Beats{Fraction{bar_}} : played.start;
        // The next pass begins its bar on the first bar line that leaves a full bar of rest.
        const Beats missing = played.start - line_;
        const Beats earliest = played.end + Beats{Fraction{bar_}} - missing;
        const std::int64_t bars = ceiling(earliest / Fraction{bar_});
        period_ = Beats{Fraction{bars * bar_}} - line_;
    }

    /// The first beat of a pass, its count or bar of rest included, in beats of the phrase.
    [[nodiscard]] Beats begin(int pass) const noexcept { return pass == 1 ? begin_ : played_.end - period_; }
    /// A straight place of the phrase in seconds of the clip.
    [[nodiscard]] Seconds time(int pass, Beats straight, BeatsPerMinute tempo) const noexcept {
        const Beats on_clip =
            swung(lick_, played_, straight) - begin_ + period_ * Fraction{std::int64_t{pass} - 1};
        return {on_clip.value.value() * 60.0 / tempo.value};
    }
    /// The number of a whole beat in its bar, from 1.
    [[nodiscard]] int number(Beats beat) const noexcept {
        const auto after =
            std::upper_bound(played_.bars.begin(), played_.bars.end(), beat,
                             [](Beats b, const lick::PlayedBar& bar) { return b < bar.start; });
        if (after != played_.bars.begin() && beat >= Beats{}) {
            return static_cast<int>((beat - std::prev(after)->start).value.floor()) + 1;
        }
        const std::int64_t from_line = (beat - line_).value.floor();
        return static_cast<int>(((from_line % bar_) + bar_) % bar_) + 1;
    }

  private:
    const lick::Lick& lick_;
    const lick::Unfolded& played_;
    std::int64_t bar_;
    Beats line_;
    Beats begin_;
    Beats period_;
};

bool has(const PlayedNote& note, Gesture gesture) noexcept {
    return std::any_of(note.ornaments.begin(), note.ornaments.end(),
                       [&](const lick::PlayedOrnament& o) { return o.ornament.gesture == gesture; });
}

/// One reed sounds on through both: the bend moves, nothing else does.
bool same_reed(const lick::Tab& a, const lick::Tab& b) noexcept {
    return a.lead_hole() == b.lead_hole() && a.breath == b.breath && a.overbend == b.overbend;
}

/// The reed that leads a note sounds in the one before it, be it inside a chord.
bool already_sounds(const lick::Tab& before, const lick::Tab& now) noexcept {
    return before.breath == now.breath && before.overbend == now.overbend &&
           std::find(before.holes.begin(), before.holes.end(), now.lead_hole()) != before.holes.end();
}

double strength_of(const PlayedNote& note, bool downbeat) noexcept {
    if (has(note, Gesture::ghost)) return habits::ghost_strength;
    if (has(note, Gesture::accent)) return habits::accent_strength;
    return habits::plain_strength + (downbeat ? habits::downbeat_lean : 0.0);
}

/// How much of the end of a note is silent, so that what comes next can begin.
Seconds stolen(const PlayedNote& note, const PlayedNote* next, bool breath, Seconds length) noexcept {
    Seconds gap = habits::lift;
    if (next != nullptr) {
        const bool same_holes = note.tab.breath == next->tab.breath && note.tab.holes == next->tab.holes;
        gap = same_holes ? habits::tongue_gap : habits::move_gap;
    }
    gap = std::min(gap, length * habits::most_stolen_by_gap);
    if (breath) gap = std::max(gap, std::min(habits::catch_breath, length * habits::most_stolen_by_breath));
    if (has(note, Gesture::brief)) gap = std::max(gap, length * (1.0 - habits::short_part));
    return gap;
}

/// The range of depths a note's lead reed has.
void set_range(PathPlan& plan, const harp::Harp& harp, const lick::Tab& tab) {
    if (tab.overbend) {  // pulled by feel only, either way
        plan.highest = Semitones{-0.3};
        plan.lowest = Semitones{0.3};
        return;
    }
    plan.highest = Semitones{0.0};
    plan.lowest = std::max(harp::bend_floor(harp, {tab.lead_hole(), tab.breath}), plan.rest);
}

/// The depth on this note's reed that comes nearest to the pitch of the note it glides to.
Semitones depth_towards(const harp::Harp& harp, const lick::Tab& tab, const lick::Tab& target) {
    if (same_reed(tab, target)) return target.bend();
    const auto here = harp::pitch(harp, harp::HoleNote{tab.lead_hole(), tab.breath, 0, tab.overbend});
    const auto there = harp::pitch(harp, target.note_of(target.lead_hole()));
    if (!here || !there) return tab.bend();
    return *here - *there;  // the plan keeps it within the reed
}

PathPlan plan_path(const harp::Harp& harp, const SoundedNote& note, const SoundedNote* before,
                   const PlayedNote* next) {
    PathPlan plan;
    plan.onset = note.onset;
    plan.offset = note.offset;
    plan.rest = note.tab.overbend ? Semitones{} : note.tab.bend();
    set_range(plan, harp, note.tab);
    const Seconds length = note.offset - note.onset;
    const Seconds longest = length * habits::most_of_note;

    Seconds arrived = note.onset;
    if (note.how != Start::attack && before != nullptr && already_sounds(before->tab, note.tab)) {
        // A glide has arrived already; only what it could not reach is left to do.
        const Semitones from = same_reed(before->tab, note.tab) ? before->bend.back().depth : Semitones{};
        arrived = note.onset + std::min(habits::join_time, longest);
        if (from != plan.rest) plan.travels.push_back({note.onset, arrived, from, plan.rest});
    }
    for (std::size_t i = 0; i < note.ornaments.size(); ++i) {
        const Seconds at = note.ornament_starts[i];
        const lick::Ornament& ornament = note.ornaments[i].ornament;
        const auto until = [&](Seconds time) { return std::min(at + std::min(time, longest), note.offset); };
        switch (ornament.gesture) {
            case Gesture::approach:
                if (same_reed(ornament.from, note.tab) && plan.travels.empty()) {
                    arrived = until(habits::approach_time);
                    plan.travels.push_back({at, arrived, ornament.from.bend(), plan.rest});
                }
                break;
            case Gesture::dip:
                plan.overlays.push_back(
                    {Overlay::Shape::there_and_back, at, until(habits::dip_time), habits::dip_depth});
                break;
            case Gesture::scoop:
                // Inside a held note a scoop has to go down first: it is a dip.
                plan.overlays.push_back(
                    {at > note.onset ? Overlay::Shape::there_and_back : Overlay::Shape::from_below, at,
                     until(habits::scoop_time), habits::scoop_depth});
                break;
            case Gesture::fall:
                plan.overlays.push_back({Overlay::Shape::sink,
                                         note.offset - std::min(habits::fall_time, longest), note.offset,
                                         habits::fall_depth});
                break;
            case Gesture::vibrato: {
                const bool bends = plan.rest > Semitones{} || note.tab.overbend;
                plan.overlays.push_back(
                    {Overlay::Shape::wave, at + (at > note.onset ? Seconds{} : habits::vibrato_delay),
                     note.offset, bends ? habits::vibrato_depth_bent : habits::vibrato_depth_plain});
                break;
            }
            default:
                break;  // the others are not about pitch
        }
    }
    if (next != nullptr && next->how == Start::glide) {
        plan.travels.push_back({arrived, note.offset, plan.rest, depth_towards(harp, note.tab, next->tab)});
    }
    return plan;
}

class Player {
  public:
    Player(const lick::Lick& lick, const Choices& choices)
        : lick_(lick),
          choices_(choices),
          played_(lick::unfold(lick)),
          timeline_(lick, played_, choices.count_in) {
        out_.tempo = choices.tempo.value > 0.0 ? choices.tempo : lick.head.tempo;
    }

    Performance play() {
        const int passes = std::max(choices_.repeats, 1);
        for (int pass = 1; pass <= passes; ++pass) {
            play_beats(pass);
            play_clicks(pass);
            play_notes(pass);
            out_.phrase_starts.push_back(time(pass, Beats{}));
        }
        out_.length = time(passes, played_.end) + habits::last_tail;
        return std::move(out_);
    }

  private:
    [[nodiscard]] Seconds time(int pass, Beats straight) const noexcept {
        return timeline_.time(pass, straight, out_.tempo);
    }

    void play_beats(int pass) {
        const Beats begin = timeline_.begin(pass);
        const auto point = [&](Beats beat) { out_.beats.push_back({time(pass, beat), beat, pass}); };
        const Beats half{Fraction{1, 2}};
        point(begin);
        for (std::int64_t b = begin.value.floor(); Fraction{b} < played_.end.value; ++b) {
            const Beats beat{Fraction{b}};
            if (beat > begin) point(beat);
            const Beats middle = beat + half;  // the turn of a slot that swings
            if (middle > begin && middle < played_.end && swung(lick_, played_, middle) != middle)
                point(middle);
        }
        if (played_.end > begin) point(played_.end);
    }

    void play_clicks(int pass) {
        const Beats first = played_.notes.empty() ? played_.end : played_.notes.front().start;
        for (std::int64_t b = ceiling(timeline_.begin(pass)); Fraction{b} < played_.end.value; ++b) {
            const Beats beat{Fraction{b}};
            const bool counting = choices_.count_in && beat < first;
            if (!counting && !choices_.click_through) continue;
            const int number = timeline_.number(beat);
            out_.clicks.push_back({time(pass, beat), number == 1, counting, number});
        }
    }

    void play_notes(int pass) {
        const std::vector<PlayedNote>& notes = played_.notes;
        for (std::size_t i = 0; i < notes.size(); ++i) {
            const PlayedNote& written = notes[i];
            const Beats end = written.start + written.length;
            const PlayedNote* next =
                i + 1 < notes.size() && notes[i + 1].start == end ? &notes[i + 1] : nullptr;
            SoundedNote note;
            note.onset = time(pass, written.start);
            note.offset = time(pass, end);
            note.tab = written.tab;
            note.how = written.how;
            note.pass = pass;
            note.note = i;
            note.strength = strength_of(written, is_downbeat(written));
            if (next == nullptr || next->how == Start::attack) {
                const bool breath =
                    std::find(played_.breaths.begin(), played_.breaths.end(), end) != played_.breaths.end();
                note.offset -= stolen(written, next, breath, note.offset - note.onset);
            }
            note.ornaments = written.ornaments;
            for (const lick::PlayedOrnament& o : written.ornaments) {
                note.ornament_starts.push_back(std::min(time(pass, o.at), note.offset));
            }
            const bool joined = i > 0 && written.how != Start::attack &&
                                notes[i - 1].start + notes[i - 1].length == written.start;
            if (!joined) note.how = Start::attack;  // nothing sounds that it could join
            const SoundedNote* before = joined ? &out_.notes.back() : nullptr;
            note.bend = bend_path(plan_path(lick_.head.harp, note, before, next));
            out_.notes.push_back(std::move(note));
        }
    }

    [[nodiscard]] bool is_downbeat(const PlayedNote& note) const noexcept {
        return note.start.value.whole() && timeline_.number(note.start) == 1;
    }

    const lick::Lick& lick_;
    const Choices& choices_;
    lick::Unfolded played_;
    Timeline timeline_;
    Performance out_;
};

}  // namespace

Performance perform(const lick::Lick& lick, const Choices& choices) {
    return Player{lick, choices}.play();
}

}  // namespace lw::sound
