// SPDX-License-Identifier: Apache-2.0
//
// A lick spelled as text. Groups that the model names are written as they are; where notes cut a slot and no
// group says how, the slot is cut into as few equal parts as they need.
#include <algorithm>
#include <numeric>

#include "engine/text/head.hpp"
#include "engine/text/strings.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

using lick::Bar;
using lick::Event;

/// The finest cut that is inferred; a place between two cuts moves to the one before it.
constexpr std::int64_t finest_inferred = 64;

std::string note_text(const Event& e) {
    std::string out;
    if (e.kind == Event::Kind::rest) return ".";
    if (e.kind == Event::Kind::hold) {
        out = "-";
    } else {
        if (e.start == lick::Start::joined) out = ">";
        if (e.start == lick::Start::glide) out = ">>";
        out += to_text(e.tab);
    }
    for (const lick::Ornament& o : e.ornaments) {
        out += "{" + std::string{lick::word(o.gesture)};
        if (o.gesture == lick::Gesture::shake) out += " " + std::to_string(o.other_hole);
        if (o.gesture == lick::Gesture::approach) out += " " + to_text(o.from);
        out += "}";
    }
    return out;
}

class BarWriter {
  public:
    explicit BarWriter(const Bar& bar) : bar_(bar) {}

    std::string write() {
        Beats at{};
        while (at < bar_.length) {
            if (const lick::Group* group = group_at(at, 0)) {
                write_group(*group);
                at = group->at + group->length;
            } else {
                const Beats end = std::min(at + Beats{Fraction{1}}, bar_.length);
                write_span(at, end);
                at = end;
            }
        }
        if (bar_.breath_at_end) add(",");
        return std::move(out_);
    }

  private:
    void add(std::string_view word) {
        if (!out_.empty() && out_.back() != '(' && word != ")") out_ += ' ';
        out_ += word;
    }

    const lick::Group* group_at(Beats at, int depth) const {
        for (const lick::Group& g : bar_.groups) {
            if (g.depth == depth && g.at == at && g.length > Beats{}) return &g;
        }
        return nullptr;
    }

    /// The event that covers a moment.
    const Event* covering(Beats at) const {
        const Event* found = nullptr;
        for (const Event& e : bar_.events) {
            if (e.at <= at && at < e.at + e.length) found = &e;
        }
        return found;
    }

    void open() {
        if (!out_.empty() && out_.back() != '(') out_ += ' ';
        out_ += '(';
    }
    void close(int over) { out_ += over > 1 ? ")/" + std::to_string(over) : ")"; }

    /// A `,` belongs before the brackets that open at its note.
    void breath(Beats at) {
        const Event* e = covering(at);
        if (e == nullptr || e->at != at || !e->breath_before || breath_written_ == e) return;
        breath_written_ = e;
        add(",");
    }

    void write_group(const lick::Group& group) {
        breath(group.at);
        open();
        const Beats part = group.length * Fraction{1, group.parts};
        for (int i = 0; i < group.parts;) {
            const Beats at = group.at + part * Fraction{i};
            const lick::Group* inner = group_at(at, group.depth + 1);
            const bool fits = inner != nullptr && inner->at + inner->length <= group.at + group.length;
            if (fits) {
                write_group(*inner);
                i += std::max(inner->slots, 1);
            } else {
                write_span(at, at + part);
                ++i;
            }
        }
        close(group.slots);
    }

    /// A stretch that no group cuts: one token, or a group inferred from the notes in it.
    void write_span(Beats begin, Beats end) {
        const Beats length = end - begin;
        std::int64_t parts = 1;
        for (const Event& e : bar_.events) {
            if (e.at <= begin || e.at >= end) continue;
            const Fraction place = (e.at - begin).value / length.value;
            parts = std::min(std::lcm(parts, place.bottom()), finest_inferred + 1);
        }
        breath(begin);
        if (parts == 1) return write_token(begin, end);
        parts = std::min(parts, finest_inferred);
        open();
        const Beats part = length * Fraction{1, parts};
        for (std::int64_t i = 0; i < parts; ++i) {
            const Beats at = begin + part * Fraction{i};
            breath(at);
            write_token(at, at + part);
        }
        close(1);
    }

    /// What starts in this stretch, or goes on in it.
    void write_token(Beats begin, Beats end) {
        const Event* e = nullptr;
        for (const Event& candidate : bar_.events) {
            if (candidate.at >= begin && candidate.at < end) {
                e = &candidate;
                break;
            }
        }
        if (e != nullptr) {
            add(note_text(*e));
            return;
        }
        const Event* before = covering(begin);
        add(before == nullptr || before->kind == Event::Kind::rest ? "." : "-");
    }

    const Bar& bar_;
    std::string out_;
    const Event* breath_written_ = nullptr;
};

std::string chords_text(const Bar& bar) {
    if (bar.chords.size() == 1 && bar.chords.front().at == Beats{} &&
        bar.chords.front().length == bar.length) {
        const std::string& symbol = bar.chords.front().symbol;
        return symbol.empty() ? "." : symbol;
    }
    std::string out;
    for (Beats at{}; at < bar.length; at += Beats{Fraction{1}}) {
        std::string word = bar.chords.empty() ? "." : "-";
        for (const lick::ChordSpan& c : bar.chords) {
            if (c.at >= at && c.at < at + Beats{Fraction{1}}) word = c.symbol.empty() ? "." : c.symbol;
        }
        if (at == Beats{} && word == "-") word = ".";
        if (!out.empty()) out += ' ';
        out += word;
    }
    return out;
}

/// The sign before a bar, and what the bar before it closes.
std::string bar_line(const Bar* before, const Bar* after) {
    std::string out = before != nullptr && before->closes_repeat ? ":|" : "|";
    if (after == nullptr) return out;
    if (after->ending != 0)
        out += std::to_string(after->ending);
    else if (after->opens_repeat)
        out += ":";
    return out;
}

/// One line of text that a head can hold: no line ends, no `#` that would begin a comment.
std::string one_line(std::string_view text) {
    std::string out;
    for (const char c : text) out += c == '\n' || c == '\r' ? ' ' : c;
    out = std::string{trimmed(std::string_view{out})};
    for (std::size_t i = 0; i < out.size(); ++i) {
        const bool space_before = i == 0 || out[i - 1] == ' ' || out[i - 1] == '\t';
        const bool space_after = i + 1 == out.size() || out[i + 1] == ' ' || out[i + 1] == '\t';
        if (out[i] == '#' && space_before && space_after) out.replace(i, 1, "No.");
    }
    return out;
}

void write_harp(const harp::Harp& harp, const std::vector<harp::Tuning>& house, std::string& out) {
    out += "harp: " + harp::name(harp) + "\n";
    if (harp.tuning != harp::standard_tuning()) {
        const auto has = [&](const std::vector<harp::Tuning>& list) {
            return std::find(list.begin(), list.end(), harp.tuning) != list.end();
        };
        const std::string changes = changes_text(harp.tuning);
        const bool named = has(house) || has(harp::known_tunings()) || changes.empty();
        out += "tuning: " + (named ? harp.tuning.name : changes) + "\n";
    }
    if (harp.temperament != harp::equal_temperament()) out += "temperament: " + harp.temperament.name + "\n";
    if (harp.a4 != harp::concert_a4) out += "a4: " + decimal_text(harp.a4.value) + "\n";
}

std::string head_text(const lick::Head& head, const std::vector<harp::Tuning>& house) {
    std::string out;
    const std::string title = one_line(head.title);
    if (!title.empty()) out += "title: " + title + "\n";
    write_harp(head.harp, house, out);
    if (head.position) out += "position: " + std::to_string(*head.position) + "\n";
    out += "meter: " + std::to_string(head.meter.top) + "/" + std::to_string(head.meter.bottom) + "\n";
    out += "tempo: " + decimal_text(head.tempo.value) + "\n";
    if (head.feel.straight()) {
        out += "feel: straight\n";
    } else if (head.feel.ratio == Fraction{2}) {
        out += "feel: swing\n";
    } else {
        out += "feel: swing " + std::to_string(head.feel.ratio.top()) + ":" +
               std::to_string(head.feel.ratio.bottom()) + "\n";
    }
    std::string tags;
    for (const std::string& tag : head.tags) tags += (tags.empty() ? "" : ", ") + one_line(tag);
    if (!tags.empty()) out += "tags: " + tags + "\n";
    for (const std::string& more : head.more) out += "more: " + one_line(more) + "\n";
    const std::string credit = one_line(head.credit);
    if (!credit.empty()) out += "credit: " + credit + "\n";
    return out;
}

/// Where chords stop being said: the bars after it have none.
std::size_t bars_with_chords(const std::vector<Bar>& bars) {
    std::size_t count = bars.size();
    while (count > 0 && bars[count - 1].chords.empty()) --count;
    return count;
}

constexpr std::size_t bars_on_a_line = 4;

}  // namespace

std::string write_lick(const lick::Lick& lick, const std::vector<harp::Tuning>& house_tunings) {
    std::string out = head_text(lick.head, house_tunings) + "\n";
    const std::vector<Bar>& bars = lick.bars;
    const std::size_t with_chords = bars_with_chords(bars);
    const bool any_chords = with_chords > 0;
    std::size_t at = 0;
    while (at < bars.size()) {
        // A pickup stands on the line of the bars it leads to.
        const std::size_t count = bars_on_a_line + (bars[at].pickup ? 1 : 0);
        const std::size_t end = std::min(bars.size(), at + count);
        std::string chords = "chords";
        std::string tab = any_chords ? "tab   " : "tab";
        for (std::size_t i = at; i < end; ++i) {
            const Bar* before = i > 0 ? &bars[i - 1] : nullptr;
            const std::string line =
                bars[i].pickup ? "" : " " + bar_line(i == at ? nullptr : before, &bars[i]);
            const bool silent_pickup = bars[i].pickup && bars[i].chords.empty();
            if (i < with_chords && !silent_pickup) chords += line + " " + chords_text(bars[i]);
            tab += line + " " + BarWriter{bars[i]}.write();
        }
        const std::string last = " " + bar_line(&bars[end - 1], nullptr) + "\n";
        if (at < with_chords) {
            out += chords;
            out += end <= with_chords ? last : " " + bar_line(&bars[with_chords - 1], nullptr) + "\n";
        }
        out += tab + last;
        at = end;
    }
    Defaults defaults;
    defaults.tunings = house_tunings;
    return format_lick(out, defaults);
}

}  // namespace lw::text
