// SPDX-License-Identifier: Apache-2.0
//
// A take against the lick it tries to be: what came, what did not, how far each note stood from its place and its
// pitch, and the few things that are worth working on.
//
// Nobody plays to a ruler. The take's own tempo is found first, a smooth curve that may drift, and a note is late
// against that curve, not against a clock. A take may start over, stop in the middle or hold the phrase several
// times; each go is followed for itself and the grades come from the one that got furthest.
//
// Nothing finer than what listeners notice is a fault: 6 ms or 2.5 % of the time to the next note (Friberg & Sundberg,
// Time discrimination in a monotonic, isochronous sequence, JASA 98(5), 1995) and 10 cents (Hill & Summers,
// Discrimination of interval size in short tone sequences, JASA 121, 2007).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/lick/lick.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::coach {

/// What a teacher lets pass. Values finer than a listener notices are widened to that.
struct Tolerance {
    Seconds onset{0.035};    // early or late; common practice, no source
    Cents bend{20.0};        // a bend against what is written, by its middle value
    Cents blue_third{40.0};  // a note written with `q`: meant between two notes, so its band is wide
    double shortest = 0.5;   // part of the written length that must sound
    double longest = 1.6;    // and how far it may run into what follows
    Cents unbent{25.0};      // a plain note that hangs below its own reed
    Seconds stall{0.4};      // a stop longer than this is not slow playing any more
};

/// How one written note came.
enum class Came : std::uint8_t { right, wrong, missing };

struct NoteGrade {
    std::size_t note = 0;  // index into Unfolded::notes
    Came came = Came::missing;
    std::optional<std::size_t> heard;  // the first heard note that it is; also of a wrong one
    bool wrong_hole = false;           // holes differ (the equal pitch 2 draw and 3 blow is not wrong)
    bool wrong_breath = false;
    bool wrong_bend =
        false;   // the right hole, but bent by more than half a semitone off, or an overbend against a bend
    int go = 0;  // index into Comparison::goes

    // Of a note that came:
    Seconds onset;  // on the recording
    Seconds offset;
    Seconds due;                      // where the tempo curve puts it
    Seconds onset_error;              // onset - due: late is more than 0
    double length = 1.0;              // sounded against written
    std::optional<Cents> bend_error;  // middle value; more than 0 is too deep, less is not deep enough
    std::optional<Cents> bend_worst;  // the largest, with its sign
    std::vector<lick::Gesture> gestures_missed;  // written, could be heard on the pitch, and was not there

    // Beyond the tolerance:
    bool late = false, early = false;
    bool cut_short = false, too_long = false;
    bool flat = false, sharp = false;
};

/// What there is to say against a note that came, as `--json` and the page say it: `wrong hole`, `late`, `flat`, `no dip`
/// ... Empty for a note that is right in everything.
[[nodiscard]] std::vector<std::string> faults(const NoteGrade& grade);

/// A heard note that is not in the lick.
struct Extra {
    std::size_t heard = 0;
    std::size_t before =
        0;  // index into Unfolded::notes of the written note that it stands before; size at the end
    bool repeated = false;  // the note before or after it, played once more
};

/// One go at the phrase: from where to where it was followed without starting over.
struct Go {
    std::size_t first_heard = 0;
    std::size_t last_heard = 0;
    std::size_t from = 0;  // index into Unfolded::notes
    std::size_t to = 0;    // included
    std::size_t right = 0;
};

/// A stop inside a go.
struct Stall {
    std::size_t before = 0;  // index into Unfolded::notes
    Seconds length;          // beyond the time that was due
};

/// The take's own tempo at a place of the lick.
struct TempoPoint {
    double beat = 0.0;  // on the unfolded line, as it swings
    Seconds at;
    BeatsPerMinute tempo;
};

/// One thing to work on, in a teacher's words.
struct Advice {
    enum class About : std::uint8_t {
        wrong_note,
        missing,
        extra,
        repeated,
        bend,
        timing,
        length,
        swing,
        tempo,
        stall,
        gesture,
        start_over
    };
    About about = About::timing;
    std::vector<std::size_t> notes;  // into Unfolded::notes; empty when it is about the whole
    double weight = 0.0;             // how much it costs the phrase; the list is ordered by it
    std::string words;               // one or two sentences
};
/// `wrong note`, `missing`, `extra` ... as `--json` says it.
[[nodiscard]] std::string_view word(Advice::About about) noexcept;

struct Comparison {
    bool same_lick =
        false;  // false: the take is something else, and nothing below but `likeness` means anything
    double likeness = 0.0;         // 0..1: share of what is written and of what was heard that fits together
    std::vector<NoteGrade> notes;  // one for each note of Unfolded::notes
    std::vector<Extra> extras;     // in goes that were graded
    std::vector<Go> goes;
    std::vector<Stall> stalls;
    std::vector<TempoPoint> tempo_curve;  // of the graded go that holds most notes
    BeatsPerMinute tempo;                 // its middle value
    double drift = 0.0;                   // tempo at the end against the start: 1.08 is 8 % faster
    Seconds evenness;                     // typical distance of an onset from its place (root mean square)
    std::optional<double> swing;  // long to short, as played; nothing where too few slots are cut in two
    std::array<std::optional<Cents>, 2 * harp::hole_count>
        reeds;                   // unbent notes against the harp, the take's
                                 // own middle taken off
    std::vector<Advice> advice;  // most weighty first, at most 6
};

/// Surely this lick, also after every key of harp was tried: some key carries half of nearly any phrase, at some tempo.
/// Asks for most of the notes, or for half of them in a rhythm that is plainly this one's; and for a pulse that neither
/// runs away nor is scattered. A slow, uneven learner has one.
[[nodiscard]] bool surely_same(const Comparison& comparison);

/// Compares. The take may have been heard with another harp than the lick names only when its notes carry no holes.
/// With the `frames` of the same sound, repeated notes that were heard as one are told apart where the lick writes them.
/// Cost: written times heard notes; `too_long` of them is not compared and gives an empty, not same, result.
[[nodiscard]] Comparison compare(const lick::Lick& lick, std::span<const hear::HeardNote> take,
                                 const Tolerance& tolerance = {}, std::span<const hear::Frame> frames = {});
/// Written times heard notes above this are not compared: minutes of work and hundreds of megabytes.
inline constexpr std::size_t too_long = 4'000'000;

}  // namespace lw::coach
