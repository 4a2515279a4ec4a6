// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/svg_text.hpp"

#include <algorithm>

namespace lw::draw::svg_text {
namespace {

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

}  // namespace

void put_path(std::string& out, const std::vector<Segment>& segments) {
    PathText(out).add(segments);
}

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

}  // namespace lw::draw::svg_text
