// SPDX-License-Identifier: Apache-2.0
//
// The ten-hole diatonic harmonica: what can sound, on which hole, at what pitch.
//
// Each hole has two reeds, one that speaks when blown and one when drawn. The higher of the two bends down,
// at most to about a semitone above the lower one; the lower one can be made to jump to a semitone above the
// higher one (an overblow or an overdraw). Everything here follows from a list of twenty reeds, so other
// tunings need no other code. Numbers that a player could argue with carry their source where they stand.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "engine/units/quantity.hpp"

namespace lw::harp {

inline constexpr int hole_count = 10;

enum class Breath : std::uint8_t { blow, draw };
[[nodiscard]] constexpr Breath other(Breath b) noexcept {
    return b == Breath::blow ? Breath::draw : Breath::blow;
}

/// One of the twenty reeds. `hole` runs from 1 to 10.
struct Reed {
    int hole = 1;
    Breath breath = Breath::blow;
    friend constexpr auto operator<=>(const Reed&, const Reed&) noexcept = default;
};

/// One hole played one way: plain, bent by so many quarter steps, or overbent.
struct HoleNote {
    int hole = 1;
    Breath breath = Breath::blow;
    int bend_quarter_steps = 0;  // half a semitone each: 2d' is 2, 2d'q is 3
    bool overbend = false;       // an overblow when blown, an overdraw when drawn; never bent as well
    [[nodiscard]] constexpr Reed reed() const noexcept { return {hole, breath}; }
    [[nodiscard]] constexpr Semitones bend() const noexcept { return {bend_quarter_steps / 2.0}; }
    friend constexpr auto operator<=>(const HoleNote&, const HoleNote&) noexcept = default;
};
/// As it is typed in a lick: `4b`, `3d''`, `5dq`, `6bo`, `7do`.
[[nodiscard]] std::string to_text(const HoleNote& note);

/// A key, as a pitch class: 0 is C. Names are the trade's: C Db D Eb E F F# G Ab A Bb B.
struct Key {
    int pitch_class = 0;  // 0..11
    friend constexpr auto operator<=>(const Key&, const Key&) noexcept = default;
};
[[nodiscard]] std::string_view name(Key key) noexcept;
/// Reads a key's name; the other spelling of the same key (C#, G#, Gb ...) is understood too.
[[nodiscard]] std::optional<Key> key_named(std::string_view text) noexcept;
/// The name of a note with its octave, middle C being C4, spelled as in `name`: `Bb3`. Rounds to the nearest.
[[nodiscard]] std::string note_name(Pitch pitch);

/// Which octave the harp is built in. Low and high always shift by exactly an octave (common practice, no
/// source).
enum class Register : std::uint8_t { low, standard, high };

/// Twenty reeds as semitones above the 1 blow of the standard layout, in the order 1b 1d 2b 2d ... 10b 10d.
/// `label_position` is the position whose key makers print on such a harp (1, or 2 for some tunings).
struct Tuning {
    std::string name;
    std::array<int, 2 * hole_count> semitones{};
    int label_position = 1;
    [[nodiscard]] constexpr int at(Reed reed) const noexcept {
        return semitones[static_cast<std::size_t>(2 * (reed.hole - 1) +
                                                  (reed.breath == Breath::draw ? 1 : 0))];
    }
    friend bool operator==(const Tuning&, const Tuning&) = default;
};
/// The tunings a player can buy, by their generic names, standard first.
[[nodiscard]] const std::vector<Tuning>& known_tunings();
[[nodiscard]] const Tuning& standard_tuning();
[[nodiscard]] std::optional<Tuning> tuning_named(std::string_view text);
/// A tuning of one's own: changes to the standard layout such as `3b+2 5d+1` (semitones up or down).
/// Changes stand apart by spaces or commas, 1 to 12 semitones each, a reed at most once.
/// The error says which word could not be read and how to write it.
[[nodiscard]] tl::expected<Tuning, std::string> tuning_from_changes(std::string_view name,
                                                                    std::string_view changes);

/// How far each reed stands from equal temperament, in the order of `Tuning::semitones`; 1 blow is 0.
/// `moved` is for reeds that a tuning puts on another note: by semitones above the 1 blow, octaves folded.
struct Temperament {
    std::string name;
    std::array<Cents, 2 * hole_count> offset{};
    std::array<Cents, 12> moved{};
    [[nodiscard]] constexpr Cents at(Reed reed) const noexcept {
        return offset[static_cast<std::size_t>(2 * (reed.hole - 1) + (reed.breath == Breath::draw ? 1 : 0))];
    }
    friend bool operator==(const Temperament&, const Temperament&) = default;
};
[[nodiscard]] const std::vector<Temperament>& known_temperaments();
[[nodiscard]] const Temperament& equal_temperament();
[[nodiscard]] std::optional<Temperament> temperament_named(std::string_view text);

inline constexpr Hz concert_a4{440.0};
inline constexpr Hz lowest_a4{430.0};
inline constexpr Hz highest_a4{450.0};

/// Why something cannot be played.
enum class Refusal : std::uint8_t {
    no_such_hole,
    bend_too_deep,
    reed_does_not_bend,
    no_overbend_there,
    overbend_bends_not
};

/// One harp: its key, octave, tuning, temperament and pitch of A4. A plain value; copying it costs two
/// strings.
struct Harp {
    Key key{0};
    Register octave = Register::standard;
    Tuning tuning = standard_tuning();
    Temperament temperament = equal_temperament();
    Hz a4 = concert_a4;
    friend bool operator==(const Harp&, const Harp&) = default;
};
/// `C`, `low D`, `high G`.
[[nodiscard]] std::string name(const Harp& harp);
/// Reads `C`, `low D`, `high G`; only variants that are made: low C to low F# and high G (common practice, no
/// source). The error is one sentence.
[[nodiscard]] tl::expected<Harp, std::string> harp_named(std::string_view text);

// What a harp's reeds do. Where a hole is asked for below, it runs from 1 to 10 unless a refusal says so.

/// The note a reed is made for, in equal temperament: always a whole MIDI number.
[[nodiscard]] Pitch made_for(const Harp& harp, Reed reed) noexcept;
/// The frequency a reed really has: temperament and A4 applied.
[[nodiscard]] Hz frequency(const Harp& harp, Reed reed) noexcept;
/// The frequency of any pitch when A4 has the harp's value.
[[nodiscard]] Hz frequency(const Harp& harp, Pitch pitch) noexcept;
/// Distance between the two reeds of a hole, never negative.
[[nodiscard]] Semitones gap(const Harp& harp, int hole) noexcept;
/// The breath whose reed is the higher one, which is the one that bends; nothing where both are equal.
[[nodiscard]] std::optional<Breath> bending_breath(const Harp& harp, int hole) noexcept;
/// Whole half steps this reed bends: gap - 1 for the higher reed of a hole, 0 for the other.
[[nodiscard]] Semitones deepest_bend(const Harp& harp, Reed reed) noexcept;
/// The soft floor: how far down the reed can be pulled at all. Half a semitone past the last half step of a
/// reed that bends, a small dip on the other (common practice, no source).
[[nodiscard]] Semitones bend_floor(const Harp& harp, Reed reed) noexcept;
/// The pitch of one way of playing, in equal temperament; refuses what the hole cannot do and never clamps.
/// A quarter step (`q`) may pass the last half step of the reed that bends: `5dq` speaks, `4bq` does not.
[[nodiscard]] tl::expected<Pitch, Refusal> pitch(const Harp& harp, const HoleNote& note) noexcept;
/// The same as a frequency, the temperament of the sounding reed included (of the higher reed in an
/// overbend).
[[nodiscard]] tl::expected<Hz, Refusal> frequency(const Harp& harp, const HoleNote& note) noexcept;
/// The frequency of a reed bent by any depth, for what glides: `depth` is clamped to [-0.5, bend floor + 0.1]
/// semitones.
[[nodiscard]] Hz bent_frequency(const Harp& harp, Reed reed, Semitones depth) noexcept;
/// The overbend of a hole: blown where the draw reed is higher, drawn where the blow reed is.
[[nodiscard]] std::optional<HoleNote> overbend(const Harp& harp, int hole) noexcept;

/// Everything this harp plays in half steps: plain notes, bends, overbends; by hole, blow before draw,
/// shallow first.
[[nodiscard]] std::vector<HoleNote> every_note(const Harp& harp);
/// Every way to play a pitch within 25 cents, plain before bent before overbent, low holes first. Quarter
/// steps are tried too.
[[nodiscard]] std::vector<HoleNote> ways_to_play(const Harp& harp, Pitch pitch);

/// Two holes of one breath with the tongue on those between.
struct Split {
    int low = 1;
    int high = 4;
    Breath breath = Breath::blow;
    Semitones interval{};
    [[nodiscard]] constexpr bool octave() const noexcept { return interval == Semitones{12.0}; }
    friend constexpr bool operator==(const Split&, const Split&) noexcept = default;
};
/// All pairs three or four holes apart (1+4, 1+5 ...), blow first, low first; the interval may be negative in
/// a tuning of one's own.
[[nodiscard]] std::vector<Split> splits(const Harp& harp);

// Positions.

/// The key of the music: position n is n - 1 fifths up from the key of the harp. `position` runs from 1
/// to 12.
[[nodiscard]] Key key_of_music(Key harp, int position) noexcept;
[[nodiscard]] Key key_of_harp(Key music, int position) noexcept;
[[nodiscard]] int position(Key harp, Key music) noexcept;
/// `1st`, `2nd`, `3rd`, `4th` ... `12th`.
[[nodiscard]] std::string ordinal(int position);
/// The degree of a pitch above a tonic in the trade's spelling: 1 b2 2 b3 3 4 b5 5 b6 6 b7 7.
[[nodiscard]] std::string_view degree(Key tonic, Pitch pitch) noexcept;

}  // namespace lw::harp
