// SPDX-License-Identifier: Apache-2.0
//
// A lick as it is written: bars of notes, holds and rests at exact places in the beat, for one harp.
//
// This is the model between all rooms. The reader (engine/text) makes one from text, the writer spells it
// again, layout (engine/draw) pictures it, `unfold` (engine/lick/unfold.hpp) plays out its repeats for
// everything that needs time. It holds what was written, not how it sounds: swing, glides in milliseconds and
// breath noise belong to engine/sound. Plain data; a lick that came from the reader without an error is sound
// in the sense of `check`.
//
// Time is counted in felt beats. One beat is one slot of the text: a quarter in 4/4, a dotted quarter in
// 12/8.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/units/quantity.hpp"

namespace lw::lick {

using harp::Breath;

/// Where something stands in a source text: line and column from 1, the column and length counted in code
/// points. {0,0,0} for what did not come from text. Places are not part of what a lick is: they never make
/// two licks differ.
struct Place {
    int line = 0;
    int column = 0;
    int length = 0;
    friend constexpr bool operator==(const Place&, const Place&) noexcept { return true; }
};

/// What the mouth does: one or more holes in one breath, one of them perhaps bent, or a single hole overbent.
struct Tab {
    std::vector<int> holes;  // ascending, 1..10, never empty for a note; holes apart mean a tongue block
    Breath breath = Breath::blow;
    int bent_hole = 0;           // which of the holes bends; 0 when none does
    int bend_quarter_steps = 0;  // 2 per `'`, 1 for `q`
    bool overbend = false;       // only ever with one hole
    friend bool operator==(const Tab&, const Tab&) = default;

    [[nodiscard]] bool chord() const noexcept { return holes.size() > 1; }
    /// The hole that carries the melody: the bent one, else the highest.
    [[nodiscard]] int lead_hole() const noexcept {
        return bent_hole != 0 ? bent_hole : (holes.empty() ? 0 : holes.back());
    }
    /// The part of the tab that one hole plays.
    [[nodiscard]] harp::HoleNote note_of(int hole) const noexcept {
        return {hole, breath, hole == bent_hole ? bend_quarter_steps : 0, overbend};
    }
    /// Depth of the bent hole; 0 when nothing bends.
    [[nodiscard]] Semitones bend() const noexcept { return {bend_quarter_steps / 2.0}; }
};

/// How a note begins.
enum class Start : std::uint8_t {
    attack,  // a fresh attack
    joined,  // `>`: no new attack, the pitch arrives within about 60 ms
    glide,   // `>>`: no new attack, the pitch travels through the whole of the note before
};

enum class Gesture : std::uint8_t {
    approach,
    dip,
    scoop,
    fall,
    vibrato,
    shake,
    wah,
    flutter,
    slap,
    accent,
    brief,
    ghost
};
/// The word in braces: `from`, `dip`, ... `short`, `ghost`.
[[nodiscard]] std::string_view word(Gesture gesture) noexcept;

struct Ornament {
    Gesture gesture = Gesture::vibrato;
    int other_hole = 0;  // `{shake 5}`
    Tab from;            // `{from 3d'}`: one note of the same breath
    friend bool operator==(const Ornament&, const Ornament&) = default;
};

/// One token of a bar, at its place.
struct Event {
    enum class Kind : std::uint8_t {
        note,
        hold,  // lengthens what sounds; after a rest it is silence (the reader makes that a rest)
        rest,
    };
    Kind kind = Kind::rest;
    Beats at;      // from the start of the bar, on the straight grid
    Beats length;  // more than 0
    Tab tab;       // of a note
    Start start = Start::attack;
    std::vector<Ornament> ornaments;  // of a note, or beginning on a hold; never of a rest
    bool breath_before = false;       // `,` stands before it
    Place place;
    friend bool operator==(const Event&, const Event&) = default;
};

/// One pair of `( )`: `length` cut into `parts` equal parts. Groups of a bar are listed as they open, so a
/// group stands after the one that holds it.
struct Group {
    Beats at;
    Beats length;
    int parts = 2;
    int depth = 0;  // 0 for a group that fills a slot (or several), 1 inside it, ...
    int slots = 1;  // 2 for `( )/2`: slots at depth 0, parts of the group around it when deeper
    friend bool operator==(const Group&, const Group&) = default;
};

/// A chord symbol and how long it stands. `symbol` is empty where the lane says `.` (no chord).
struct ChordSpan {
    Beats at;
    Beats length;
    std::string symbol;  // as typed: `G7`, `F#m7b5`, `D7/A`
    Place place;
    friend bool operator==(const ChordSpan&, const ChordSpan&) = default;
};

struct Bar {
    Beats length;  // a full bar, or less in a pickup and in a last bar that completes it
    bool pickup = false;
    bool opens_repeat = false;   // `|:` before it
    bool closes_repeat = false;  // `:|` after it
    int ending = 0;              // `|1`, `|2` before it: the ending that begins here
    bool breath_at_end = false;  // a `,` after the last event
    std::vector<Event> events;   // fill the bar without gap or overlap, in order
    std::vector<Group> groups;
    std::vector<ChordSpan> chords;  // empty when the lick has no chords lane
    Place place;
    friend bool operator==(const Bar&, const Bar&) = default;
};

/// `beats` felt beats to a bar. In 6/8, 9/8 and 12/8 each is naturally three and the group `(a b)` is a
/// duplet.
struct Meter {
    int top = 4;
    int bottom = 4;
    [[nodiscard]] constexpr bool compound() const noexcept { return bottom == 8; }
    [[nodiscard]] constexpr int beats() const noexcept { return compound() ? top / 3 : top; }
    /// How many quarter notes one felt beat lasts.
    [[nodiscard]] constexpr Fraction quarters_per_beat() const noexcept {
        return compound() ? Fraction{3, 2} : Fraction{4, bottom};
    }
    friend constexpr bool operator==(const Meter&, const Meter&) noexcept = default;
};

/// The long part against the short part of a two-part slot: 1 is straight, 2 is `swing`, 3/2 is `swing 3:2`.
struct Feel {
    Fraction ratio{1};
    [[nodiscard]] constexpr bool straight() const noexcept { return ratio == Fraction{1}; }
    friend constexpr bool operator==(const Feel&, const Feel&) noexcept = default;
};

inline constexpr BeatsPerMinute slowest_tempo{20.0};
inline constexpr BeatsPerMinute fastest_tempo{400.0};

/// What stands above the lanes.
struct Head {
    std::string title;
    harp::Harp harp;
    std::optional<int> position;  // 1..12
    Meter meter;
    BeatsPerMinute tempo{90.0};
    Feel feel;
    std::vector<std::string> tags;
    std::vector<std::string> more;  // addresses of the full lesson
    std::string credit;
    friend bool operator==(const Head&, const Head&) = default;
};

struct Lick {
    Head head;
    std::vector<Bar> bars;
    friend bool operator==(const Lick&, const Lick&) = default;
};

/// The key the music is in, when the lick says a position.
[[nodiscard]] std::optional<harp::Key> key_of_music(const Head& head) noexcept;

}  // namespace lw::lick
