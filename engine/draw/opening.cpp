// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/opening.hpp"

#include <cmath>

#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"

namespace lw::draw {
namespace {

/// A small note as a path: SMuFL's notes for words carry their own ideas of size, and we want head, stem and
/// flag in step with the text beside it.
class SmallNotes {
  public:
    SmallNotes(InkGroup& to, double size) : to_(to), em_(size * 0.86), stem_(size * 0.8) {}

    /// Head at x on the baseline; returns its right edge. `flags` 0 or 1; a beam is drawn by the caller.
    double note(double x, bool flag, bool dotted) {
        head(x);
        const double stem_x = x + head_width() - em_ * 0.018;
        stem(stem_x);
        double right = x + head_width();
        if (flag) {
            Command c = glyph(Part::mark, music::flag_8_up, {stem_x, -stem_ + em_ * 0.0}, em_ * 0.8);
            right = std::max(right, c.box.right());
            to_.add(std::move(c));
        }
        if (dotted) {
            const double r = em_ * 0.055;
            const double dot_x = x + head_width() + em_ * 0.16;
            to_.add(filled(Part::mark, std::move(Path{}.circle(dot_x, -em_ * 0.1, r)), Ink::ink));
            right = dot_x + r;
        }
        return right;
    }
    void head(double x) { to_.add(glyph(Part::mark, music::head_black, {x, -em_ * 0.125}, em_)); }
    void stem(double x) {
        to_.add(stroked(Part::mark, std::move(Path{}.move(x, -em_ * 0.16).line(x, -stem_)), Ink::ink,
                        em_ * 0.036, false));
    }
    /// Two notes under one beam.
    double beamed(double x, double apart) {
        note(x, false, false);
        const double second = x + apart;
        note(second, false, false);
        const double a = x + head_width() - em_ * 0.036;
        const double b = second + head_width();
        to_.add(filled(Part::mark, std::move(Path{}.box(a, -stem_, b - a, em_ * 0.125, 0.0)), Ink::ink));
        return b;
    }
    /// A bracket with a 3 over [left, right].
    void three(double left, double right, double text) {
        const double y = -stem_ - em_ * 0.2;
        const double middle = (left + right) / 2.0;
        const double half = width(Face::bold, "3", text) / 2.0 + em_ * 0.1;
        Path path;
        path.move(left, y + em_ * 0.12).line(left, y).line(middle - half, y);
        path.move(middle + half, y).line(right, y).line(right, y + em_ * 0.12);
        to_.add(stroked(Part::mark, std::move(path), Ink::ink, em_ * 0.045, false));
        to_.add(
            words(Part::mark, "3", {middle, y + cap_height * text / 2.0}, text, Face::bold, Anchor::middle));
    }
    [[nodiscard]] double head_width() const { return music_width(music::head_black, em_); }
    [[nodiscard]] double em() const { return em_; }

  private:
    InkGroup& to_;
    double em_;
    double stem_;
};

}  // namespace

std::string plain_number(double value) {
    const auto hundredths = static_cast<long long>(std::llround(value * 100.0));
    std::string text = std::to_string(hundredths / 100);
    const long long rest = hundredths % 100;
    if (rest == 0) return text;
    text += '.';
    text += static_cast<char>('0' + rest / 10);
    if (rest % 10 != 0) text += static_cast<char>('0' + rest % 10);
    return text;
}

InkGroup opening_marks(const lick::Head& head, const Sizes& z, double room) {
    InkGroup group;
    InkGroup feel;
    const double size = z.print(9.6);
    double x = 0.0;
    const auto say = [&](std::string_view text, Face face, InkGroup& to) {
        to.add(words(Part::mark, text, {x, 0.0}, size, face));
        x += width(face, text, size);
    };
    say(std::to_string(head.meter.top) + "/" + std::to_string(head.meter.bottom), Face::bold, group);
    x += size * 1.1;
    SmallNotes notes{group, size * 1.5};
    // The felt beat: an eighth's worth of 3 in compound meters, a half or an eighth where the meter says so.
    const bool eighth = !head.meter.compound() && head.meter.bottom >= 8;
    x = notes.note(x, eighth, head.meter.compound()) + size * 0.35;
    say("= " + plain_number(head.tempo.value), Face::regular, group);
    if (head.feel.straight()) return group;
    const double beside = x + size * 1.1;
    x = 0.0;
    if (head.feel.ratio == Fraction{2}) {
        SmallNotes swung{feel, size * 1.5};
        say("swing", Face::regular, feel);
        x += size * 0.5;
        x = swung.beamed(x, size * 1.05) + size * 0.4;
        say("=", Face::regular, feel);
        x += size * 0.4;
        const double left = x;
        x = swung.note(x, false, false) + size * 0.45;
        x = swung.note(x, true, false);
        swung.three(left, x, z.print(7.0));
    } else {
        say("swing " + std::to_string(head.feel.ratio.top()) + ":" + std::to_string(head.feel.ratio.bottom()),
            Face::regular, feel);
    }
    std::vector<Command> placed;
    if (beside + feel.box.right() <= room) {
        feel.place(placed, beside, 0.0, -1);
    } else {
        feel.place(placed, 0.0, group.box.bottom() - feel.box.y + size * 0.35, -1);
    }
    for (Command& c : placed) group.add(std::move(c));
    return group;
}

}  // namespace lw::draw
