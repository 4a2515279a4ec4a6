// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/svg.hpp"
#include "engine/text/text.hpp"
#include "workshop/listen/ink.hpp"
#include "workshop/listen/picture.hpp"
#include "workshop/print/print.hpp"

namespace lw::listen {
namespace {

using draw::Ink;
using draw::Point;

constexpr double line_width = 1.8, fault_width = 2.6, tick = 4.0, small_words = 7.2;
/// The take runs just under the numbers, so that both can be read.
constexpr double under = 11.5, above = 11.0;
constexpr double step = 12.0;  // one half step of a bend on a breath line at scale 1 (docs/breath-line.md)
constexpr double most_off = 22.0;  // a bend never leads further than into the next row
constexpr double foot = 18.0;

class TakePicture {
  public:
    TakePicture(const lick::Lick& lick, std::span<const hear::HeardNote> take, const coach::Comparison& c,
                double width)
        : lick_(lick), take_(take), c_(c), played_(lick::unfold(lick)) {
        draw::LineChoices choices;
        choices.width = width;
        picture_ = draw::breath_line(lick, choices);
    }

    draw::Picture run() {
        for (const coach::NoteGrade& g : c_.notes) draw_note(g);
        for (const coach::Extra& e : c_.extras) draw_extra(e);
        picture_.height += foot;
        picture_.commands.push_back(
            says("Over the written notes: where the take sounded. A bar is where a note began, late to the "
                 "right; a cross is "
                 "a missing note.",
                 {12.0, picture_.height - 7.0}, small_words, Ink::take));
        return std::move(picture_);
    }

  private:
    struct Where {
        double x = 0.0;
        double y = 0.0;
        double beat = 30.0;  // points
        std::size_t system = 0;
    };

    [[nodiscard]] std::optional<Where> where(std::size_t note) const {
        const lick::Stretch& s = played_.notes[note].stretches.front();
        const Beats at = lick_.bars[s.bar].events[s.event].at;
        for (std::size_t t = 0; t < picture_.tokens.size(); ++t) {
            const draw::TokenPlace& token = picture_.tokens[t];
            if (token.bar != s.bar || token.event != s.event) continue;
            Where w;
            w.x = token.x;
            w.y = token.box.y + 0.5 * token.box.height;
            w.system = token.system;
            for (const draw::Command& c : picture_.commands)
                if (c.owner == static_cast<int>(t) && c.part == draw::Part::number_shape) {
                    w.y = c.box.y + 0.5 * c.box.height;
                    w.x = c.box.x + 0.5 * c.box.width;
                    break;
                }
            const draw::Spot a = draw::spot_at(picture_, s.bar, at);
            const draw::Spot b = draw::spot_at(picture_, s.bar, at + Beats{Fraction{1, 2}});
            if (a.system == b.system && b.x > a.x) w.beat = 2.0 * (b.x - a.x);
            return w;
        }
        return std::nullopt;
    }

    void draw_note(const coach::NoteGrade& g) {
        const auto w = where(g.note);
        if (!w) return;
        auto& out = picture_.commands;
        if (g.came == coach::Came::missing) {
            const double r = 7.0;
            out.push_back(stroke({{w->x - r, w->y - r}, {w->x + r, w->y + r}}, Ink::take, fault_width));
            out.push_back(stroke({{w->x - r, w->y + r}, {w->x + r, w->y - r}}, Ink::take, fault_width));
            return;
        }
        const double per_second = w->beat * c_.tempo.value / 60.0;
        const double begin = w->x + g.onset_error.value * per_second;
        const double end = begin + std::max(0.02, (g.offset - g.onset).value) * per_second;
        const lick::Tab& tab = played_.notes[g.note].tab;
        std::vector<Point> line;
        const hear::HeardNote& heard = take_[*g.heard];
        if (g.came == coach::Came::right || g.wrong_bend)
            for (const hear::BendSample& s : heard.bend_path) {
                if (s.at < g.onset || s.at > g.offset) continue;
                const double off = std::clamp((s.depth - tab.bend()).value * step, -most_off, most_off);
                line.push_back({begin + (s.at - g.onset).value * per_second, w->y + under + off});
            }
        if (line.size() < 2) line = {{begin, w->y + under}, {end, w->y + under}};
        out.push_back(stroke(line, Ink::take, line_width));
        const bool off_time = g.late || g.early;
        out.push_back(stroke({{begin, line.front().y - tick}, {begin, line.front().y + tick}}, Ink::take,
                             off_time ? fault_width : line_width));
        std::string said;
        if (off_time) said = fmt::format("{:+.0f} ms", 1000.0 * g.onset_error.value);
        if (g.came == coach::Came::wrong && !g.wrong_bend) said = text::to_text(heard.tab);
        if (g.flat || g.sharp)
            said += fmt::format("{}{:+.0f} ct", said.empty() ? "" : ", ", -g.bend_error->value);
        if (!said.empty()) out.push_back(says(said, {begin + 2.0, w->y - above}, small_words, Ink::take));
    }

    void draw_extra(const coach::Extra& e) {
        const auto w = where(std::min(e.before, played_.notes.size() - 1));
        if (!w) return;
        const double x = e.before < played_.notes.size() ? w->x - 0.3 * w->beat : w->x + 0.6 * w->beat;
        picture_.commands.push_back(
            stroke({{x, w->y + under - tick}, {x, w->y + under + tick}}, Ink::take, fault_width));
        picture_.commands.push_back(says("+" + text::to_text(take_[e.heard].tab), {x, w->y - above},
                                         small_words, Ink::take, draw::Anchor::middle));
    }

    const lick::Lick& lick_;
    std::span<const hear::HeardNote> take_;
    const coach::Comparison& c_;
    lick::Unfolded played_;
    draw::Picture picture_;
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
