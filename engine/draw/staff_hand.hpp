// SPDX-License-Identifier: Apache-2.0
//
// The hand that engraves one line of the staff: it knows where every note stands and how far its ink reaches so far, and goes
// over the line in turns, each in a file of its own. Private to the room.
#pragma once

#include <algorithm>
#include <vector>

#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"
#include "engine/draw/staff_ink.hpp"

namespace lw::draw {

/// A note or rest on this line.
struct StaffHere {
    std::size_t note = 0;
    double x = 0.0;
    double top = 0.0, bottom = 0.0;  // of its ink so far
    double tip = 0.0;                // of its stem
    bool beamed = false;
};

class StaffHand {
  public:
    StaffHand(const StaffScore& score, const StaffLine& line, const lick::Meter& meter, const Sizes& sizes)
        : score_(score), line_(line), meter_(meter), sp_(sizes.staff_space()), em_(4.0 * sp_) {}

    [[nodiscard]] InkGroup draw();

  private:
    [[nodiscard]] const StaffNote& note(const StaffHere& h) const { return score_.rhythm.notes[h.note]; }
    [[nodiscard]] const StaffSet& set(const StaffHere& h) const { return score_.sets[h.note]; }
    [[nodiscard]] double y(int line) const { return -line * sp_ / 2.0; }
    [[nodiscard]] double high(const StaffHere& h) const { return y(set(h).heads.back().line); }
    [[nodiscard]] double low(const StaffHere& h) const { return y(set(h).heads.front().line); }
    [[nodiscard]] char32_t head_glyph(const StaffNote& n) const {
        return n.value == 0 ? music::head_whole : n.value == 1 ? music::head_half : music::head_black;
    }
    [[nodiscard]] double half_head(const StaffHere& h) const {
        return music_width(head_glyph(note(h)), em_) / 2.0;
    }
    [[nodiscard]] double stem_x(const StaffHere& h) const {
        const double off = half_head(h) - staff_stem * sp_ / 2.0;
        return h.x + (set(h).up ? off : -off);
    }
    [[nodiscard]] bool has_stem(const StaffHere& h) const { return note(h).token >= 0 && note(h).value >= 1; }
    /// Adds ink of a note and remembers how far it reaches.
    void add(Command c, StaffHere& h) {
        h.top = std::min(h.top, c.box.y);
        h.bottom = std::max(h.bottom, c.box.bottom());
        c.owner = note(h).token;
        ink_.add(std::move(c));
    }
    void staff(Command c) { ink_.add(std::move(c)); }
    [[nodiscard]] int beam_count(const StaffHere& h) const { return note(h).value - 2; }

    // Staff, clef, rests and heads: staff_ink.cpp.
    void lines();
    void opening();
    [[nodiscard]] double number_width(int number) const;
    void digits(int number, double middle, double at);
    void dot(StaffHere& h, double from, double at);
    void rests_and_heads(StaffHere& h);
    void ledger_lines(StaffHere& h);

    // Stems, beams and flags: staff_beams.cpp.
    void beams();
    void lone_tip(StaffHere& h) const;
    void one_beam(std::size_t begin, std::size_t end);
    void beams_of_level(std::size_t begin, std::size_t end, int level, double slope);
    void beam(StaffHere& h, double from, double to, int level, double slope);
    void stem_and_flag(StaffHere& h);

    // Ties, slurs and what brackets a tuplet: staff_bows.cpp.
    /// A bow from one point to another, thin at both ends; `rise` is how far its middle stands off.
    [[nodiscard]] Command bow(Point from, Point to, double rise) const;
    void tie(StaffHere& h, double from, double to, const StaffHead& head, bool above);
    /// Away from the stem; in a chord the upper half bows up.
    [[nodiscard]] static bool tie_above(const StaffSet& s, std::size_t head);
    void ties();
    void slurs();
    void one_slur(const StaffSlur& slur, std::size_t begin, std::size_t end);
    [[nodiscard]] bool stands_in(const StaffHere& h, int tuplet) const;
    void tuplets();
    /// One beam over all of it and over nothing else says what the bracket would.
    [[nodiscard]] bool beamed_alone(std::size_t begin, std::size_t end) const;
    void bracket(const Tuplet& tuplet, std::size_t begin, std::size_t end);

    static constexpr int shortest_flag = 7;  // a 128th

    const StaffScore& score_;
    const StaffLine& line_;
    const lick::Meter& meter_;
    double sp_;
    double em_;
    std::vector<StaffHere> here_;
    InkGroup ink_;
};

}  // namespace lw::draw
