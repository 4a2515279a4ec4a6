// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/svg.hpp"

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/draw/baked.hpp"
#include "engine/draw/font.hpp"
#include "engine/draw/svg_text.hpp"

namespace lw::draw {
namespace {

using namespace svg_text;

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
        if (choices_.colours == SvgChoices::Colours::names) {
            attribute(out, what, std::string("var(--lw-") + std::string(name(ink)) + ')');
            return;
        }
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
                put_path(body_, c.segments);
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
