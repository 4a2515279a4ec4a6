// SPDX-License-Identifier: Apache-2.0
//
// Where a note is cut into tied ones follows common practice (no source): a note that begins on a beat may
// last whole beats, a quarter may stand across one weak beat, 4/4 shows its middle, 5/4 is 3 + 2, and nothing
// else crosses a beat. Rests show every beat except where they fill half a bar of 4/4.
#include "engine/draw/staff_rhythm.hpp"

#include <algorithm>
#include <array>

namespace lw::draw {
namespace {

constexpr int shortest = 12;  // 1/4096 of a whole note; the language cannot cut finer and stay readable

constexpr bool power_of_two(std::int64_t n) noexcept {
    return n > 0 && (n & (n - 1)) == 0;
}
constexpr std::int64_t odd_part(std::int64_t n) noexcept {
    while (n > 1 && n % 2 == 0) n /= 2;
    return n;
}
constexpr Fraction power(int value) noexcept {
    return {1, std::int64_t{1} << value};
}

/// How many of its own parts fill a group of this written length without a bracket.
std::int64_t plain_parts(std::int64_t parts, Fraction written) noexcept {
    const std::int64_t odd = odd_part(written.top());
    std::int64_t n = odd;
    if (power_of_two(parts) && odd > 1) {
        while (n < parts) n *= 2;  // two against three eighths are eighths
    } else {
        while (n * 2 <= parts) n *= 2;
    }
    return n;
}

struct Value {
    int value = -1;
    int dots = 0;
    Fraction length;
};

/// The longest single note from `at` that fits in `limit` and does not hide where the beat is cut.
Value longest(Fraction at, Fraction limit, bool rest) noexcept {
    for (int v = 0; v <= shortest; ++v) {
        const Fraction plain = power(v);
        const Fraction grid = rest ? plain : plain * Fraction{1, 2};
        if (!(at / grid).whole()) continue;
        const Fraction dotted = plain * Fraction{3, 2};
        if (!rest && dotted <= limit) return {v, 1, dotted};
        if (plain <= limit) return {v, 0, plain};
    }
    return {shortest, 0, limit};
}

/// A stretch of one sound or of silence inside one tuplet, or outside of all.
struct Run {
    Beats at, length;
    int token = -1;
    int last_token = -1;
    int tuplet = -1;
};

class BarRhythm {
  public:
    BarRhythm(const lick::Lick& lick, const std::vector<Token>& tokens, StaffRhythm& out)
        : lick_(lick),
          tokens_(tokens),
          out_(out),
          beat_(lick.head.meter.quarters_per_beat() * Fraction{1, 4}),
          compound_(lick.head.meter.compound()) {}

    void bar(std::size_t index, int& next_token) {
        index_ = index;
        bar_ = &lick_.bars[index];
        sounds_.clear();
        for (std::size_t e = 0; e < bar_->events.size(); ++e) {
            const bool here = next_token < static_cast<int>(tokens_.size()) &&
                              token(next_token).bar == index && token(next_token).event == e;
            sounds_.push_back(here ? next_token++ : -1);
        }
        if (empty_bar()) {
            StaffNote rest{index, Beats{}, bar_->length, -1, 0, 0, -1, false, false, true};
            out_.notes.push_back(rest);
            return;
        }
        find_tuplets();
        std::vector<Run> runs;
        for (std::size_t e = 0; e < bar_->events.size(); ++e) {
            const lick::Event& event = bar_->events[e];
            const int around = tuplet_of(event.at, event.at + event.length);
            if (e > 0 && goes_on(e) && runs.back().tuplet == around) {
                runs.back().length += event.length;
                runs.back().last_token = sounds_[e];
            } else {
                runs.push_back({event.at, event.length, sounds_[e], sounds_[e], around});
            }
        }
        for (const Run& run : runs) cut(run);
    }

  private:
    [[nodiscard]] const Token& token(int i) const { return tokens_[static_cast<std::size_t>(i)]; }
    [[nodiscard]] bool empty_bar() const {
        return !bar_->pickup && std::all_of(sounds_.begin(), sounds_.end(), [](int t) { return t < 0; });
    }
    /// Does event e lengthen the one before it?
    [[nodiscard]] bool goes_on(std::size_t e) const {
        if (sounds_[e] < 0) return sounds_[e - 1] < 0;
        return !token(sounds_[e]).note() && sounds_[e - 1] >= 0;
    }
    [[nodiscard]] Fraction scale_of(int tuplet) const {
        Fraction scale{1};
        for (int t = tuplet; t >= 0; t = out_.tuplets[static_cast<std::size_t>(t)].outer) {
            const Tuplet& around = out_.tuplets[static_cast<std::size_t>(t)];
            scale = scale * Fraction{around.parts, around.in_time_of};
        }
        return scale;
    }

    /// `all` holds, for every group of the bar, the tuplet that its parts stand in.
    void find_tuplets() {
        inside_.clear();
        for (std::size_t g = 0; g < bar_->groups.size(); ++g) {
            const lick::Group& group = bar_->groups[g];
            const int outer = tuplet_of(group.at, group.at + group.length);
            const Fraction written = group.length.value * beat_ * scale_of(outer);
            const std::int64_t plain = plain_parts(group.parts, written);
            int mine = outer;
            if (plain != group.parts && needed(g, odd_part(written.top()) == 1)) {
                mine = static_cast<int>(out_.tuplets.size());
                const int depth = outer < 0 ? 0 : out_.tuplets[static_cast<std::size_t>(outer)].depth + 1;
                out_.tuplets.push_back(
                    {index_, group.at, group.length, group.parts, static_cast<int>(plain), outer, depth});
            }
            inside_.push_back(mine);
        }
    }
    /// A group through which one note is held needs no bracket, nor does one that is only halved.
    [[nodiscard]] bool needed(std::size_t g, bool halves) const {
        const lick::Group& group = bar_->groups[g];
        const Beats end = group.at + group.length;
        bool parent = false;
        for (std::size_t i = g + 1; i < bar_->groups.size(); ++i)
            parent = parent || (bar_->groups[i].at >= group.at && bar_->groups[i].at < end);
        for (std::size_t e = 1; e < bar_->events.size(); ++e) {
            const Beats at = bar_->events[e].at;
            if (at <= group.at || at >= end || goes_on(e)) continue;
            const Fraction part = (at - group.at).value / group.length.value;
            if (parent || !halves || !power_of_two(part.bottom())) return true;
        }
        return false;
    }
    [[nodiscard]] int tuplet_of(Beats from, Beats to) const {
        int found = -1;
        for (std::size_t g = 0; g < inside_.size(); ++g) {
            const lick::Group& group = bar_->groups[g];
            if (group.at <= from && to <= group.at + group.length) found = inside_[g];
        }
        return found;
    }

    void cut(const Run& run) {
        const Fraction scale = beat_ * scale_of(run.tuplet);
        const Fraction end = (run.at + run.length).value;
        const std::size_t first = out_.notes.size();
        for (Fraction at = run.at.value; at < end;) {
            const Fraction left = (end - at) * scale;
            const Value v = run.tuplet >= 0
                                ? longest((at - start_of(run.tuplet)) * scale, left, run.token < 0)
                                : in_bar(at, end - at, run.token < 0);
            StaffNote note;
            note.bar = index_;
            note.at = Beats{at};
            note.length = Beats{v.length / scale};
            note.token = run.token;
            note.value = v.value;
            note.dots = v.dots;
            note.tuplet = run.tuplet;
            note.tied_in = run.token >= 0 && (out_.notes.size() > first || !token(run.token).note());
            note.tied_out = run.token >= 0;
            out_.notes.push_back(note);
            at += note.length.value;
        }
        if (run.token < 0) return;
        const int after = token(run.last_token).next;
        out_.notes.back().tied_out = after >= 0 && !token(after).note();
    }
    [[nodiscard]] Fraction start_of(int tuplet) const {
        return out_.tuplets[static_cast<std::size_t>(tuplet)].at.value;
    }

    [[nodiscard]] Value whole_beats(int beats) const {
        const Fraction length = Fraction{beats} * beat_;
        Value v = longest(Fraction{0}, length, false);
        v.length = length;
        return v;
    }

    /// Outside of tuplets: `at` and `left` in beats.
    [[nodiscard]] Value in_bar(Fraction at, Fraction left, bool rest) const {
        const int full = lick_.head.meter.beats();
        if (bar_->pickup) at += Fraction{full} - bar_->length.value;
        const Fraction to_beat = Fraction{at.floor() + 1} - at;
        const int beat = static_cast<int>(at.floor());
        if (at.whole() && left >= Fraction{1}) return on_beat(beat, left, rest);
        if (!at.whole() && !compound_ && !rest && to_beat == Fraction{1, 2} && left == Fraction{1} &&
            weak_beat_follows(beat, full))
            return whole_beats(1);
        return longest((at - Fraction{beat}) * beat_, std::min(left, to_beat) * beat_, rest);
    }
    [[nodiscard]] static bool weak_beat_follows(int beat, int full) {
        if (full == 4) return beat % 2 == 0;
        if (full == 5) return beat != 2;
        return true;
    }
    [[nodiscard]] Value on_beat(int beat, Fraction left, bool rest) const {
        const int full = lick_.head.meter.beats();
        int most = static_cast<int>(left.floor());
        if (full == 5 && beat < 3) most = std::min(most, 3 - beat);
        if (compound_) {
            if (rest) return whole_beats(1);
            if (most >= 4 && beat == 0) return whole_beats(4);
            return whole_beats(most >= 2 && (full != 4 || beat % 2 == 0) ? 2 : 1);
        }
        if (rest) return whole_beats(full == 4 && beat % 2 == 0 && most >= 2 ? 2 : 1);
        if (most >= 4 && beat == 0) return whole_beats(4);
        if (most >= 3) return whole_beats(3);
        if (most >= 2) return whole_beats(2);
        const bool across = left >= Fraction{3, 2} && weak_beat_follows(beat, full);
        if (across) return {2, 1, Fraction{3, 8}};
        return whole_beats(1);
    }

    const lick::Lick& lick_;
    const std::vector<Token>& tokens_;
    StaffRhythm& out_;
    Fraction beat_;  // in whole notes
    bool compound_;
    std::size_t index_ = 0;
    const lick::Bar* bar_ = nullptr;
    std::vector<int> sounds_;  // by event: its token, or -1
    std::vector<int> inside_;  // by group
};

}  // namespace

StaffRhythm staff_rhythm(const lick::Lick& lick, const std::vector<Token>& tokens) {
    StaffRhythm rhythm;
    BarRhythm each{lick, tokens, rhythm};
    int next_token = 0;
    for (std::size_t b = 0; b < lick.bars.size(); ++b) each.bar(b, next_token);
    return rhythm;
}

}  // namespace lw::draw
