// SPDX-License-Identifier: Apache-2.0
//
// What a page asks of the engine, as bytes: text or JSON for people and scripts, MIDI and samples for ears.
// Each function takes the text of one lick (or of a lesson) and translates; nothing is decided here. The same
// functions are compiled natively for the test that holds WebAssembly against native code.
//
// JSON is UTF-8 (broken input bytes become U+FFFD), its keys stand in a fixed order, lengths are points and
// seconds, beats are exact and written as text (`5/3`).
#pragma once

#include <string>
#include <string_view>

namespace lw::binding {

/// An answer and whether it is a good one: 0, or 1 when the text has errors (the answer then says as much as
/// could be understood, or is empty where nothing can be made of such a text).
struct Answer {
    int status = 0;
    std::string bytes;
};

/// `{ok, faults: [{slug, level, line, column, length, words, remedy}], title, harp, position, music, meter,
/// tempo, ...}`. `first_line` is the line of the lick's first line in the file it comes from.
[[nodiscard]] Answer read(std::string_view lick, int first_line);
/// The faults as a person reads them: place, words, source line with a caret, remedy. Empty without faults.
[[nodiscard]] Answer explain(std::string_view lick, std::string_view file, int first_line);
/// The text, tidied.
[[nodiscard]] Answer tidy(std::string_view lick);
/// The same for a lesson: its licks tidied, its prose as it was.
[[nodiscard]] Answer tidy_lesson(std::string_view lesson);
/// `{ok, faults, title, licks: [{title, slug, first_line, source}], passages}` of a lesson; a passage is prose (CommonMark)
/// or the index of a lick.
[[nodiscard]] Answer lesson(std::string_view lesson);
/// What the harp of this name plays in half steps: `{harp, notes: [{tab, hole, breath, bend, overbend, note,
/// midi, hz, degree}]}`; degrees are of the key of the music in `position` (1 to 12). Status 1 and one sentence
/// for a harp that is not made.
[[nodiscard]] Answer harp(std::string_view name, int position);
/// The same for the harp that a lick's head names, its tuning included: `{harp, tuning, position, music, notes}`. Position
/// and music are the lick's, or else those of the position that makers print on such a harp. Never fails: a head that
/// cannot be read gives the harp of an empty one.
[[nodiscard]] Answer harp_of(std::string_view lick);
/// `{pages: [svg]}`: the printed sheet (draw/sheet.hpp) of a lesson, or of one lick cut at the foot of its ink.
/// `id` begins every id in it.
[[nodiscard]] Answer sheet(std::string_view source, bool lesson, std::string_view id);
/// A Standard MIDI File: as played at the lick's own tempo, or plain (as written).
[[nodiscard]] Answer midi(std::string_view lick, bool plain);
/// The drawing commands of the breath line (picture_json.hpp), `width` points wide; 0 sets one line.
[[nodiscard]] Answer drawing(std::string_view lick, double width);
/// What is asked of a practice clip.
struct ClipQuestion {
    int percent = 100;  // of the lick's own tempo, 10..200
    int repeats = 1;    // 1..16
    bool click_through = true;
};
/// The samples of a practice clip: 32-bit floats, little-endian, 48 kHz, left and right in turn, full scale 1,
/// brought to the loudness of our clips.
[[nodiscard]] Answer clip(std::string_view lick, const ClipQuestion& question);
/// What is heard: `question` is the harp's name (or nothing), a line break, and samples of one channel as 32-bit floats.
/// `{tuning_hz, noise, clipped, notes: [{onset, offset, tab, joined, midi, bend_start, bend, gestures, confidence}],
/// f0_midi}`; f0_midi has a pitch every 10 ms, 0 where there is none. Status 1 and one sentence for a harp that is not
/// made. `rate` in samples a second, 8000 to 192000.
[[nodiscard]] Answer heard(std::string_view question, double rate);
/// The walk-through in words, a line each. The question begins with the harp, as for a picture.
[[nodiscard]] Answer told(std::string_view question);

// --- For a page. `question` is the name of a harp to play the lick on (or nothing: its own), a line break, the lick.

struct PictureQuestion {
    double width = 0.0;  // points
    double scale = 1.0;
    int spelling = 0;  // text::Spelling
    bool staff = false;
    std::string_view id;  // begins every id in the SVG
    /// Draws a lick with errors as far as it was understood, what was not as silence; status 1 says that it has some.
    bool sketch = false;
};
/// `{svg, width, height, spoken, systems: [[x, top, width, bottom, blow, draw, foot]], track: [[beat, system, x]], notes:
/// [{beat, end, tab, place, lit}], tokens: [[system, x, y, width, height, line, column, length, middle x, middle y, number's
/// width]], events: [[line, column, length, beat, end]], start, end, music, harp}`. Colours are named (svg.hpp); beats are straight beats of the unfolded line as numbers;
/// `blow` and `draw` are the heights of unbent numbers, `foot` that of the line's lowest ink; `lit` counts in `tokens`; line
/// and column count in the lick; the middle is that of a note's number, a hold has none; events are all that is typed, rests
/// too, when it is first played.
[[nodiscard]] Answer picture(std::string_view question, const PictureQuestion& choices);
/// `{tempo, beats: [[seconds, beat]], notes: [[onset, offset, note]], clicks: [[seconds, first_of_bar, number]], start,
/// end}` of one pass; second 0 is straight beat 0 of the line, what lies before is negative.
[[nodiscard]] Answer timeline(std::string_view question, int percent);
/// Frequencies of the harp's reeds as they were made, in Hz: `[hole 1 blow, hole 1 draw, hole 2 blow, ...]`.
[[nodiscard]] Answer reeds(std::string_view question);
/// Samples of the harp alone from one beat to another, without a seam: 32-bit floats, one channel, brought to the
/// loudness of our clips as far as no peak passes 0.7.
[[nodiscard]] Answer loop(std::string_view question, int percent, double from, double to, double rate);
/// Samples of one knock of the click: 32-bit floats, one channel.
[[nodiscard]] Answer knock(bool first_of_bar, double rate);
/// Colours of a page by day (0) or night (1) as declarations of a style sheet; `question` is the house's colour or nothing.
[[nodiscard]] Answer colours(std::string_view question, bool night);

}  // namespace lw::binding
