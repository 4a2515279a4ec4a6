// SPDX-License-Identifier: Apache-2.0
//
// The chords lane: a chord alone fills its bar, otherwise one token a slot; `-` holds, `.` is no chord.
#include "engine/text/build.hpp"

namespace lw::text {
namespace {

using lick::ChordSpan;

class ChordBuilder {
  public:
    explicit ChordBuilder(Report& report) : report_(report) {}

    /// The spans of one bar of `length` slots.
    std::vector<ChordSpan> bar(const LaneSyntax& lane, std::size_t index, int length) {
        const std::vector<Node>* nodes = &lane.bars[index].nodes;
        const Node* copied = nullptr;
        for (const Node& node : *nodes) {
            if (node.kind == Node::Kind::bar_again) copied = &node;
        }
        if (copied != nullptr) {
            nodes = bar_before(lane, index, *copied);
            if (nodes == nullptr) return {};
        }
        const int got = static_cast<int>(nodes->size());
        if (got == 0) return {};
        if (got != 1 && got != length) {
            if (!lane.bars[index].faulty)
                report_.add(Fault::chords_slots, lane.bars[index].place,
                            {{"got", slots_text(got)}, {"want", std::to_string(length)}});
            return {};
        }
        std::vector<ChordSpan> spans;
        const Beats each{Fraction{got == 1 ? length : 1}};
        Beats at{};
        for (const Node& node : *nodes) {
            one(node, at, each, copied, spans);
            at += each;
        }
        return spans;
    }

  private:
    const std::vector<Node>* bar_before(const LaneSyntax& lane, std::size_t index, const Node& again) {
        if (lane.bars[index].nodes.size() != 1) {
            report_.add(Fault::bar_again_not_alone, again.place);
            return nullptr;
        }
        std::size_t from = index;
        while (from > 0 && lane.bars[from].nodes.size() == 1 &&
               lane.bars[from].nodes.front().kind == Node::Kind::bar_again) {
            from = source_ && from != index ? *source_ : from - 1;
        }
        source_ = from;
        if (index == 0) {
            report_.add(Fault::bar_again_at_start, again.place);
            return nullptr;
        }
        if (from == 0 && !lane.bars[0].after_bar_line) {
            report_.add(Fault::bar_again_pickup, again.place);
            return nullptr;
        }
        for (const Node& node : lane.bars[from].nodes) {
            if (node.kind == Node::Kind::bar_again) return nullptr;  // told there
        }
        return &lane.bars[from].nodes;
    }

    void one(const Node& node, Beats at, Beats length, const Node* copied, std::vector<ChordSpan>& spans) {
        const lick::Place place = copied != nullptr ? copied->place : node.place;
        if (node.kind == Node::Kind::hold && !sounding_) {
            report_.add(Fault::hold_at_start, place);
            return;
        }
        if (node.kind == Node::Kind::again && !sounding_) {
            report_.add(Fault::again_at_start, place);
            return;
        }
        if (node.kind == Node::Kind::hold || (node.kind == Node::Kind::again && last_was_hold_)) {
            last_was_hold_ = true;
            if (!spans.empty()) {
                spans.back().length += length;
                return;
            }
            spans.push_back({at, length, *sounding_, place});
            return;
        }
        if (node.kind == Node::Kind::chord)
            sounding_ = node.symbol;
        else if (node.kind != Node::Kind::again)
            sounding_ = std::string{};  // a rest, or unreadable
        last_was_hold_ = false;
        spans.push_back({at, length, *sounding_, place});
    }

    Report& report_;
    std::optional<std::string> sounding_;  // nothing before the lane's first token
    std::optional<std::size_t> source_;    // the bar that the last % played again
    bool last_was_hold_ = false;
};

}  // namespace

void add_chords(const LaneSyntax& chords, const LaneSyntax& tab, const lick::Meter& meter,
                std::vector<lick::Bar>& bars, Report& report) {
    if (!chords.present || chords.bars.empty() || bars.empty()) return;
    const bool tab_pickup = !tab.bars.front().after_bar_line;
    const bool chords_pickup = !chords.bars.front().after_bar_line;
    if (chords_pickup && !tab_pickup) {
        report.add(Fault::chords_pickup, chords.bars.front().place);
        return;
    }
    const std::size_t shift = tab_pickup && !chords_pickup ? 1 : 0;
    ChordBuilder builder{report};
    for (std::size_t i = 0; i < chords.bars.size(); ++i) {
        const std::size_t bar = i + shift;
        if (bar >= bars.size()) {
            report.add(Fault::chords_too_long, chords.bars[i].place);
            break;
        }
        const auto length = static_cast<int>(bars[bar].length.value.floor());
        bars[bar].chords = builder.bar(chords, i, length > 0 ? length : meter.beats());
        const BarSyntax& mine = chords.bars[i];
        const BarSyntax& notes = tab.bars[bar];
        if (mine.opens_repeat != notes.opens_repeat || mine.closes_repeat != notes.closes_repeat ||
            mine.ending != notes.ending) {
            report.add(Fault::lanes_differ, mine.place,
                       {{"bar", std::to_string(bar + 1 - (tab_pickup ? 1 : 0))}});
        }
    }
    const std::size_t covered = chords.bars.size() + shift;
    if (covered < bars.size()) {
        report.add(Fault::chords_short, chords.bars.back().place,
                   {{"got", std::to_string(covered - (tab_pickup ? 1 : 0))},
                    {"want", std::to_string(bars.size() - (tab_pickup ? 1 : 0))}});
    }
}

}  // namespace lw::text
