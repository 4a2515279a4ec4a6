// SPDX-License-Identifier: Apache-2.0
//
// The picture of a harp. Blown notes stand above the holes in square shapes, drawn notes below in round ones;
// plain notes are strong, bends hang on a thread from the note they are pulled from, overbends have a double
// rim and no thread, since they are jumped to. A ring marks the key note. Shape, place and words say all that
// colour says.
#include <algorithm>
#include <array>
#include <cmath>

#include "engine/draw/font.hpp"
#include "engine/draw/harp_chart.hpp"

namespace lw::draw {
namespace {

using harp::Breath;
using Way = ChartNote::Way;

// Measures in points, chosen so that ten columns fill the width of a phone held upright and a note's name is
// then still about 13 CSS pixels high.
constexpr double page_width = 540;
constexpr double margin = 14;
constexpr double column = (page_width - 2 * margin) / harp::hole_count;
constexpr double cell_width = 42.5;
constexpr double cell_height = 62;
constexpr double row_gap =
    10;  // holds the thread of a bend, and the rings of two key notes one above the other
constexpr double ring_gap = 3;      // from the rim to the middle of the key note's ring
constexpr double body_height = 70;  // holes of 32 between two rows of words
constexpr double hole_side = 32;
constexpr double caption_room = 22;
constexpr double square_corner = 4;
constexpr double round_corner = 16;

constexpr double title_size = 26;
constexpr double head_size = 15;
constexpr double caption_size = 13.5;
constexpr double token_size = 12;
constexpr double name_size = 18.5;
constexpr double octave_size = 12;
constexpr double degree_size = 14.5;
constexpr double hole_size = 23;
constexpr double legend_size = 13;

Segment to(Segment::Kind kind, Point a, Point b = {}, Point c = {}) {
    return {kind, a, b, c};
}

// A rectangle with round corners, clockwise from the top left; quarter circles as cubics (handles at 0.5523
// of the radius: common practice, the arc is off by 0.03 % of the radius at most).
std::vector<Segment> rounded(Box b, double radius) {
    const double r = std::min({radius, b.width / 2, b.height / 2});
    const double h = r * (1 - 0.5523);
    using K = Segment::Kind;
    const double l = b.x, t = b.y, R = b.right(), B = b.bottom();
    return {to(K::move, {l + r, t}),
            to(K::line, {R - r, t}),
            to(K::cubic, {R - h, t}, {R, t + h}, {R, t + r}),
            to(K::line, {R, B - r}),
            to(K::cubic, {R, B - h}, {R - h, B}, {R - r, B}),
            to(K::line, {l + r, B}),
            to(K::cubic, {l + h, B}, {l, B - h}, {l, B - r}),
            to(K::line, {l, t + r}),
            to(K::cubic, {l, t + h}, {l + h, t}, {l + r, t}),
            to(K::close, {})};
}

Box grown(Box b, double by) {
    return {b.x - by, b.y - by, b.width + 2 * by, b.height + 2 * by};
}

class Page {
  public:
    explicit Page(const HarpChart& chart) : chart_(chart) {}

    Picture make() {
        heading();
        const int above = farthest(Breath::blow);
        const int below = farthest(Breath::draw);
        if (above > 0) {
            caption(upper_words(Breath::blow), 14);
            rows_top_[0] = y_;
            y_ += above * (cell_height + row_gap) - row_gap;
        }
        y_ += above > 0 ? row_gap : 8;
        blow_ = y_;
        y_ += cell_height + 8;
        body();
        y_ += 8;
        draw_ = y_;
        y_ += cell_height;
        if (below > 0) {
            y_ += row_gap;
            rows_top_[1] = y_;
            y_ += below * (cell_height + row_gap) - row_gap;
            caption(upper_words(Breath::draw), 17);
        }
        threads();
        for (std::size_t i = 0; i < chart_.notes.size(); ++i) cell(static_cast<int>(i), chart_.notes[i]);
        legend();
        picture_.width = page_width;
        picture_.height = std::ceil(y_ + margin);
        picture_.spoken = harp_chart_text(chart_);
        return std::move(picture_);
    }

  private:
    // --- Brush

    void path(Part part, int owner, std::vector<Segment> segments, Box box, Ink fill, Ink stroke = Ink::none,
              double stroke_width = 0) {
        Command c;
        c.part = part;
        c.owner = owner;
        c.segments = std::move(segments);
        c.fill = fill;
        c.stroke = stroke;
        c.stroke_width = stroke_width;
        c.box = grown(box, stroke_width / 2);
        picture_.commands.push_back(std::move(c));
    }
    void shape(Part part, int owner, Box box, double radius, Ink fill, Ink stroke = Ink::none,
               double stroke_width = 0) {
        path(part, owner, rounded(box, radius), box, fill, stroke, stroke_width);
    }
    void words(Part part, int owner, std::string text, Point at, double size, Face face, Anchor anchor,
               Ink ink) {
        Command c;
        c.kind = Command::Kind::words;
        c.part = part;
        c.owner = owner;
        c.box = ink_box(face, text, at, size, anchor);
        c.words = std::move(text);
        c.at = at;
        c.size = size;
        c.face = face;
        c.anchor = anchor;
        c.fill = ink;
        picture_.commands.push_back(std::move(c));
    }

    // The letter and its sign bold, the octave smaller. The sign is the letter `b` or `#`, as the trade types
    // it and as chords and keys are written here: who searches a PDF or has it read aloud then gets Eb and
    // not E.
    void note_name(int owner, const std::string& name, double middle, double baseline, Ink ink) {
        const std::size_t letters = name.find_first_of("-0123456789");
        const std::string letter = name.substr(0, letters);
        const std::string octave = letters == std::string::npos ? "" : name.substr(letters);
        const double first = width(Face::bold, letter, name_size);
        const double x = middle - (first + width(Face::regular, octave, octave_size)) / 2;
        words(Part::number, owner, letter, {x, baseline}, name_size, Face::bold, Anchor::start, ink);
        words(Part::number, owner, octave, {x + first, baseline}, octave_size, Face::regular, Anchor::start,
              ink);
    }

    // --- What is where

    // 1 is the row next to the plain notes. A hole has bends or an overbend on one side, never both.
    static int row_of(const ChartNote& n) {
        return n.way == Way::plain ? 0 : n.way == Way::overbend ? 1 : n.note.bend_quarter_steps / 2;
    }
    int farthest(Breath side) const {
        int most = 0;
        for (const ChartNote& n : chart_.notes)
            if (n.note.breath == side) most = std::max(most, row_of(n));
        return most;
    }
    std::string upper_words(Breath side) const {
        bool bends = false, overbends = false;
        for (const ChartNote& n : chart_.notes) {
            if (n.note.breath != side) continue;
            bends = bends || n.way == Way::bend;
            overbends = overbends || n.way == Way::overbend;
        }
        const std::string over = side == Breath::blow ? "overblows" : "overdraws";
        const std::string bent = side == Breath::blow ? "blow bends" : "draw bends";
        return bends && overbends ? (side == Breath::blow ? over + " and " + bent : bent + " and " + over)
               : bends            ? bent
                                  : over;
    }
    double middle_of(int hole) const { return margin + (hole - 0.5) * column; }
    Box box_of(const ChartNote& n) const {
        const double left = middle_of(n.note.hole) - cell_width / 2;
        const int row = row_of(n);
        const bool blown = n.note.breath == Breath::blow;
        double top = blown ? blow_ : draw_;
        if (row > 0 && blown) top = rows_top_[0] + (farthest(Breath::blow) - row) * (cell_height + row_gap);
        if (row > 0 && !blown) top = rows_top_[1] + (row - 1) * (cell_height + row_gap);
        return {left, top, cell_width, cell_height};
    }

    // --- The parts of the page

    void heading() {
        const std::string harp_name = harp::name(chart_.harp) + " harp";
        words(Part::title, -1, harp_name, {margin, 36}, title_size, Face::bold, Anchor::start, Ink::ink);
        words(Part::head, -1,
              harp::ordinal(chart_.position) + " position, music in " + std::string(harp::name(chart_.music)),
              {page_width - margin, 36}, head_size, Face::bold, Anchor::end, Ink::ink);
        words(Part::head, -1, chart_.harp.tuning.name + " tuning", {margin, 57}, head_size, Face::regular,
              Anchor::start, Ink::soft);
        words(Part::head, -1, "as typed, note, degree", {page_width - margin, 57}, head_size, Face::regular,
              Anchor::end, Ink::soft);
        y_ = 68;
    }

    void caption(const std::string& text, double down) {
        words(Part::label, -1, text, {margin + 4, y_ + down}, caption_size, Face::regular, Anchor::start,
              Ink::soft);
        y_ += caption_room;
    }

    // The harp from its mouth side: a body with ten square holes, and what the breath does above and below
    // them.
    void body() {
        const Box body{margin - 6, y_, page_width - 2 * margin + 12, body_height};
        const double middle = y_ + body_height / 2;
        shape(Part::breath_line, -1, body, 10, Ink::ink);
        for (int hole = 1; hole <= harp::hole_count; ++hole) {
            const double x = middle_of(hole);
            shape(Part::number_shape, -1, {x - hole_side / 2, middle - hole_side / 2, hole_side, hole_side},
                  2.5, Ink::paper);
            words(Part::number, -1, std::to_string(hole), {x, middle + hole_size * cap_height / 2}, hole_size,
                  Face::bold, Anchor::middle, Ink::ink);
        }
        words(Part::label, -1, "blow", {page_width / 2, y_ + 13.5}, caption_size, Face::regular,
              Anchor::middle, Ink::paper);
        words(Part::label, -1, "draw", {page_width / 2, y_ + body_height - 6}, caption_size, Face::regular,
              Anchor::middle, Ink::paper);
        y_ += body_height;
    }

    // A bend is pulled from its plain note: a line through all depths, painted under the cells.
    void threads() {
        for (const ChartNote& n : chart_.notes) {
            if (n.way != Way::bend) continue;
            const Box box = box_of(n);
            const double x = middle_of(n.note.hole);
            const bool blown = n.note.breath == Breath::blow;
            const double from = blown ? box.bottom() : box.y;
            const ChartNote* before = nullptr;
            for (const ChartNote& m : chart_.notes)
                if (m.note.reed() == n.note.reed() && row_of(m) == row_of(n) - 1 && m.way != Way::overbend)
                    before = &m;
            if (before == nullptr) continue;
            const Box other = box_of(*before);
            const double until = blown ? other.y : other.bottom();
            path(Part::bend_mark, -1,
                 {to(Segment::Kind::move, {x, from}), to(Segment::Kind::line, {x, until})},
                 {x, std::min(from, until), 0, std::abs(until - from)}, Ink::none, Ink::ink, 1.6);
        }
    }

    void cell_shape(int owner, Box box, Breath breath, Way way, bool key_note) {
        const bool blown = breath == Breath::blow;
        const double corner = blown ? square_corner : round_corner;
        if (key_note)
            shape(Part::mark, owner, grown(box, ring_gap), corner + ring_gap, Ink::none, Ink::accent, 2.2);
        switch (way) {
            case Way::plain:
                shape(Part::number_shape, owner, blown ? grown(box, -1) : box, corner,
                      blown ? Ink::paper : Ink::ink, blown ? Ink::ink : Ink::none, blown ? 2 : 0);
                break;
            case Way::bend:
                shape(Part::number_shape, owner, grown(box, -0.5), corner, Ink::band, Ink::ink, 1);
                break;
            case Way::overbend:
                shape(Part::number_shape, owner, grown(box, -0.4), corner, Ink::paper, Ink::ink, 0.8);
                shape(Part::number_shape, owner, grown(box, -2.8), corner - 2.4, Ink::none, Ink::ink, 0.8);
                break;
        }
    }

    void cell(int owner, const ChartNote& n) {
        const Box box = box_of(n);
        cell_shape(owner, box, n.note.breath, n.way, n.key_note);
        const bool filled = n.way == Way::plain && n.note.breath == Breath::draw;
        const Ink ink = filled ? Ink::paper : Ink::ink;
        const double x = box.x + box.width / 2;
        words(Part::label, owner, n.token, {x, box.y + 16.5}, token_size, Face::regular, Anchor::middle, ink);
        note_name(owner, n.name, x, box.y + 37, ink);
        words(Part::label, owner, std::string(n.degree), {x, box.y + 55}, degree_size, Face::regular,
              Anchor::middle, ink);
    }

    // --- The words under it

    void legend() {
        y_ += 10;
        path(Part::grid, -1,
             {to(Segment::Kind::move, {margin, y_}), to(Segment::Kind::line, {page_width - margin, y_})},
             {margin, y_, page_width - 2 * margin, 0}, Ink::none, Ink::rule, 0.8);
        y_ += 12;
        struct Entry {
            Breath breath;
            Way way;
            bool ring;
            std::string text;
        };
        std::vector<Entry> entries = {{Breath::blow, Way::plain, false, "blow"},
                                      {Breath::draw, Way::plain, false, "draw"}};
        const auto any = [&](Way way) {
            return std::any_of(chart_.notes.begin(), chart_.notes.end(),
                               [&](const ChartNote& n) { return n.way == way; });
        };
        if (any(Way::bend)) entries.push_back({Breath::draw, Way::bend, false, "bend, ' a half step"});
        if (any(Way::overbend)) entries.push_back({Breath::blow, Way::overbend, false, "overblow, overdraw"});
        entries.push_back({Breath::draw, Way::bend, true, "key note"});
        double x = margin;
        constexpr double sample = 15, between = 14;
        for (const Entry& e : entries) {
            const double w = sample + 7 + width(Face::regular, e.text, legend_size);
            if (x > margin && x + w > page_width - margin) {
                x = margin;
                y_ += 24;
            }
            legend_sample({x + 2, y_, sample - 2, sample}, e.breath, e.way, e.ring);
            words(Part::label, -1, e.text, {x + sample + 7, y_ + 12.5}, legend_size, Face::regular,
                  Anchor::start, Ink::ink);
            x += w + between;
        }
        y_ += 24;
        octaves();
    }

    // The cells' shapes at a third of their size.
    void legend_sample(Box box, Breath breath, Way way, bool ring) {
        const double corner = breath == Breath::blow ? 1.5 : 6.5;
        if (ring) {
            shape(Part::mark, -1, box, 6.5, Ink::none, Ink::accent, 2.2);
        } else if (way == Way::plain && breath == Breath::draw) {
            shape(Part::number_shape, -1, box, corner, Ink::ink);
        } else if (way == Way::plain) {
            shape(Part::number_shape, -1, grown(box, -0.9), corner, Ink::paper, Ink::ink, 1.8);
        } else if (way == Way::bend) {
            shape(Part::number_shape, -1, grown(box, -0.5), corner, Ink::band, Ink::ink, 1);
        } else {
            shape(Part::number_shape, -1, grown(box, -0.4), corner, Ink::paper, Ink::ink, 0.8);
            shape(Part::number_shape, -1, grown(box, -2.6), corner, Ink::none, Ink::ink, 0.8);
        }
    }

    void octaves() {
        for (const Breath breath : {Breath::blow, Breath::draw}) {
            std::string text;
            for (const harp::Split& s : chart_.octaves)
                if (s.breath == breath) text += "  " + std::to_string(s.low) + "+" + std::to_string(s.high);
            if (text.empty()) continue;
            text = (breath == Breath::blow ? "octaves, blow" : "octaves, draw") + text;
            words(Part::label, -1, text, {margin, y_ + 12.5}, legend_size, Face::regular, Anchor::start,
                  Ink::ink);
            y_ += 20;
        }
    }

    const HarpChart& chart_;
    Picture picture_;
    double y_ = 0;
    double blow_ = 0, draw_ = 0;
    std::array<double, 2> rows_top_{};
};

}  // namespace

Picture harp_chart_picture(const HarpChart& chart) {
    return Page(chart).make();
}

}  // namespace lw::draw
