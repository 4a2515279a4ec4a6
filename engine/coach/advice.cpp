// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/advice.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "engine/lick/count.hpp"
#include "engine/lick/say.hpp"

namespace lw::coach {
namespace {

/// What one slip costs the phrase, in units of a note too many. Common practice, no source: a wrong or missing note is
/// heard by everybody, a bend out of tune by most, a late note by players.
namespace weight {
constexpr double wrong = 3.0;
constexpr double missing = 3.0;
constexpr double extra = 1.5;
constexpr double repeated = 1.2;
constexpr double most_for_bend = 3.0;
constexpr double cents_for_one = 30.0;
constexpr double most_for_timing = 2.5;
constexpr double seconds_for_one = 0.060;
constexpr double length = 0.8;
constexpr double stall = 2.0;
constexpr double gesture = 0.7;
constexpr double start_over = 1.0;
constexpr double swing_part_for_one = 0.04;  // of a beat
constexpr double drift_for_one = 0.04;
}  // namespace weight

constexpr std::size_t most_remarks = 6;
constexpr std::size_t most_places = 3;
/// Below this a change of tempo over the phrase is not worth a remark; common practice, no source.
constexpr double drift_from = 0.06;
/// How far the off-beats may lie from where the feel puts them, in beats, before it is a matter of feel.
constexpr double swing_from = 0.06;

std::string number(double value) {
    return std::to_string(static_cast<long>(std::lround(value)));
}

/// `34 cents`; from 75 cents on in half steps, as a teacher says it.
std::string how_far(double cents) {
    const long halves = std::lround(cents / 100.0);
    if (cents < 75.0 || std::abs(cents - 100.0 * static_cast<double>(halves)) > 25.0)
        return number(cents) + " cents";
    if (halves == 1) return "a half step";
    return halves == 2 ? "a whole step" : number(static_cast<double>(halves)) + " half steps";
}

std::string one_decimal(double value) {
    const long tenths = std::lround(value * 10.0);
    return std::to_string(tenths / 10) + "." + std::to_string(std::abs(tenths % 10));
}

std::string times(std::size_t n) {
    return n == 1 ? "once" : n == 2 ? "twice" : std::to_string(n) + " times";
}

/// A reed stands where it stands: the same note off by the same amount, within this many cents, every time it comes.
constexpr double alike_cents = 12.0;

class Adviser {
  public:
    Adviser(const lick::Lick& lick, const lick::Unfolded& played, const Comparison& c,
            std::span<const hear::HeardNote> take)
        : lick_(lick), played_(played), c_(c), take_(take) {}

    std::vector<Advice> run() {
        wrong_notes();
        missing_notes();
        extra_notes();
        bends();
        swing();
        timing();
        lengths();
        tempo();
        stalls();
        gestures();
        goes();
        std::stable_sort(out_.begin(), out_.end(),
                         [](const Advice& a, const Advice& b) { return a.weight > b.weight; });
        if (out_.size() > most_remarks) out_.resize(most_remarks);
        return std::move(out_);
    }

  private:
    using Notes = std::vector<std::size_t>;

    /// `bar 2, the and of 3`; a bar that comes by again says so.
    [[nodiscard]] std::string place(std::size_t note) const {
        if (note >= played_.notes.size()) return "the end";
        const lick::Stretch& s = played_.notes[note].stretches.front();
        const std::size_t number = s.bar + (lick_.bars.front().pickup ? 0 : 1);
        std::string text = lick_.bars[s.bar].pickup ? "the pickup" : "bar " + std::to_string(number);
        text += ", " + lick::say_place(lick_, s.bar, lick_.bars[s.bar].events[s.event].at);
        for (const lick::PlayedBar& bar : played_.bars)
            if (bar.bar == s.bar && bar.pass > 1 && bar.start <= s.start && s.start < bar.start + bar.length)
                text += bar.pass == 2 ? ", second time" : ", time " + std::to_string(bar.pass);
        return text;
    }
    /// Every place once: two notes before the same one are one place.
    [[nodiscard]] std::string places(const Notes& notes) const {
        Notes once;
        for (const std::size_t n : notes)
            if (std::find(once.begin(), once.end(), n) == once.end()) once.push_back(n);
        std::string text;
        for (std::size_t k = 0; k < once.size() && k < most_places; ++k)
            text += (k == 0 ? "" : "; ") + place(once[k]);
        if (once.size() > most_places) text += "; and " + std::to_string(once.size() - most_places) + " more";
        return text;
    }
    /// Where extra notes stand: `before bar 2, beat 1; bar 2, beat 3`, `after the last note`.
    [[nodiscard]] std::string stand_before(Notes notes) const {
        const auto last = std::partition(notes.begin(), notes.end(),
                                         [&](std::size_t n) { return n < played_.notes.size(); });
        const bool after = last != notes.end();
        notes.erase(last, notes.end());
        if (notes.empty()) return "after the last note";
        return "before " + places(notes) + (after ? "; and after the last note" : "");
    }
    [[nodiscard]] std::string tab(std::size_t note) const { return lick::say(played_.notes[note].tab); }
    [[nodiscard]] std::string heard(std::size_t j) const {
        const std::string said = lick::say(take_[j].tab);
        return said.empty() ? "another note" : said;
    }

    void add(Advice::About about, Notes notes, double weight, std::string words) {
        words.front() = static_cast<char>(
            words.front() >= 'a' && words.front() <= 'z' ? words.front() - 'a' + 'A' : words.front());
        out_.push_back({about, std::move(notes), weight, std::move(words)});
    }

    void wrong_notes() {
        std::map<std::pair<std::string, std::string>, Notes> alike;
        for (const NoteGrade& g : c_.notes)
            if (g.came == Came::wrong && !g.wrong_bend)
                alike[{tab(g.note), heard(*g.heard)}].push_back(g.note);
        for (const auto& [words, notes] : alike) {
            std::string said =
                words.second + " came where " + words.first + " is written: " + places(notes) + ".";
            add(Advice::About::wrong_note, notes, weight::wrong * static_cast<double>(notes.size()), said);
        }
    }

    void missing_notes() {
        Notes run;
        const auto tell = [&] {
            if (run.empty()) return;
            std::string said = run.size() == 1
                                   ? tab(run.front()) + " is missing: " + place(run.front()) + "."
                                   : std::to_string(run.size()) + " notes in a row are missing, from " +
                                         tab(run.front()) + " in " + place(run.front()) + ".";
            add(Advice::About::missing, run, weight::missing * static_cast<double>(run.size()), said);
            run.clear();
        };
        for (const NoteGrade& g : c_.notes) {
            if (g.came != Came::missing) continue;
            if (!run.empty() && run.back() + 1 != g.note) tell();
            run.push_back(g.note);
        }
        tell();
    }

    void extra_notes() {
        for (const bool repeated : {false, true}) {
            Notes before;
            std::string first;
            for (const Extra& e : c_.extras) {
                if (e.repeated != repeated) continue;
                if (before.empty()) first = heard(e.heard);
                before.push_back(e.before);
            }
            if (before.empty()) continue;
            const double cost =
                (repeated ? weight::repeated : weight::extra) * static_cast<double>(before.size());
            std::string said = repeated
                                   ? first + " came once more than written, " + stand_before(before) + "."
                                   : first + " is not in the lick, " + stand_before(before) + ".";
            if (before.size() > 1)
                said = std::to_string(before.size()) +
                       (repeated ? " notes came twice, " : " notes are not in the lick, ") +
                       stand_before(before) + ".";
            add(repeated ? Advice::About::repeated : Advice::About::extra, before, cost, said);
        }
    }

    void bends() {
        struct Group {
            Notes notes;
            std::vector<double> cents;
            double cost = 0.0;
        };
        std::map<std::pair<std::string, bool>, Group> alike;
        for (const NoteGrade& g : c_.notes) {
            if (!g.flat && !g.sharp) continue;
            Group& group = alike[{tab(g.note), g.flat}];
            group.notes.push_back(g.note);
            group.cents.push_back(std::abs(g.bend_error->value));
            group.cost +=
                std::min(weight::most_for_bend, std::abs(g.bend_error->value) / weight::cents_for_one);
        }
        for (auto& [key, group] : alike) {
            std::sort(group.cents.begin(), group.cents.end());
            const double cents = group.cents[group.cents.size() / 2];
            const lick::Tab& written = played_.notes[group.notes.front()].tab;
            const bool bent = written.bend_quarter_steps > 0;
            std::string said = key.first;
            // Who pulls a note down by accident does not pull it down alike each time.
            const bool each_time = group.cents.size() > 1 &&
                                   group.cents.back() - group.cents.front() < alike_cents &&
                                   std::count_if(c_.notes.begin(), c_.notes.end(), [&](const NoteGrade& g) {
                                       return g.came != Came::missing && tab(g.note) == key.first;
                                   }) == std::ssize(group.notes);
            if (!bent && each_time)
                said = "Each " + key.first + " stands " + how_far(cents) + " under its own pitch (" +
                       places(group.notes) + "). Let it ring open; if it does, that reed is flat.";
            else if (!bent)
                said += " hangs " + how_far(cents) + " under its own pitch (" + places(group.notes) +
                        "). Let it ring open.";
            else if (key.second)
                said += " goes " + how_far(cents) + " too deep (" + places(group.notes) + "). Less pull.";
            else
                said +=
                    " stays " + how_far(cents) + " too high (" + places(group.notes) + "). Pull it further.";
            if (!bent && !key.second) continue;  // a plain reed above its pitch is the harp, not the player
            add(Advice::About::bend, group.notes, group.cost, said);
        }
    }

    /// How far the off-beats lie from where the feel puts them, in beats.
    [[nodiscard]] double swing_off() const {
        if (!c_.swing || lick_.head.meter.compound()) return 0.0;
        const double written = lick_.head.feel.ratio.value();
        return *c_.swing / (1.0 + *c_.swing) - written / (1.0 + written);
    }

    void swing() {
        const double off = swing_off();
        if (std::abs(off) < swing_from) return;
        const double cost = 1.0 + std::abs(off) / weight::swing_part_for_one;
        const std::string is = one_decimal(*c_.swing) + " to 1";
        std::string said;
        if (lick_.head.feel.straight())
            said =
                "The off-beats swing, about " + is + "; this lick is straight. Count `1 and 2 and` evenly.";
        else
            said = "The swing is " + is + " where the lick has " +
                   one_decimal(lick_.head.feel.ratio.value()) + " to 1: the off-beats come too " +
                   (off < 0.0 ? "early." : "late.");
        add(Advice::About::swing, {}, cost, said);
    }

    [[nodiscard]] bool off_beat(std::size_t note) const {
        const Fraction at = played_.notes[note].start.value;
        return at - Fraction{at.floor()} == Fraction{1, 2};
    }

    void timing() {
        const bool feel_is_off = std::abs(swing_off()) >= swing_from;
        for (const bool late : {true, false}) {
            Notes notes;
            double cost = 0.0, most = 0.0;
            for (const NoteGrade& g : c_.notes) {
                if (g.came == Came::missing || !(late ? g.late : g.early)) continue;
                if (feel_is_off && off_beat(g.note)) continue;  // said once, by the swing
                notes.push_back(g.note);
                const double off = std::abs(g.onset_error.value);
                cost += std::min(weight::most_for_timing, off / weight::seconds_for_one);
                most = std::max(most, off);
            }
            if (notes.empty()) continue;
            std::string said = std::string{late ? "Late" : "Early"} + " by " +
                               (notes.size() > 1 ? "up to " : "") + number(1000.0 * most) +
                               " ms: " + places(notes) + ".";
            add(Advice::About::timing, notes, cost, said);
        }
    }

    void lengths() {
        for (const bool brief : {true, false}) {
            Notes notes;
            for (const NoteGrade& g : c_.notes)
                if (g.came != Came::missing && (brief ? g.cut_short : g.too_long)) notes.push_back(g.note);
            if (notes.empty()) continue;
            const std::string said =
                brief ? "Held too short: " + places(notes) + ". Let it sound to its end."
                      : "Held too long: " + places(notes) + ". Leave the rest its silence.";
            add(Advice::About::length, notes, weight::length * static_cast<double>(notes.size()), said);
        }
    }

    void tempo() {
        if (c_.tempo_curve.size() < 4 || std::abs(std::log(c_.drift)) < drift_from) return;
        const std::string from = number(c_.tempo_curve.front().tempo.value);
        const std::string to = number(c_.tempo_curve.back().tempo.value);
        add(Advice::About::tempo, {}, std::abs(std::log(c_.drift)) / weight::drift_for_one,
            (c_.drift > 1.0 ? "You speed up, from " : "You slow down, from ") + from + " to " + to +
                " beats a minute. Play it to the click.");
    }

    void stalls() {
        for (const Stall& s : c_.stalls)
            add(Advice::About::stall, {s.before}, weight::stall,
                "You stop for " + one_decimal(s.length.value) + " s before " + place(s.before) +
                    ". Practise the step over it, slower.");
    }

    void gestures() {
        for (const NoteGrade& g : c_.notes)
            for (const lick::Gesture missed : g.gestures_missed)
                add(Advice::About::gesture, {g.note}, weight::gesture,
                    "The " + std::string{lick::word(missed)} + " on " + tab(g.note) +
                        " cannot be heard: " + place(g.note) + ".");
    }

    void goes() {
        std::size_t broken = 0;
        for (std::size_t g = 0; g + 1 < c_.goes.size(); ++g)
            if (c_.goes[g].to + 1 < played_.notes.size()) ++broken;
        if (broken == 0) return;
        const Go& first = c_.goes.front();
        add(Advice::About::start_over, {}, weight::start_over * static_cast<double>(broken),
            "You started over " + times(broken) +
                (first.to + 1 < played_.notes.size()
                     ? ", the first time after " + tab(first.to) + " in " + place(first.to) + "."
                     : "."));
    }

    const lick::Lick& lick_;
    const lick::Unfolded& played_;
    const Comparison& c_;
    std::span<const hear::HeardNote> take_;
    std::vector<Advice> out_;
};

}  // namespace

std::string_view word(Advice::About about) noexcept {
    using About = Advice::About;
    switch (about) {
        case About::wrong_note:
            return "wrong note";
        case About::missing:
            return "missing";
        case About::extra:
            return "extra";
        case About::repeated:
            return "repeated";
        case About::bend:
            return "bend";
        case About::timing:
            return "timing";
        case About::length:
            return "length";
        case About::swing:
            return "swing";
        case About::tempo:
            return "tempo";
        case About::stall:
            return "stop";
        case About::gesture:
            return "gesture";
        case About::start_over:
            return "start over";
    }
    return {};
}

std::vector<std::string> faults(const NoteGrade& g) {
    std::vector<std::string> all;
    for (const auto& [is, name] : {std::pair{g.wrong_hole, "wrong hole"},
                                   {g.wrong_breath, "wrong breath"},
                                   {g.wrong_bend, "wrong bend"},
                                   {g.late, "late"},
                                   {g.early, "early"},
                                   {g.cut_short, "short"},
                                   {g.too_long, "long"},
                                   {g.flat, "flat"},
                                   {g.sharp, "sharp"}})
        if (is) all.emplace_back(name);
    for (const lick::Gesture missed : g.gestures_missed)
        all.push_back("no " + std::string{lick::word(missed)});
    return all;
}

std::vector<Advice> advise(const lick::Lick& lick, const lick::Unfolded& played, const Comparison& comparison,
                           std::span<const hear::HeardNote> take) {
    return Adviser{lick, played, comparison, take}.run();
}

}  // namespace lw::coach
