// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/svg.hpp"

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/draw/baked.hpp"
#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

// --- Numbers
// --------------------------------------------------------------------------------------------------------

// A number as SVG writes it, from a whole count of hundredths: no locale, no exponent, no needless zero
// ("-.5", "12").
void put_hundredths(std::string& out, long long n) {
    char digits[24];  // filled from its end
    char* at = digits + sizeof digits;
    auto size = static_cast<unsigned long long>(n < 0 ? -n : n);
    const unsigned part = static_cast<unsigned>(size % 100);
    size /= 100;
    if (part != 0) {
        if (part % 10 != 0) *--at = static_cast<char>('0' + part % 10);
        *--at = static_cast<char>('0' + part / 10);
        *--at = '.';
    }
    if (size == 0 && part == 0) *--at = '0';
    for (; size > 0; size /= 10) *--at = static_cast<char>('0' + size % 10);
    if (n < 0) *--at = '-';
    out.append(at, static_cast<std::size_t>(digits + sizeof digits - at));
}

// To the nearest whole number, halves away from zero: a library call here was a twentieth of all the time.
long long nearest(double value) {
    return static_cast<long long>(value < 0 ? value - 0.5 : value + 0.5);
}

long long hundredths(double value) {
    return nearest(value * 100.0);
}

void attribute(std::string& out, std::string_view name, double value) {
    out += ' ';
    out += name;
    out += "=\"";
    put_hundredths(out, hundredths(value));
    out += '"';
}

void attribute(std::string& out, std::string_view name, std::string_view value) {
    out += ' ';
    out += name;
    out += "=\"";
    out += value;
    out += '"';
}

// --- Paths
// ----------------------------------------------------------------------------------------------------------

// Path data with relative steps. Every absolute place is rounded first and steps are differences of rounded
// places, so rounding never adds up along a path.
class PathText {
  public:
    explicit PathText(std::string& out) : out_(out) {}

    void add(const std::vector<Segment>& segments) {
        for (const Segment& s : segments) {
            switch (s.kind) {
                case Segment::Kind::move:
                    letter('m');
                    step(s.a);
                    start_ = pen_;
                    last_ = 'l';  // further pairs after a move are lines
                    break;
                case Segment::Kind::line:
                    line(round(s.a));
                    break;
                case Segment::Kind::cubic: {
                    letter('c');
                    const Place from = pen_;
                    pair(from, round(s.a));
                    pair(from, round(s.b));
                    pen_ = round(s.c);
                    pair(from, pen_);
                    break;
                }
                case Segment::Kind::close:
                    out_ += 'z';
                    last_ = 'z';
                    pen_ = start_;
                    break;
            }
        }
    }

  private:
    struct Place {
        long long x = 0, y = 0;
    };
    Place round(Point p) const { return {hundredths(p.x), hundredths(p.y)}; }

    void letter(char c) {
        if (c == last_) return;
        out_ += c;
        last_ = c;
        fresh_ = true;
    }
    void number(long long n) {
        if (!fresh_ && n >= 0) out_ += ' ';
        fresh_ = false;
        put_hundredths(out_, n);
    }
    void pair(Place from, Place to) {
        number(to.x - from.x);
        number(to.y - from.y);
    }
    void step(Point p) {
        const Place from = pen_;
        pen_ = round(p);
        pair(from, pen_);
    }
    void line(Place to) {
        const Place from = pen_;
        pen_ = to;
        if (to.y == from.y) {
            letter('h');
            number(to.x - from.x);
        } else if (to.x == from.x) {
            letter('v');
            number(to.y - from.y);
        } else {
            letter('l');
            pair(from, to);
        }
    }

    std::string& out_;
    Place pen_, start_;
    char last_ = 0;
    bool fresh_ = true;
};

// A glyph's shape in font units, whole numbers from the table: relative steps, y downwards.
void put_glyph(std::string& out, std::span<const std::int16_t> steps) {
    constexpr char letters[] = {'m', 'l', 'q', 'c', 'z'};
    constexpr int pairs[] = {1, 1, 2, 3, 0};
    int pen_x = 0, pen_y = 0, start_x = 0, start_y = 0;
    char last = 0;
    for (std::size_t i = 0; i < steps.size();) {
        const int step = steps[i++];
        bool fresh = letters[step] != last;
        if (fresh) out += last = letters[step];
        const int from_x = pen_x, from_y = pen_y;
        for (int k = 0; k < pairs[step]; ++k, i += 2) {
            pen_x = steps[i];
            pen_y = -steps[i + 1];
            for (const int n : {pen_x - from_x, pen_y - from_y}) {
                if (!fresh && n >= 0) out += ' ';
                fresh = false;
                put_hundredths(out, n * 100LL);
            }
        }
        if (step == 0) {
            start_x = pen_x;
            start_y = pen_y;
            last = 'l';  // further pairs after a move are lines
        } else if (step == 4) {
            pen_x = start_x;
            pen_y = start_y;
        }
    }
}

// --- Bytes in text
// --------------------------------------------------------------------------------------------------

// RFC 4648, section 4.
std::string base64(std::string_view bytes) {
    constexpr char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    out.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        std::uint32_t three = 0;
        const std::size_t have = std::min<std::size_t>(3, bytes.size() - i);
        for (std::size_t k = 0; k < 3; ++k)
            three = three << 8 | (k < have ? static_cast<unsigned char>(bytes[i + k]) : 0U);
        for (std::size_t k = 0; k < 4; ++k) out += k <= have ? letters[three >> (18 - 6 * k) & 63] : '=';
    }
    return out;
}

// --- The document
// ---------------------------------------------------------------------------------------------------

class Writer {
  public:
    Writer(const Picture& picture, const Theme& theme, const SvgChoices& choices)
        : picture_(picture), theme_(theme), choices_(choices), id_(xml_escaped(choices.id)) {}

    std::string write() {
        body_.reserve(picture_.commands.size() * 256);  // about what a note's commands take; more is no harm
        for (const Command& c : picture_.commands) command(c);
        std::string out;
        open(out);
        if (!shapes_.empty()) out += "<defs>\n" + shapes_ + "</defs>\n";
        if (choices_.paper) {
            out += "<rect";
            attribute(out, "width", picture_.width);
            attribute(out, "height", picture_.height);
            paint(out, "fill", Ink::paper);
            out += "/>\n";
        }
        return out + body_ + "</svg>\n";
    }

  private:
    // A shape is known by its kind, r, b or m, and its character.
    using Key = std::uint64_t;
    static Key key_of(char kind, char32_t code) {
        return static_cast<Key>(kind) << 32 | static_cast<std::uint32_t>(code);
    }

    void open(std::string& out) const {
        out +=
            "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "
            "version=\"1.1\"";
        const auto points = [&](std::string_view name, double value) {
            attribute(out, name, value);
            out.insert(out.size() - 1, "pt");
        };
        points("width", picture_.width);
        points("height", picture_.height);
        out += " viewBox=\"0 0 ";
        put_hundredths(out, hundredths(picture_.width));
        out += ' ';
        put_hundredths(out, hundredths(picture_.height));
        out += "\" stroke-linecap=\"round\" stroke-linejoin=\"round\" role=\"img\" lang=\"en\"";
        if (choices_.words == SvgChoices::Words::text)
            out +=
                " font-family=\"'Atkinson Hyperlegible Next', 'Atkinson Hyperlegible', sans-serif\""
                " style=\"font-kerning:none;font-variant-ligatures:none;white-space:pre\"";
        const bool titled = !choices_.title.empty();
        const bool told = !picture_.spoken.empty();
        if (titled || told)
            attribute(out, "aria-labelledby",
                      (titled ? id_ + "-title" : std::string()) + (titled && told ? " " : "") +
                          (told ? id_ + "-desc" : std::string()));
        out += ">\n";
        if (titled) out += "<title id=\"" + id_ + "-title\">" + xml_escaped(choices_.title) + "</title>\n";
        if (told) out += "<desc id=\"" + id_ + "-desc\">" + xml_escaped(picture_.spoken) + "</desc>\n";
    }

    void paint(std::string& out, std::string_view what, Ink ink) const {
        const Colour colour = theme_[ink];
        attribute(out, what, to_text(colour));
        if (colour.alpha != 255) attribute(out, std::string(what) + "-opacity", colour.alpha / 255.0);
    }

    void identity(const Command& c) {
        attribute(body_, "data-part", name(c.part));
        if (c.owner >= 0) attribute(body_, "data-owner", std::to_string(c.owner));
    }

    // `per_unit`: how many of the element's own units a point is, inside a scaled group.
    void inks(const Command& c, double per_unit = 1.0) {
        if (c.fill == Ink::none)
            attribute(body_, "fill", "none");
        else
            paint(body_, "fill", c.fill);
        if (c.stroke == Ink::none || c.stroke_width <= 0.0) return;
        paint(body_, "stroke", c.stroke);
        attribute(body_, "stroke-width", c.stroke_width * per_unit);
        if (!c.round_ends) body_ += " stroke-linecap=\"butt\" stroke-linejoin=\"miter\"";
    }

    void command(const Command& c) {
        switch (c.kind) {
            case Command::Kind::path:
                if (c.segments.empty()) return;
                body_ += "<path";
                identity(c);
                inks(c);
                body_ += " d=\"";
                PathText(body_).add(c.segments);
                body_ += "\"/>\n";
                return;
            case Command::Kind::words:
                if (choices_.words == SvgChoices::Words::text)
                    text(c);
                else
                    words(c);
                return;
            case Command::Kind::music:
                music(c);
                return;
            case Command::Kind::image:
                image(c);
                return;
        }
    }

    // A group in font units, 1000 to the em; letters step along it by whole units.
    void open_group(const Command& c, double x) {
        body_ += "<g";
        identity(c);
        inks(c, 1000.0 / c.size);
        body_ += " transform=\"translate(";
        put_hundredths(body_, hundredths(x));
        body_ += ' ';
        put_hundredths(body_, hundredths(c.at.y));
        body_ += ")scale(";
        // Five decimals: over a line of a thousand points the end is then off by less than a hundredth.
        const long long scale = nearest(c.size * 100.0);  // of a size in em of 1000 units
        std::string digits = std::to_string(scale);
        if (digits.size() < 5) digits.insert(0, 5 - digits.size(), '0');
        digits.insert(digits.size() - 5, ".");
        while (digits.back() == '0') digits.pop_back();
        if (digits.back() == '.') digits.pop_back();
        body_ += digits;
        body_ += ")\">";
    }

    void words(const Command& c) {
        if (c.size <= 0.0) return;
        open_group(c, start_of(c.face, c.words, c.at.x, c.size, c.anchor));
        double pen = 0.0;
        for (std::string_view rest = c.words; !rest.empty();) {
            const std::string_view before = rest;
            char32_t character = next_character(rest);
            const std::string_view bytes = before.substr(0, before.size() - rest.size());
            if (!has(c.face, character)) character = 0;
            if (ink_box(c.face, bytes, {}, 1.0, Anchor::start).width > 0.0)
                use(letter(c.face, character), pen);
            pen += advance(c.face, character, 1000.0);
        }
        body_ += "</g>\n";
    }

    void music(const Command& c) {
        if (!has_music(c.glyph) || c.size <= 0.0) return;
        const Key key = key_of('m', c.glyph);
        if (new_shape(key)) keep(key, baked::steps_of_music(c.glyph));
        open_group(c, c.at.x);
        use(key, 0.0);
        body_ += "</g>\n";
    }

    Key letter(Face face, char32_t character) {
        const Key key = key_of(face == Face::bold ? 'b' : 'r', character);
        if (new_shape(key)) keep(key, baked::steps_of_text(face, character));
        return key;
    }

    void use(Key key, double x) {
        body_ += "<use xlink:href=\"#";
        put_id(body_, key);
        body_ += '"';
        if (x != 0.0) attribute(body_, "x", x);
        body_ += "/>";
    }

    void text(const Command& c) {
        body_ += "<text";
        identity(c);
        inks(c);
        attribute(body_, "x", start_of(c.face, c.words, c.at.x, c.size, c.anchor));
        attribute(body_, "y", c.at.y);
        attribute(body_, "font-size", c.size);
        if (c.face == Face::bold) attribute(body_, "font-weight", "700");
        // Where another font steps in, the words still keep to the room that was measured for them.
        attribute(body_, "textLength", width(c.face, c.words, c.size));
        body_ += " lengthAdjust=\"spacingAndGlyphs\">";
        body_ += xml_escaped(c.words);
        body_ += "</text>\n";
    }

    void image(const Command& c) {
        if (choices_.logo_png.empty()) return;
        body_ += "<image";
        identity(c);
        attribute(body_, "x", c.box.x);
        attribute(body_, "y", c.box.y);
        attribute(body_, "width", c.box.width);
        attribute(body_, "height", c.box.height);
        body_ += " xlink:href=\"data:image/png;base64," + base64(choices_.logo_png) + "\"/>\n";
    }

    void put_id(std::string& out, Key key) const {
        out += id_;
        out += '-';
        out += static_cast<char>(key >> 32);
        int bits = 20;
        while (bits > 0 && (key >> bits & 15) == 0) bits -= 4;
        for (; bits >= 0; bits -= 4) out += "0123456789abcdef"[key >> bits & 15];
    }

    // Makes room for a shape; false when it stands already.
    bool new_shape(Key key) {
        const auto at = std::lower_bound(known_.begin(), known_.end(), key);
        if (at != known_.end() && *at == key) return false;
        known_.insert(at, key);
        return true;
    }

    void keep(Key key, std::span<const std::int16_t> steps) {
        shapes_ += "<path id=\"";
        put_id(shapes_, key);
        shapes_ += "\" d=\"";
        put_glyph(shapes_, steps);
        shapes_ += "\"/>\n";
    }

    const Picture& picture_;
    const Theme& theme_;
    const SvgChoices& choices_;
    std::string id_;
    std::string shapes_, body_;
    std::vector<Key> known_;  // the shapes kept so far, sorted
};

}  // namespace

std::string svg(const Picture& picture, const Theme& theme, const SvgChoices& choices) {
    return Writer(picture, theme, choices).write();
}

std::string_view name(Part part) noexcept {
    switch (part) {
        case Part::ground:
            return "ground";
        case Part::band:
            return "band";
        case Part::grid:
            return "grid";
        case Part::bar_line:
            return "bar-line";
        case Part::breath_line:
            return "breath-line";
        case Part::stem:
            return "stem";
        case Part::tail:
            return "tail";
        case Part::number:
            return "number";
        case Part::number_shape:
            return "number-shape";
        case Part::bend_mark:
            return "bend-mark";
        case Part::ornament:
            return "ornament";
        case Part::joint:
            return "joint";
        case Part::count:
            return "count";
        case Part::chord:
            return "chord";
        case Part::ending:
            return "ending";
        case Part::repeat:
            return "repeat";
        case Part::plain_spelling:
            return "plain-spelling";
        case Part::staff:
            return "staff";
        case Part::staff_note:
            return "staff-note";
        case Part::title:
            return "title";
        case Part::head:
            return "head";
        case Part::credit:
            return "credit";
        case Part::logo:
            return "logo";
        case Part::prose:
            return "prose";
        case Part::page_number:
            return "page-number";
        case Part::label:
            return "label";
        case Part::mark:
            return "mark";
    }
    return "";
}

std::string xml_escaped(std::string_view utf8) {
    std::string out;
    out.reserve(utf8.size());
    while (!utf8.empty()) {
        const std::string_view before = utf8;
        const char32_t c = next_character(utf8);
        if (c == '&') {
            out += "&amp;";
        } else if (c == '<') {
            out += "&lt;";
        } else if (c == '>') {
            out += "&gt;";
        } else if (c == '"') {
            out += "&quot;";
        } else if ((c < 0x20 && c != '\t' && c != '\n') || c == 0xFFFE || c == 0xFFFF || c == 0xFFFD) {
            out += "\xEF\xBF\xBD";  // a broken byte comes as U+FFFD as well
        } else {
            out += before.substr(0, before.size() - utf8.size());
        }
    }
    return out;
}

}  // namespace lw::draw
