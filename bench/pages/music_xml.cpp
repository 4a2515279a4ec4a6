// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/pages/music_xml.hpp"

#include <array>
#include <cmath>
#include <vector>

#include "engine/text/text.hpp"

namespace lw::bench {
namespace {

using lick::Event;

/// Parts of a quarter note: halves of halves of halves, and thirds.
constexpr std::int64_t divisions = 48;

struct Value {
    const char* type;
    std::int64_t length;
};
constexpr std::array<Value, 6> values = {
    {{"whole", 192}, {"half", 96}, {"quarter", 48}, {"eighth", 24}, {"16th", 12}, {"32nd", 6}}};

/// What one symbol can be: plain, dotted, or a third of something.
struct Symbol {
    std::int64_t length = 0;
    std::string xml;
};
Symbol longest_symbol(std::int64_t left) {
    for (const Value& v : values) {
        const std::string type = std::string{"<type>"} + v.type + "</type>";
        if (v.length * 3 / 2 <= left && v.length * 3 % 2 == 0) return {v.length * 3 / 2, type + "<dot/>"};
        if (v.length <= left) return {v.length, type};
        if (v.length * 2 / 3 == left && v.length * 2 % 3 == 0)
            return {left,
                    type +
                        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
                        "</time-modification>"};
    }
    return {left, "<type>64th</type>"};
}

std::string pitch_of(double midi) {
    static constexpr std::array<const char*, 12> steps = {"C", "C", "D", "E", "E", "F",
                                                          "F", "G", "A", "A", "B", "B"};
    static constexpr std::array<int, 12> alters = {0, 1, 0, -1, 0, 0, 1, 0, -1, 0, -1, 0};
    const auto key = static_cast<int>(std::lround(midi));
    const auto in_octave = static_cast<std::size_t>(key % 12);
    return std::string{"<pitch><step>"} + steps[in_octave] + "</step><alter>" +
           std::to_string(alters[in_octave]) + "</alter><octave>" + std::to_string(key / 12 - 1) +
           "</octave></pitch>";
}

class Writer {
  public:
    explicit Writer(const lick::Lick& lick)
        : lick_(lick), quarters_(lick.head.meter.compound() ? Fraction{3, 2} : Fraction{1}) {}

    std::string run() {
        out_ =
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise "
            "version=\"4.0\"><part-list><score-part "
            "id=\"P1\"><part-name/></score-part></part-list><part id=\"P1\">";
        for (std::size_t b = 0; b < lick_.bars.size(); ++b) {
            out_ += "<measure number=\"" + std::to_string(b + 1) + "\">";
            if (b == 0)
                out_ += "<attributes><divisions>" + std::to_string(divisions) + "</divisions><time><beats>" +
                        std::to_string(lick_.head.meter.top) + "</beats><beat-type>" +
                        std::to_string(lick_.head.meter.bottom) +
                        "</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>";
            const std::vector<Event>& events = lick_.bars[b].events;
            for (std::size_t e = 0; e < events.size(); ++e) event(events[e], held_on(b, e));
            out_ += "</measure>";
        }
        return out_ + "</part></score-partwise>\n";
    }

  private:
    [[nodiscard]] bool held_on(std::size_t bar, std::size_t event) const {
        if (event + 1 < lick_.bars[bar].events.size())
            return lick_.bars[bar].events[event + 1].kind == Event::Kind::hold;
        return bar + 1 < lick_.bars.size() && !lick_.bars[bar + 1].events.empty() &&
               lick_.bars[bar + 1].events.front().kind == Event::Kind::hold;
    }

    void event(const Event& e, bool held) {
        const Fraction length = e.length.value * quarters_ * Fraction{divisions};
        if (e.kind == Event::Kind::note) sounding_ = e.tab;
        bool first = e.kind == Event::Kind::note;
        bool tied = e.kind == Event::Kind::hold;
        for (auto left = static_cast<std::int64_t>(std::lround(length.value())); left > 0;) {
            const Symbol s = longest_symbol(left);
            left -= s.length;
            const std::string duration = "<duration>" + std::to_string(s.length) + "</duration>";
            if (e.kind == Event::Kind::rest) {
                out_ += "<note><rest/>" + duration + s.xml + "</note>";
                continue;
            }
            const bool on = left > 0 || held;
            std::string ties, tied_signs;
            if (tied) ties += "<tie type=\"stop\"/>", tied_signs += "<tied type=\"stop\"/>";
            if (on) ties += "<tie type=\"start\"/>", tied_signs += "<tied type=\"start\"/>";
            bool lead = true;
            for (const int hole : sounding_.holes) {
                const auto p = harp::pitch(lick_.head.harp, sounding_.note_of(hole));
                out_ += std::string{"<note>"} + (lead ? "" : "<chord/>") + pitch_of(p ? p->midi : 60.0) +
                        duration + ties + s.xml +
                        (tied_signs.empty() ? "" : "<notations>" + tied_signs + "</notations>");
                if (first && lead) out_ += "<lyric><text>" + text::to_text(sounding_) + "</text></lyric>";
                out_ += "</note>";
                lead = false;
            }
            first = false;
            tied = true;
        }
    }

    const lick::Lick& lick_;
    Fraction quarters_;
    lick::Tab sounding_;
    std::string out_;
};

}  // namespace

std::string music_xml(const lick::Lick& lick) {
    return Writer{lick}.run();
}

}  // namespace lw::bench
