// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/written.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

/// Two pitches nearer than this are the same note of the harp: half of a half step.
constexpr Semitones same_pitch{0.5};
/// Less than one note missing and one too many together: another note at the right time is a wrong note.
constexpr double most_for_a_note = 1.9;

Semitones distance(Semitones a, Semitones b) noexcept {
    return {std::abs(a.value - b.value)};
}

/// The depth that a heard note reaches which is nearest to `wanted`: at its start, at its end, or on the way.
Semitones nearest_depth(const hear::HeardNote& heard, Semitones wanted) noexcept {
    Semitones best =
        distance(heard.bend, wanted) < distance(heard.bend_start, wanted) ? heard.bend : heard.bend_start;
    for (const hear::BendSample& s : heard.bend_path)
        if (distance(s.depth, wanted) < distance(best, wanted)) best = s.depth;
    return best;
}

std::size_t shared_holes(const std::vector<int>& a, const std::vector<int>& b) {
    return static_cast<std::size_t>(std::count_if(
        a.begin(), a.end(), [&](int h) { return std::find(b.begin(), b.end(), h) != b.end(); }));
}

Semitones off_pitch(Pitch a, Pitch b) noexcept {
    return {std::abs((a - b).value)};
}

}  // namespace

bool same_reed(const lick::Tab& a, const lick::Tab& b) noexcept {
    return a.lead_hole() == b.lead_hole() && a.breath == b.breath && a.overbend == b.overbend;
}

std::vector<WrittenNote> written_notes(const lick::Lick& lick, const lick::Unfolded& played) {
    std::vector<WrittenNote> notes;
    notes.reserve(played.notes.size());
    for (const lick::PlayedNote& n : played.notes) {
        WrittenNote w;
        w.beat = lick::swung(lick, played, n.start).value.value();
        w.end = lick::swung(lick, played, n.start + n.length).value.value();
        w.slot = static_cast<double>(n.start.value.floor());
        w.off_beat =
            !lick.head.meter.compound() && n.start.value - Fraction{n.start.value.floor()} == Fraction{1, 2};
        w.tab = n.tab;
        w.how = n.how;
        const auto pitch = harp::pitch(lick.head.harp, n.tab.note_of(n.tab.lead_hole()));
        w.pitch = pitch ? *pitch : Pitch{};
        if (!notes.empty() && n.how != lick::Start::attack)
            w.goes_on = same_reed(notes.back().tab, n.tab) && std::abs(notes.back().end - w.beat) < 1e-9;
        notes.push_back(std::move(w));
    }
    return notes;
}

Likeness likeness(const harp::Harp& harp, const WrittenNote& written, const hear::HeardNote& heard) {
    Likeness l;
    if (heard.tab.holes.empty()) {  // heard without a harp: all there is is a pitch
        const Semitones off = off_pitch(heard.pitch, written.pitch);
        l.same_holes = l.same_breath = off < same_pitch;
        l.cost = l.same_holes ? 0.0 : std::min(most_for_a_note, 1.4 + 0.1 * off.value);
        return l;
    }
    const std::size_t shared = shared_holes(written.tab.holes, heard.tab.holes);
    const bool all_shared = shared == written.tab.holes.size() && shared == heard.tab.holes.size();
    l.same_breath = written.tab.breath == heard.tab.breath;
    l.same_holes = all_shared && l.same_breath;
    const bool alike_kind = written.tab.overbend == heard.tab.overbend;
    if (l.same_holes && alike_kind) {
        const Semitones wanted = written.tab.bend();
        l.bend_off = nearest_depth(heard, wanted) - wanted;
        l.cost = std::min(1.0, std::max(0.0, std::abs(l.bend_off.value) - 0.2));
        return l;
    }
    // 2 draw and 3 blow, an overblow and the bend beside it: one pitch, two ways. No ear can tell, so neither is wrong.
    if (!written.tab.chord() && !heard.tab.chord()) {
        const auto other = harp::pitch(harp, heard.tab.note_of(heard.tab.lead_hole()));
        if (other && off_pitch(*other, written.pitch) < Semitones{0.3}) {
            l.same_holes = l.same_breath = true;
            l.cost = 0.05;
            return l;
        }
        if (other && off_pitch(heard.pitch, written.pitch) < Semitones{0.35}) {
            l.same_holes = l.same_breath = true;  // a bend that came out as another note's pitch
            l.cost = 0.4;
            return l;
        }
    }
    if (l.same_breath && shared > 0) {  // a hole of a double stop did not speak, or one too many did
        l.cost = all_shared ? 1.2 : 1.0;
        return l;
    }
    const int apart = std::abs(written.tab.lead_hole() - heard.tab.lead_hole());
    l.cost = std::min(most_for_a_note, 1.4 + 0.1 * apart + (l.same_breath ? 0.0 : 0.2));
    if (apart == 0) l.cost = 1.3;  // the right hole on the other breath
    return l;
}

}  // namespace lw::coach
