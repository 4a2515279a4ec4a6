// SPDX-License-Identifier: Apache-2.0
//
// What the two reeds of a hole do: sound plain, bend, overbend.
//
// A bend sounds inside the interval of the two reeds, an overbend outside it: Bahnson, Antaki & Beery, JASA
// 103(4), 2134-2144 (1998), abstract. The higher reed sinks to about a semitone above the lower: Bending &
// Overblows, player mailing list archive (Sept 1994). An overbend sounds about a semitone above the higher
// reed, with the breath of the lower one: common practice, no source.
#include <algorithm>
#include <cmath>

#include "engine/harp/harp.hpp"

namespace lw::harp {
namespace {

/// How far past its last half step a reed can still be pulled (`q`). Common practice, no source: about 40
/// cents with care, and 30 to 50 on 5 draw and 7 blow; a quarter step is what a player aims for.
constexpr Semitones past_the_last_step{0.5};

/// How far a reed that does not bend can be dipped. Common practice, no source: "a small dip is possible on
/// any reed"; twice what is just noticed in a melody (10 cents), so that a dip written there is heard.
constexpr Semitones small_dip{0.2};

/// A glide may overshoot: half a semitone sharp (an overbend pulled up), a little past the soft floor.
constexpr Semitones glide_up{-0.5};
constexpr Semitones glide_past_floor{0.1};

constexpr bool exists(int hole) noexcept {
    return hole >= 1 && hole <= hole_count;
}

Hz raised(Hz f, Semitones by) noexcept {
    return f * std::exp2(by.value / 12.0);
}

/// The 1 blow. G to B lie below middle C, C to F# from there upwards ("Richter-tuned harmonica", Wikipedia).
Pitch one_blow(const Harp& harp) noexcept {
    const int below_middle_c = harp.key.pitch_class >= 7 ? -12 : 0;
    const int shift = harp.octave == Register::low ? -12 : harp.octave == Register::high ? 12 : 0;
    return Pitch{60.0 + harp.key.pitch_class + below_middle_c + shift};
}

/// Semitones that the draw reed stands above the blow reed; negative in holes 7 to 10.
int draw_over_blow(const Harp& harp, int hole) noexcept {
    return harp.tuning.at({hole, Breath::draw}) - harp.tuning.at({hole, Breath::blow});
}

Cents off_equal(const Harp& harp, Reed reed) noexcept {
    const int semitones = harp.tuning.at(reed);
    if (semitones == standard_tuning().at(reed)) return harp.temperament.at(reed);
    return harp.temperament.moved[static_cast<std::size_t>((semitones % 12 + 12) % 12)];
}

/// Everything that `pitch` and `frequency` refuse.
std::optional<Refusal> refusal(const Harp& harp, const HoleNote& note) noexcept {
    if (!exists(note.hole)) return Refusal::no_such_hole;
    const std::optional<Breath> bends = bending_breath(harp, note.hole);
    if (note.overbend) {
        if (note.bend_quarter_steps != 0) return Refusal::overbend_bends_not;
        if (!bends || note.breath == *bends) return Refusal::no_overbend_there;
        return std::nullopt;
    }
    if (note.bend_quarter_steps == 0) return std::nullopt;
    if (!bends || note.breath != *bends) return Refusal::reed_does_not_bend;
    if (note.bend_quarter_steps < 0 || note.bend() > deepest_bend(harp, note.reed()) + past_the_last_step)
        return Refusal::bend_too_deep;
    return std::nullopt;
}

}  // namespace

Pitch made_for(const Harp& harp, Reed reed) noexcept {
    return one_blow(harp) + Semitones{static_cast<double>(harp.tuning.at(reed))};
}

Hz frequency(const Harp& harp, Pitch pitch) noexcept {
    constexpr Pitch a4{69.0};
    return raised(harp.a4, pitch - a4);
}

Hz frequency(const Harp& harp, Reed reed) noexcept {
    return raised(frequency(harp, made_for(harp, reed)), to_semitones(off_equal(harp, reed)));
}

Semitones gap(const Harp& harp, int hole) noexcept {
    return {static_cast<double>(std::abs(draw_over_blow(harp, hole)))};
}

std::optional<Breath> bending_breath(const Harp& harp, int hole) noexcept {
    const int over = draw_over_blow(harp, hole);
    if (over == 0) return std::nullopt;
    return over > 0 ? Breath::draw : Breath::blow;
}

Semitones deepest_bend(const Harp& harp, Reed reed) noexcept {
    if (bending_breath(harp, reed.hole) != reed.breath) return {0.0};
    return gap(harp, reed.hole) - Semitones{1.0};
}

Semitones bend_floor(const Harp& harp, Reed reed) noexcept {
    if (bending_breath(harp, reed.hole) != reed.breath) return small_dip;
    return deepest_bend(harp, reed) + past_the_last_step;
}

tl::expected<Pitch, Refusal> pitch(const Harp& harp, const HoleNote& note) noexcept {
    if (const std::optional<Refusal> no = refusal(harp, note)) return tl::unexpected(*no);
    if (note.overbend) {
        return made_for(harp, {note.hole, other(note.breath)}) + Semitones{1.0};
    }
    return made_for(harp, note.reed()) - note.bend();
}

tl::expected<Hz, Refusal> frequency(const Harp& harp, const HoleNote& note) noexcept {
    if (const std::optional<Refusal> no = refusal(harp, note)) return tl::unexpected(*no);
    if (note.overbend) {
        return raised(frequency(harp, Reed{note.hole, other(note.breath)}), Semitones{1.0});
    }
    return raised(frequency(harp, note.reed()), -note.bend());
}

Hz bent_frequency(const Harp& harp, Reed reed, Semitones depth) noexcept {
    return raised(frequency(harp, reed),
                  -std::clamp(depth, glide_up, bend_floor(harp, reed) + glide_past_floor));
}

std::optional<HoleNote> overbend(const Harp& harp, int hole) noexcept {
    if (!exists(hole)) return std::nullopt;
    const std::optional<Breath> bends = bending_breath(harp, hole);
    if (!bends) return std::nullopt;
    return HoleNote{hole, other(*bends), 0, true};
}

}  // namespace lw::harp
