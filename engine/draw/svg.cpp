// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/svg.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "engine/draw/font.hpp"

namespace lw::draw {
namespace {

// --- Numbers
// --------------------------------------------------------------------------------------------------------

// A number as SVG writes it, from a whole count of hundredths: no locale, no exponent, no needless zero
// ("-.5", "12").
void put_hundredths(std::string& out, long long n) {
    if (n < 0) out += '-';
    const long long size = n < 0 ? -n : n;
    const long long whole = size / 100;
    const long long part = size % 100;
    if (whole > 0 || part == 0) {
        char digits[20];
        int count = 0;
        for (long long w = whole; count == 0 || w > 0; w /= 10)
            digits[count++] = static_cast<char>('0' + w % 10);
        while (count > 0) out += digits[--count];
    }
    if (part > 0) {
        out += '.';
        out += static_cast<char>('0' + part / 10);
        if (part % 10 != 0) out += static_cast<char>('0' + part % 10);
    }
}

long long hundredths(double value) {
    return std::llround(value * 100.0);
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
    PathText(std::string& out, double per_unit) : out_(out), per_unit_(per_unit) {}

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
    Place round(Point p) const { return {std::llround(p.x * per_unit_), std::llround(p.y * per_unit_)}; }

    void letter(char c) {
        if (c == last_) return;
        out_ += c;
        last_ = c;
        fresh_ = true;
    }
    void number(long long n) {
        if (!fresh_ && n >= 0) out_ += ' ';
        fresh_ = false;
        put_hundredths(out_, per_unit_ == 1.0 ? n * 100 : n);
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
    double per_unit_;
    Place pen_, start_;
    char last_ = 0;
    bool fresh_ = true;
};

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
                PathText(body_, 100.0).add(c.segments);
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
        const long long scale = std::llround(c.size * 100.0);  // of a size in em of 1000 units
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
            char32_t character = next_character(rest);
            if (!has(c.face, character)) character = 0;
            const std::string id = letter(c.face, character);
            if (!id.empty()) use(id, pen);
            pen += advance(c.face, character, 1000.0);
        }
        body_ += "</g>\n";
    }

    void music(const Command& c) {
        if (!has_music(c.glyph) || c.size <= 0.0) return;
        const std::string id = shape_id('m', c.glyph);
        if (!known(id)) {
            std::vector<Segment> shape;
            append_music(shape, c.glyph, {}, 1000.0);
            keep(id, shape);
        }
        open_group(c, c.at.x);
        use(id, 0.0);
        body_ += "</g>\n";
    }

    void use(const std::string& id, double x) {
        body_ += "<use xlink:href=\"#" + id + "\"";
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

    std::string shape_id(char kind, char32_t code) const {
        constexpr char digits[] = "0123456789abcdef";
        std::string hex;
        for (auto rest = static_cast<std::uint32_t>(code); hex.empty() || rest > 0; rest >>= 4)
            hex.insert(hex.begin(), digits[rest & 15]);
        return id_ + '-' + kind + hex;
    }

    bool known(const std::string& id) const { return std::binary_search(ids_.begin(), ids_.end(), id); }

    void keep(const std::string& id, const std::vector<Segment>& shape) {
        ids_.insert(std::lower_bound(ids_.begin(), ids_.end(), id), id);
        shapes_ += "<path id=\"" + id + "\" d=\"";
        PathText(shapes_, 1.0).add(shape);  // whole font units: a thousandth of the size
        shapes_ += "\"/>\n";
    }

    // The id of a letter's shape, kept when it is new; empty for a letter without ink.
    std::string letter(Face face, char32_t character) {
        const std::string id = shape_id(face == Face::bold ? 'b' : 'r', character);
        if (known(id)) return id;
        std::vector<Segment> shape;
        append_character(shape, face, character, {}, 1000.0);
        if (shape.empty()) return {};
        keep(id, shape);
        return id;
    }

    const Picture& picture_;
    const Theme& theme_;
    const SvgChoices& choices_;
    std::string id_;
    std::string shapes_, body_;
    std::vector<std::string> ids_;  // of the shapes kept so far, sorted
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
