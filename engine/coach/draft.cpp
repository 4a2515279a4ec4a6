// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/draft.hpp"

#include <algorithm>
#include <cmath>

#include "engine/lick/count.hpp"
#include "engine/text/text.hpp"

namespace lw::coach {
namespace {

using hear::HeardNote;
using lick::Event;

/// Below this the ear is asked again: about the share of notes at that confidence that are wrong is two in five.
constexpr double unsure = 0.6;
/// A note this far from its slot may belong to another.
constexpr Seconds far_off{0.060};
constexpr std::size_t most_checks = 12;

class Drafter {
  public:
    Drafter(std::span<const HeardNote> notes, const BeatMap& map, const DraftChoices& choices)
        : notes_(notes), map_(map), choices_(choices), bar_(map.meter.beats()) {}

    Draft run() {
        lick::Head& head = draft_.lick.head;
        head.title = choices_.title;
        head.harp = choices_.harp;
        head.position = choices_.position;
        head.meter = map_.meter;
        head.feel = map_.feel;
        head.tempo = BeatsPerMinute{
            std::clamp(std::round(map_.tempo.value), lick::slowest_tempo.value, lick::fastest_tempo.value)};
        for (const std::string& r : choices_.remarks) draft_.checks.push_back({std::nullopt, r});
        draft_.tokens.resize(notes_.size());
        lay_bars();
        for (std::size_t i = 0; i < notes_.size(); ++i) place(i);
        fill_with_rests();
        for (lick::Bar& bar : draft_.lick.bars) cut_slots(bar);
        check_notes();
        as_typed();
        return std::move(draft_);
    }

  private:
    /// Where on the line the first bar begins, and whether it is a pickup; then bars to the last note's end.
    void lay_bars() {
        Fraction first{0}, end{bar_};
        for (std::size_t i = 0; i < map_.notes.size(); ++i) {
            if (i == 0) first = map_.notes[i].at.value;
            end = std::max(end, map_.notes[i].at.value + map_.notes[i].length.value);
        }
        begin_ = (first / Fraction{bar_}).floor() * bar_;
        if (first < Fraction{0} && first > Fraction{-bar_}) begin_ = first.floor();
        for (std::int64_t at = begin_; Fraction{at} < end;) {
            lick::Bar bar;
            bar.pickup = at < 0 && at > -bar_;
            bar.length = Beats{Fraction{bar.pickup ? -at : bar_}};
            at += bar.length.value.top();
            draft_.lick.bars.push_back(std::move(bar));
        }
    }

    struct Spot {
        std::size_t bar;
        Beats at;
    };
    [[nodiscard]] Spot spot(Fraction beat) const {
        Fraction left = beat - Fraction{begin_};
        std::size_t bar = 0;
        while (bar + 1 < draft_.lick.bars.size() && left >= draft_.lick.bars[bar].length.value)
            left -= draft_.lick.bars[bar++].length.value;
        return {bar, Beats{left}};
    }

    /// The tab as it can be written: a bend that this hole does not have is left off.
    [[nodiscard]] lick::Tab playable(const lick::Tab& heard) const {
        lick::Tab tab = heard;
        for (const int hole : tab.holes)
            if (!harp::pitch(choices_.harp, tab.note_of(hole))) {
                tab.bent_hole = tab.bend_quarter_steps = 0;
                tab.overbend = false;
            }
        if (tab.bend_quarter_steps == 0) tab.bent_hole = 0;
        return tab;
    }

    void place(std::size_t i) {
        const HeardNote& heard = notes_[i];
        const Placed& placed = map_.notes[i];
        if (placed.shared || heard.tab.holes.empty()) return;
        const lick::Tab tab = playable(heard.tab);
        const bool touches = last_ && end_ == placed.at.value;
        const bool same_breath = last_ && last_->tab.breath == tab.breath;
        if (heard.joined && touches && same_breath && last_->tab == tab) {  // the pitch did not really move
            extend(placed.length.value);
            draft_.tokens[i] = token_;
            return;
        }
        Event event;
        event.kind = Event::Kind::note;
        event.tab = tab;
        if (heard.joined && touches && same_breath) event.start = lick::Start::joined;
        decorate(event, heard);
        const Spot s = spot(placed.at.value);
        event.at = s.at;
        event.length = placed.length;
        std::vector<Event>& events = draft_.lick.bars[s.bar].events;
        events.push_back(event);
        token_ = {s.bar, events.size() - 1};
        draft_.tokens[i] = token_;
        end_ = placed.at.value;
        last_ = event;
        trim_to_bar(placed.length.value);
    }

    /// Cuts the newest event at its bar line and holds it through the bars that follow.
    void trim_to_bar(Fraction length) {
        end_ += length;
        std::size_t bar = token_.bar;
        Event* event = &draft_.lick.bars[bar].events.back();
        Fraction left = event->at.value + length - draft_.lick.bars[bar].length.value;
        event->length = Beats{left > Fraction{0} ? length - left : length};
        while (left > Fraction{0} && ++bar < draft_.lick.bars.size()) {
            Event hold;
            hold.kind = Event::Kind::hold;
            hold.length = Beats{std::min(left, draft_.lick.bars[bar].length.value)};
            left -= hold.length.value;
            draft_.lick.bars[bar].events.push_back(hold);
        }
    }

    void extend(Fraction more) {
        const Spot s = spot(end_);
        Event hold;
        hold.kind = Event::Kind::hold;
        hold.at = s.at;
        hold.length = Beats{more};
        draft_.lick.bars[s.bar].events.push_back(hold);
        const auto keep = token_;
        token_ = {s.bar, draft_.lick.bars[s.bar].events.size() - 1};
        trim_to_bar(more);
        token_ = keep;
    }

    void decorate(Event& event, const HeardNote& heard) const {
        using lick::Gesture;
        for (const hear::HeardGesture& g : heard.gestures) {
            if (g.gesture == Gesture::approach) continue;  // its tab was not heard
            const bool one_hole = event.tab.holes.size() == 1;
            if (g.gesture == Gesture::shake &&
                (!one_hole || event.tab.overbend || std::abs(g.other_hole - event.tab.holes.front()) != 1 ||
                 g.other_hole < 1 || g.other_hole > harp::hole_count))
                continue;
            event.ornaments.push_back({g.gesture, g.gesture == Gesture::shake ? g.other_hole : 0, {}});
            return;  // one word a note reads best
        }
    }

    void fill_with_rests() {
        for (std::size_t b = 0; b < draft_.lick.bars.size(); ++b) {
            lick::Bar& bar = draft_.lick.bars[b];
            std::vector<Event> filled;
            Beats at{};
            for (std::size_t k = 0; k < bar.events.size(); ++k) {
                if (bar.events[k].at > at) filled.push_back(rest(at, bar.events[k].at - at));
                at = bar.events[k].at + bar.events[k].length;
                for (auto& t : draft_.tokens)
                    if (t && t->bar == b && t->event == k && !moved(*t)) {
                        t->event = filled.size();
                        moved_.push_back(&*t);
                    }
                filled.push_back(bar.events[k]);
            }
            if (at < bar.length) filled.push_back(rest(at, bar.length - at));
            bar.events = std::move(filled);
            moved_.clear();
        }
    }
    [[nodiscard]] bool moved(const Draft::Token& t) const {
        return std::find(moved_.begin(), moved_.end(), &t) != moved_.end();
    }
    static Event rest(Beats at, Beats length) {
        Event e;
        e.at = at;
        e.length = length;
        return e;
    }

    /// Sixteenths read best as halves of halves: `(a (b c))`. Four of them stay a group of four, and so do all where
    /// halves would swing.
    void cut_slots(lick::Bar& bar) const {
        if (map_.meter.compound() || !map_.feel.straight()) return;
        for (std::int64_t beat = 0; Fraction{beat} < bar.length.value; ++beat) {
            bool half[2] = {false, false};
            bool other = false;
            for (const Event& e : bar.events) {
                const Fraction part = e.at.value - Fraction{beat};
                if (part <= Fraction{0} || part >= Fraction{1}) continue;
                if (part == Fraction{1, 4}) half[0] = true;
                if (part == Fraction{3, 4}) half[1] = true;
                if (part.bottom() == 3 || part.bottom() > 4) other = true;
            }
            if (other || half[0] == half[1]) continue;
            const Beats at{Fraction{beat}};
            bar.groups.push_back({at, Beats{Fraction{1}}, 2, 0, 1});
            bar.groups.push_back({half[0] ? at : at + Beats{Fraction{1, 2}}, Beats{Fraction{1, 2}}, 2, 1, 1});
        }
    }

    /// As if a person had typed it: the text read back, with its groups and holds as tokens.
    void as_typed() {
        lick::Lick read = text::read_lick(text::write_lick(draft_.lick)).lick;
        for (auto& token : draft_.tokens) {
            if (!token) continue;
            const Event& was = draft_.lick.bars[token->bar].events[token->event];
            const std::vector<Event>& events =
                token->bar < read.bars.size() ? read.bars[token->bar].events : was_nothing_;
            const auto is = std::find_if(events.begin(), events.end(), [&](const Event& e) {
                return e.kind == Event::Kind::note && e.at == was.at;
            });
            if (is == events.end())
                token.reset();
            else
                token->event = static_cast<std::size_t>(is - events.begin());
        }
        draft_.lick = std::move(read);
    }

    [[nodiscard]] std::string where(std::size_t i) const {
        const Spot s = spot(map_.notes[i].at.value);
        const bool pickup = draft_.lick.bars.front().pickup;
        const std::string bar =
            draft_.lick.bars[s.bar].pickup ? "pickup" : "bar " + std::to_string(s.bar + (pickup ? 0 : 1));
        return bar + ", " + lick::say_place(draft_.lick, s.bar, s.at);
    }

    void check_notes() {
        struct Worry {
            double weight;
            Check check;
        };
        std::vector<Worry> worries;
        for (std::size_t i = 0; i < notes_.size(); ++i) {
            const HeardNote& n = notes_[i];
            const std::string tab = n.tab.holes.empty() ? "a note" : text::to_text(n.tab);
            const auto add = [&](double weight, const std::string& why) {
                worries.push_back({weight, {i, where(i) + ": " + tab + " (" + why + ")"}});
            };
            if (n.tab.holes.empty())
                add(1.0, "no hole of this harp plays it");
            else if (map_.notes[i].shared && !n.joined)
                add(0.9, "left out: no slot of its own");
            else if (n.confidence < unsure)
                add(1.0 - n.confidence,
                    "sure to " + std::to_string(std::lround(100.0 * n.confidence)) + " %");
            else if (map_.notes[i].off > far_off || map_.notes[i].off < -far_off)
                add(0.3, std::to_string(std::lround(1000.0 * std::abs(map_.notes[i].off.value))) + " ms " +
                             (map_.notes[i].off > Seconds{} ? "after" : "before") + " its slot");
        }
        std::stable_sort(worries.begin(), worries.end(),
                         [](const Worry& a, const Worry& b) { return a.weight > b.weight; });
        for (Worry& w : worries) draft_.checks.push_back(std::move(w.check));
    }

    std::span<const HeardNote> notes_;
    const BeatMap& map_;
    const DraftChoices& choices_;
    std::int64_t bar_;
    std::int64_t begin_ = 0;
    Draft draft_;
    std::optional<Event> last_;
    Fraction end_;
    Draft::Token token_;
    std::vector<const Draft::Token*> moved_;
    const std::vector<Event> was_nothing_;
};

}  // namespace

Draft make_draft(std::span<const HeardNote> notes, const BeatMap& map, const DraftChoices& choices) {
    return Drafter{notes, map, choices}.run();
}

std::string write_draft(const Draft& draft) {
    const std::string written = text::write_lick(draft.lick);
    std::string checks;
    for (std::size_t i = 0; i < draft.checks.size() && i < most_checks; ++i)
        checks += "# check: " + draft.checks[i].words + "\n";
    if (draft.checks.size() > most_checks)
        checks += "# check: and " + std::to_string(draft.checks.size() - most_checks) + " more places\n";
    if (checks.empty()) return written;
    const std::size_t lanes = written.find("\n\n");
    const std::size_t at = lanes == std::string::npos ? 0 : lanes + 1;
    return text::format_lick(written.substr(0, at) + "\n" + checks +
                             written.substr(std::min(written.size(), at)));
}

}  // namespace lw::coach
