// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/svg.hpp"
#include "engine/text/text.hpp"
#include "workshop/listen/chips.hpp"
#include "workshop/listen/picture.hpp"
#include "workshop/print/print.hpp"

namespace lw::listen {
namespace {

using draw::Ink;
using draw::Part;
using draw::Point;

// Points.
constexpr double broad =
    6.6;  // the take's line: wider than a tail (2.7), so that it shows on both sides of it
constexpr double mark = 4.2, mark_width = 1.6, fault_width = 3.0;
constexpr double strike = 13.5, strike_width = 2.4;
constexpr double step = 12.0;  // one half step of a bend on a breath line at scale 1 (docs/breath-line.md)
constexpr double most_off = 22.0;      // a bend never leads further than into the next row
constexpr double around = 12.0;        // left and right of the words at the foot
constexpr double least_width = 360.0;  // points; those words fit it in a few lines

class TakePicture {
  public:
    TakePicture(const lick::Lick& lick, std::span<const hear::HeardNote> take, const coach::Comparison& c,
                double width)
        : lick_(lick), take_(take), c_(c), played_(lick::unfold(lick)) {
        draw::LineChoices choices;
        choices.width = width;
        picture_ = draw::breath_line(lick, choices);
        places_.resize(c.notes.size());
        for (const coach::NoteGrade& g : c.notes) places_[g.note] = place_of(g.note);
        find_scales();
    }

    draw::Picture run() {
        std::vector<draw::Command> take;  // behind the numbers
        for (const coach::NoteGrade& g : c_.notes) {
            if (g.came == coach::Came::missing)
                strike_through(g, take);
            else
                draw_note(g, take);
        }
        for (const coach::Extra& e : c_.extras) draw_extra(e, take);
        put_behind(std::move(take));
        for (const coach::NoteGrade& g : c_.notes)
            if (g.came != coach::Came::missing) mark_onset(g);
        Chips chips{picture_};
        for (const auto& [words, box] : said_) chips.add(words, box);
        // A short lick does not fill the line; what explains it goes under it.
        double right = least_width;
        for (const draw::Command& c : picture_.commands) right = std::max(right, c.box.right() + around);
        picture_.width = std::min(picture_.width, right);
        explain();
        return std::move(picture_);
    }

  private:
    struct Place {
        bool there = false;
        double x = 0.0;
        double y = 0.0;
        draw::Box shape;  // of the number
        std::size_t system = 0;
        double beat = 30.0;  // points
        double after = 0.0;  // points a second, from the due time on
        double before = 0.0;
        double limit = 1e9;  // where the next note of the line has its place
    };

    [[nodiscard]] Place place_of(std::size_t note) const {
        Place w;
        const lick::Stretch& s = played_.notes[note].stretches.front();
        const Beats at = lick_.bars[s.bar].events[s.event].at;
        for (std::size_t t = 0; t < picture_.tokens.size(); ++t) {
            const draw::TokenPlace& token = picture_.tokens[t];
            if (token.bar != s.bar || token.event != s.event) continue;
            w.there = true;
            w.system = token.system;
            w.shape = token.box;
            for (const draw::Command& c : picture_.commands)
                if (c.owner == static_cast<int>(t) && c.part == Part::number_shape) {
                    w.shape = c.box;
                    break;
                }
            w.x = w.shape.x + 0.5 * w.shape.width;
            w.y = w.shape.y + 0.5 * w.shape.height;
            const draw::Spot a = draw::spot_at(picture_, s.bar, at);
            const draw::Spot b = draw::spot_at(picture_, s.bar, at + Beats{Fraction{1, 2}});
            if (a.system == b.system && b.x > a.x) w.beat = 2.0 * (b.x - a.x);
            break;
        }
        return w;
    }

    /// Between two notes of one line time runs evenly, however wide the beats between them are set.
    void find_scales() {
        for (const coach::NoteGrade& g : c_.notes) {
            Place& w = places_[g.note];
            w.after = w.before = w.beat * c_.tempo.value / 60.0;
        }
        const coach::NoteGrade* last = nullptr;
        for (const coach::NoteGrade& g : c_.notes) {
            const Place& w = places_[g.note];
            if (!w.there) continue;
            if (last != nullptr && places_[last->note].system == w.system && w.x > places_[last->note].x)
                places_[last->note].limit = w.x;
            if (g.came == coach::Came::missing) continue;
            if (last != nullptr && last->came != coach::Came::missing) {
                Place& from = places_[last->note];
                const double seconds = (g.due - last->due).value;
                if (from.system == w.system && last->go == g.go && seconds > 0.02 && w.x > from.x)
                    from.after = places_[g.note].before = (w.x - from.x) / seconds;
            }
            last = &g;
        }
    }

    [[nodiscard]] double x_at(const coach::NoteGrade& g, Seconds at) const {
        const Place& w = places_[g.note];
        const double late = (at - g.due).value;
        return w.x + late * (late > 0.0 ? w.after : w.before);
    }

    /// Where an unbent note of that breath stands on a line.
    [[nodiscard]] double row_of(std::size_t system, harp::Breath breath) const {
        const char* name = breath == harp::Breath::blow ? "blow" : "draw";
        const draw::System& s = picture_.systems[system];
        for (const draw::Command& c : picture_.commands)
            if (c.part == Part::label && c.words == name && c.box.y >= s.top - 1.0 &&
                c.box.bottom() <= s.bottom + 1.0)
                return c.box.y + 0.5 * c.box.height;
        return breath == harp::Breath::blow ? s.top + 20.0 : s.bottom - 20.0;
    }

    void draw_note(const coach::NoteGrade& g, std::vector<draw::Command>& out) {
        const Place& w = places_[g.note];
        if (!w.there) return;
        const hear::HeardNote& heard = take_[*g.heard];
        const lick::Tab& tab = played_.notes[g.note].tab;
        const double begin = x_at(g, g.onset);
        const double most = std::min(w.limit, picture_.systems[w.system].box.right() - 0.5 * broad);
        const double end = std::max(begin + 2.0, std::min(x_at(g, g.offset), most - 1.0));
        const bool other = g.came == coach::Came::wrong && !g.wrong_bend;
        const double level =
            other && heard.tab.breath != tab.breath ? row_of(w.system, heard.tab.breath) : w.y;
        std::vector<Point> line;
        const bool shaken =
            std::any_of(heard.gestures.begin(), heard.gestures.end(),
                        [](const auto& gesture) { return gesture.gesture == lick::Gesture::shake; });
        if (!other && !shaken)
            for (const hear::BendSample& s : heard.bend_path) {
                if (s.at < g.onset || s.at > g.offset) continue;
                const double off = std::clamp((s.depth - tab.bend()).value * step, -most_off, most_off);
                const double x = x_at(g, s.at);
                if (x <= end) line.push_back({x, level + off});
            }
        if (line.size() < 2) line = {{begin, level}, {end, level}};
        if (line.back().x < end) line.push_back({end, line.back().y});
        out.push_back(stroke(line, Ink::take, broad));
        std::string said;
        if (g.late || g.early)
            said = fmt::format("{:.0f} ms {}", 1000.0 * std::abs(g.onset_error.value),
                               g.late ? "late" : "early");
        if (g.came == coach::Came::wrong) {
            const draw::Box at{begin - 4.0, level - 0.5 * broad, 8.0, broad};
            said_.emplace_back(text::to_text(heard.tab), level == w.y ? w.shape : at);
        } else if (g.flat || g.sharp) {
            said += fmt::format("{}{:.0f} cents {}", said.empty() ? "" : ", ", std::abs(g.bend_error->value),
                                g.sharp ? "high" : "low");
        }
        if (!said.empty()) said_.emplace_back(said, w.shape);
    }

    void draw_extra(const coach::Extra& e, std::vector<draw::Command>& out) {
        const hear::HeardNote& heard = take_[e.heard];
        // Measured from the note before it, or else the one after it.
        const coach::NoteGrade* by = nullptr;
        for (const coach::NoteGrade& g : c_.notes)
            if (g.came != coach::Came::missing && places_[g.note].there &&
                (by == nullptr || (g.note < e.before && g.onset < heard.onset)))
                by = &g;
        if (by == nullptr) return;
        const Place& w = places_[by->note];
        const double y = row_of(w.system, heard.tab.breath) + heard.tab.bend().value * step;
        const double right = picture_.systems[w.system].box.right() - broad;
        const double begin =
            std::clamp(x_at(*by, heard.onset), picture_.systems[w.system].box.x, right - 4.0);
        const double end = std::clamp(x_at(*by, heard.offset), begin + 4.0, right);
        out.push_back(stroke({{begin, y}, {end, y}}, Ink::take, broad));
        said_.emplace_back("+" + text::to_text(heard.tab),
                           draw::Box{begin, y - 0.5 * broad, end - begin, broad});
    }

    /// Over the ground, under everything that is written; small words get a clear ground of their own.
    void put_behind(std::vector<draw::Command> take) {
        auto& all = picture_.commands;
        const auto written = std::stable_partition(all.begin(), all.end(), [](const draw::Command& c) {
            return c.part == Part::ground || c.part == Part::band || c.part == Part::grid;
        });
        for (auto c = written; c != all.end(); ++c) {
            const bool small = c->kind == draw::Command::Kind::words &&
                               (c->part == Part::bend_mark || c->part == Part::ornament);
            const bool met = small && std::any_of(take.begin(), take.end(), [&](const draw::Command& t) {
                                 return t.box.x < c->box.right() && c->box.x < t.box.right() &&
                                        t.box.y < c->box.bottom() && c->box.y < t.box.bottom();
                             });
            if (met) take.push_back(area(corners(c->box, 0.9), Ink::paper));
        }
        all.insert(written, std::make_move_iterator(take.begin()), std::make_move_iterator(take.end()));
    }

    /// Its ends are seen behind the number, which can still be read.
    void strike_through(const coach::NoteGrade& g, std::vector<draw::Command>& out) const {
        const Place& w = places_[g.note];
        if (w.there)
            out.push_back(stroke({{w.x - strike, w.y + strike}, {w.x + strike, w.y - strike}}, Ink::take,
                                 strike_width));
    }

    void mark_onset(const coach::NoteGrade& g) {
        const Place& w = places_[g.note];
        if (!w.there) return;
        const double x = x_at(g, g.onset), under = w.shape.bottom() + 1.6;
        picture_.commands.push_back(
            stroke({{x, under}, {x, under + mark}}, Ink::take, g.late || g.early ? fault_width : mark_width));
    }

    void explain() {
        const std::vector<std::string> lines = in_lines(
            "In colour: the take, as long as it sounded and as deep as it was bent. Bar under a number: "
            "where it "
            "began. Struck through: did not come. Tab in colour: came instead; with +: came besides.",
            picture_.width - 2.0 * around, Chips::size);
        picture_.height += 6.0;
        for (const std::string& words : lines) {
            picture_.height += 10.0;
            picture_.commands.push_back(says(words, {around, picture_.height - 3.0}, Chips::size, Ink::take));
        }
        picture_.height += 5.0;
    }

    const lick::Lick& lick_;
    std::span<const hear::HeardNote> take_;
    const coach::Comparison& c_;
    lick::Unfolded played_;
    draw::Picture picture_;
    std::vector<Place> places_;                            // beside Unfolded::notes
    std::vector<std::pair<std::string, draw::Box>> said_;  // and beside what
};

std::string ending_of(const files::Path& file) {
    return file.extension().string();
}

}  // namespace

draw::Picture picture_of(const lick::Lick& lick, std::span<const hear::HeardNote> take,
                         const coach::Comparison& comparison, double width) {
    return TakePicture{lick, take, comparison, width}.run();
}

bool is_picture_name(const files::Path& file) {
    const std::string ending = ending_of(file);
    return ending == ".svg" || ending == ".png" || ending == ".pdf";
}

files::Result<void> write_picture(const files::Path& file, const draw::Picture& picture,
                                  const std::string& title) {
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    const std::string ending = ending_of(file);
    files::Result<std::string> bytes;
    if (ending == ".svg") {
        draw::SvgChoices choices;
        choices.title = title;
        bytes = draw::svg(picture, theme, choices);
    } else if (ending == ".pdf") {
        bytes = print::pdf(std::span{&picture, 1}, theme, {title, "", ""});
    } else {
        bytes = print::png(picture, theme);
    }
    if (!bytes) return tl::unexpected(bytes.error());
    return files::write_file_atomically(file, *bytes);
}

}  // namespace lw::listen
