// SPDX-License-Identifier: Apache-2.0
//
// Hearing: from samples to notes of a harp. Sound is cut into frames of 10 ms (pitch, level, evidence of an onset);
// a decoder that knows the physics of the harp explains the frames by reeds: which holes, which breath, how deep the
// bend, where a note begins anew. What it is not sure of it says so.
//
// The same code serves a whole file and a running microphone: `listen` is a Listener that was handed everything.
// With the harp given, notes carry holes; without it they carry pitches only, and engine/coach ranks the harps.
// Beats are not this room's business: times here are seconds from the first sample.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/lick/lick.hpp"
#include "engine/units/quantity.hpp"

namespace lw::hear {

/// One look at the sound, every 10 ms. `at` is the middle of what was looked at.
struct Frame {
    Seconds at;
    Hz pitch;                 // of the loudest reed; 0 where nothing sounds with a pitch
    double confidence = 0.0;  // 0..1: that something with this pitch sounds
    Decibels level;           // of the frame, full scale is 0
    double onset = 0.0;       // 0..1: evidence that a note begins here
    double reed = 0.5;        // 0..1: evidence that what plays here is a free reed
};
inline constexpr Seconds frame_step{0.010};

/// How deep the lead hole is bent at a time. Depth counts down from the player's own unbent reed.
struct BendSample {
    Seconds at;
    Semitones depth;
};

/// Something heard on a note besides its pitch.
struct HeardGesture {
    lick::Gesture gesture = lick::Gesture::vibrato;
    int other_hole = 0;  // of a shake
    Seconds at;          // where it begins
};

/// One note as it was heard.
struct HeardNote {
    Seconds onset;
    Seconds offset;
    lick::Tab tab;         // holes empty when no harp was given; a bend rounded to quarter steps
    Pitch pitch;           // of the lead hole at its settled end, A4 = 440 Hz
    Semitones bend;        // at the end of the note, not rounded; 0 for an unbent note
    Semitones bend_start;  // at its start
    std::vector<BendSample>
        bend_path;  // every frame_step, of the first 10 s; empty for overbends, chords and without a harp
    bool joined = false;  // no new attack: the pitch of the note before moved here
    std::vector<HeardGesture> gestures;
    double confidence = 0.0;  // 0..1: the chance that onset, holes, breath and bend are right
};

/// What is known beforehand.
struct Given {
    std::optional<harp::Harp> harp;
    std::optional<Hz> a4;  // of the recording; estimated between 434 and 446 Hz when absent
    /// The player's own reeds against `harp`, in the order of Tuning::semitones; from a calibration.
    std::optional<std::array<Cents, 2 * harp::hole_count>> reeds;
};

/// What came of it all.
struct Heard {
    std::vector<HeardNote> notes;  // by onset
    std::vector<Frame> frames;
    Hz a4{440.0};
    /// How far each reed stands from the harp's own pitch at `a4`; nothing where it was not heard unbent.
    std::array<std::optional<Cents>, 2 * harp::hole_count> reeds;
    double noise = 0.0;    // 0..1: how much of the sound no harp explains (speech, a band, hiss)
    double clipped = 0.0;  // share of the samples at full scale
};

/// A first, quick word on what sounds now; may be wrong.
struct Guess {
    Seconds at;
    Hz pitch;
    double confidence = 0.0;
};

/// Hears while the sound runs. Nothing is allocated after the constructor so long as frames and notes are taken at least
/// every 10 seconds of sound (test: Listener.TakesNothingFromTheHeapWhileItRuns).
class Listener {
  public:
    /// `rate` in samples a second, 8000 to 192000.
    explicit Listener(double rate, const Given& given = {});
    Listener(Listener&&) noexcept;
    Listener& operator=(Listener&&) noexcept;
    ~Listener();

    /// More sound, one channel, any number of samples. Samples that are not finite count as silence.
    void push(std::span<const float> samples);
    /// No more will come: decides what was still open.
    void finish();

    /// What sounds now, at most 30 ms after it became periodic.
    [[nodiscard]] Guess guess() const noexcept;
    /// Frames and notes decided since the last call. A note is told once, whole, when it has ended: of a hundred notes
    /// ninety-nine at most 300 ms of sound after they ended (or the next began, if that was sooner), and as `listen`
    /// tells them when it knows all of the recording, given a calibration (a4 and reeds) or after ten seconds of playing
    /// (test: hear.GivenACalibration, hear.AfterTenSeconds). Usual are 190 ms. Later come some short notes before others
    /// on the neighbouring hole, while they may yet be a shake, and a few that a slow bend ends. Once told it never
    /// changes. The spans hold until the next push.
    [[nodiscard]] std::span<const Frame> take_frames();
    [[nodiscard]] std::span<const HeardNote> take_notes();

    /// Tuning and reeds as far as they are known by now.
    [[nodiscard]] Hz a4() const noexcept;
    [[nodiscard]] std::array<std::optional<Cents>, 2 * harp::hole_count> reeds() const noexcept;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

/// Hears a whole recording. Tuning and reeds are learned from all of it first, so early notes gain by late ones.
/// Cost: linear in the length; memory: the frames.
[[nodiscard]] Heard listen(std::span<const float> samples, double rate, const Given& given = {});

}  // namespace lw::hear
