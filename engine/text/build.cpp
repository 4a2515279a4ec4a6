// SPDX-License-Identifier: Apache-2.0
#include "engine/text/build.hpp"

#include <algorithm>

#include "engine/text/text.hpp"

namespace lw::text {
namespace {

using lick::Event;

/// The finest cut of a beat; see Fraction for why there is one.
constexpr std::int64_t finest = 1 << 20;
constexpr int most_parts = 64;
constexpr std::size_t most_events = 20000;

constexpr int far_slide = 3;  // holes that the mouth slides without a new attack (common practice, no source)

/// What a hold, a joined note or a breath finds before it.
struct Sounding {
    enum class What : std::uint8_t { nothing, rest, note, unknown };
    What what = What::nothing;
    harp::Breath breath = harp::Breath::blow;
    bool breath_taken = false;  // a `,` since then
    int low = 0;                // of a note: its lowest and highest hole
    int high = 0;
};

class BarBuilder {
  public:
    BarBuilder(const lick::Meter& meter, Report& report) : meter_(meter), report_(report) {}

    std::vector<lick::Bar> build(const LaneSyntax& lane) {
        Sounding before_endings;
        for (std::size_t i = 0; i < lane.bars.size(); ++i) {
            const BarSyntax& syntax = lane.bars[i];
            if (syntax.ending == 1) before_endings = sounding_;
            if (syntax.ending > 1) sounding_ = before_endings;
            start_bar(syntax, i == 0 && !syntax.after_bar_line);
            fill(lane, i);
            finish_bar(syntax, lane, i);
        }
        return std::move(bars_);
    }

  private:
    [[nodiscard]] Beats full() const { return Beats{Fraction{meter_.beats()}}; }

    void start_bar(const BarSyntax& syntax, bool pickup) {
        lick::Bar bar;
        bar.pickup = pickup;
        bar.opens_repeat = syntax.opens_repeat;
        bar.closes_repeat = syntax.closes_repeat;
        bar.ending = syntax.ending;
        bar.place = syntax.place;
        bar.events.reserve(2 * syntax.nodes.size());
        bars_.push_back(std::move(bar));
        now_ = {};
    }

    // --- Nodes into events
    void fill(const LaneSyntax& lane, std::size_t index) {
        const BarSyntax& bar = lane.bars[index];
        const Node* again = nullptr;
        for (const Node& node : bar.nodes) {
            if (node.kind == Node::Kind::bar_again) again = &node;
        }
        if (again == nullptr) {
            slots(bar.nodes, nullptr);
            return;
        }
        if (bar.nodes.size() != 1) {
            report_.add(Fault::bar_again_not_alone, again->place);
            broken_ = true;
        } else if (const std::vector<Node>* nodes = bar_before(lane, index, *again)) {
            slots(*nodes, again);
        } else {
            broken_ = true;
        }
    }

    /// The bar that % plays again, seen through any % before it.
    const std::vector<Node>* bar_before(const LaneSyntax& lane, std::size_t index, const Node& again) {
        if (index == 0) {
            report_.add(Fault::bar_again_at_start, again.place);
            return nullptr;
        }
        std::size_t from = index - 1;
        if (percent_source_ && lane.bars[from].nodes.size() == 1 &&
            lane.bars[from].nodes.front().kind == Node::Kind::bar_again)
            from = *percent_source_;
        percent_source_ = from;
        const BarSyntax& bar = lane.bars[from];
        if (from == 0 && !bar.after_bar_line) {
            report_.add(Fault::bar_again_pickup, again.place);
            return nullptr;
        }
        for (const Node& node : bar.nodes) {
            if (node.kind == Node::Kind::bar_again) return nullptr;  // told there
        }
        return &bar.nodes;
    }

    /// `copied`: the % that plays these nodes again, else nothing.
    void slots(const std::vector<Node>& nodes, const Node* copied) {
        for (const Node& node : nodes) {
            if (node.kind == Node::Kind::again) {
                slot_again(node, copied);
                continue;
            }
            put(node, Beats{Fraction{1}}, 0, copied);
            if (node.kind != Node::Kind::breath) last_slot_ = &node;
        }
    }

    void slot_again(const Node& node, const Node* copied) {
        const Node* shown = copied != nullptr ? copied : &node;
        if (last_slot_ == nullptr) {
            report_.add(Fault::again_at_start, shown->place);
        } else if (last_slot_->over > 1) {
            report_.add(Fault::again_after_wide, shown->place);
        } else {
            put(*last_slot_, Beats{Fraction{1}}, 0, shown);
            return;
        }
        Node slot;
        slot.place = node.place;
        put(slot, Beats{Fraction{1}}, 0, shown);
    }

    /// One node into the bar; `part` is the length of one slot, or of one part of the group around it.
    void put(const Node& node, Beats part, int depth, const Node* copied) {
        const lick::Place place = copied != nullptr ? copied->place : node.place;
        if (node.kind == Node::Kind::breath) return comma(place);
        if (node.kind == Node::Kind::group) return group(node, part, depth, copied);
        if (++events_ > most_events) {
            if (events_ == most_events + 1) report_.add(Fault::too_many_notes, place);
            return;
        }
        Event event;
        event.at = now_;
        event.length = part;
        event.place = place;
        event.breath_before = sounding_.breath_taken && comma_open_;
        comma_open_ = false;
        switch (node.kind) {
            case Node::Kind::note:
                note(node, event, copied == nullptr);
                break;
            case Node::Kind::hold:
                hold(node, event);
                break;
            case Node::Kind::rest:
                sounding_ = {Sounding::What::rest, sounding_.breath, false};
                break;
            case Node::Kind::again:
                report_.add(Fault::again_in_group, place);
                sounding_ = {Sounding::What::unknown, sounding_.breath, false};
                break;
            case Node::Kind::bar_again:
                if (copied == nullptr && depth > 0) {
                    report_.add(Fault::bar_again_not_alone, place);
                    broken_ = true;
                }
                sounding_ = {Sounding::What::unknown, sounding_.breath, false};
                break;
            default:
                sounding_ = {Sounding::What::unknown, sounding_.breath, false};
                break;
        }
        now_ += part;
        bars_.back().events.push_back(std::move(event));
    }

    void comma(const lick::Place& place) {
        if (sounding_.breath_taken) report_.add(Fault::breath_twice, place);
        sounding_.breath_taken = true;
        comma_open_ = true;
    }

    void note(const Node& node, Event& event, bool written) {
        event.kind = Event::Kind::note;
        event.tab = node.tab;
        event.start = node.start;
        event.ornaments = node.ornaments;
        if (node.start != lick::Start::attack && !may_join(node, event.place))
            event.start = lick::Start::attack;
        if (written && event.start != lick::Start::attack) slide(node, event.place);
        sounding_ = {Sounding::What::note, node.tab.breath, false, node.tab.holes.front(),
                     node.tab.holes.back()};
    }

    void slide(const Node& node, const lick::Place& place) {
        if (sounding_.what != Sounding::What::note) return;
        const int up = node.tab.holes.front() - sounding_.high;
        const int down = sounding_.low - node.tab.holes.back();
        if (std::max(up, down) <= far_slide) return;
        report_.add(Fault::far_slide, place,
                    {{"hole", std::to_string(up > down ? node.tab.holes.front() : node.tab.holes.back())},
                     {"holes", std::to_string(std::max(up, down))}});
    }

    bool may_join(const Node& node, const lick::Place& place) {
        if (sounding_.what == Sounding::What::unknown) return true;
        const std::string text = (node.start == lick::Start::glide ? ">>" : ">") + to_text(node.tab);
        if (sounding_.what != Sounding::What::note) {
            report_.add(Fault::join_after_rest, place, {{"text", text}});
        } else if (sounding_.breath_taken) {
            report_.add(Fault::join_after_breath, place, {{"text", text}});
        } else if (sounding_.breath != node.tab.breath) {
            report_.add(
                Fault::join_turns_breath, place,
                {{"text", text}, {"breath", sounding_.breath == harp::Breath::blow ? "blown" : "drawn"}});
        } else {
            return true;
        }
        return false;
    }

    void hold(const Node& node, Event& event) {
        using What = Sounding::What;
        if (sounding_.what == What::nothing) {
            report_.add(Fault::hold_at_start, event.place);
        } else if (sounding_.breath_taken) {
            report_.add(Fault::hold_after_breath, event.place);
        } else if (sounding_.what == What::note) {
            event.kind = Event::Kind::hold;
            event.ornaments = node.ornaments;
            return;
        } else if (sounding_.what == What::rest && !node.ornaments.empty()) {
            report_.add(Fault::gesture_on_silence, node.ornament_places.front(),
                        {{"plain", "{" + std::string{lick::word(node.ornaments.front().gesture)} + "}"}});
        }
        // Silence goes on; after a fault nothing is concluded from it.
        sounding_ = {sounding_.what == What::rest ? What::rest : What::unknown, sounding_.breath, false};
    }

    void group(const Node& node, Beats part, int depth, const Node* copied) {
        const Beats length = part * Fraction{node.over};
        int parts = 0;
        for (const Node& child : node.children) {
            if (child.kind == Node::Kind::breath) continue;
            parts += child.kind == Node::Kind::group ? child.over : 1;
        }
        const Beats start = now_;
        const Beats cut = parts > 0 ? length * Fraction{1, parts} : length;
        if (parts > most_parts || cut.value.bottom() > finest || (start + cut).value.bottom() > finest) {
            if (copied == nullptr) report_.add(Fault::too_fine, node.place);
            silence(length, copied != nullptr ? copied->place : node.place);
            return;
        }
        bars_.back().groups.push_back({start, length, parts, depth, node.over});
        for (const Node& child : node.children) put(child, cut, depth + 1, copied);
        now_ = start + length;
    }

    void silence(Beats length, const lick::Place& place) {
        Event event;
        event.at = now_;
        event.length = length;
        event.place = place;
        bars_.back().events.push_back(event);
        now_ += length;
        sounding_ = {Sounding::What::unknown, sounding_.breath, false};
    }

    // --- Sums
    void finish_bar(const BarSyntax& syntax, const LaneSyntax& lane, std::size_t index) {
        lick::Bar& bar = bars_.back();
        if (comma_open_) bar.breath_at_end = true;
        comma_open_ = false;
        const bool last = index + 1 == lane.bars.size();
        Beats want = full();
        const bool quiet = syntax.faulty || broken_ || events_ > most_events;
        broken_ = false;
        if (bar.pickup) {
            want = pickup(bar, syntax, lane, quiet);
        } else if (now_ != full()) {
            const Beats left = lane.bars.front().after_bar_line ? Beats{} : full() - bars_.front().length;
            if (last && now_ == left && now_ > Beats{}) {
                want = left;
                if (bar.closes_repeat) {
                    report_.add(Fault::last_bar_repeated, syntax.place,
                                {{"got", slots_text(static_cast<int>(now_.value.top()))},
                                 {"want", std::to_string(meter_.beats())}});
                }
            } else if (!quiet) {
                sum_fault(syntax);
            }
        }
        bar.length = want;
        make_fit(bar, syntax.place);
    }

    Beats pickup(const lick::Bar& bar, const BarSyntax& syntax, const LaneSyntax& lane, bool quiet) {
        if (lane.bars.size() == 1 && now_ < full()) {
            if (!quiet) report_.add(Fault::pickup_alone, syntax.place);
        } else if (now_ >= full()) {
            if (!quiet) {
                if (now_ == full())
                    report_.add(Fault::pickup_full, syntax.place);
                else
                    sum_fault(syntax);
            }
            bars_.back().pickup = false;
            return full();
        }
        if (bar.closes_repeat) report_.add(Fault::repeat_not_opened, syntax.right);
        return now_ > Beats{} ? now_ : Beats{Fraction{1}};
    }

    void sum_fault(const BarSyntax& syntax) {
        const Fault fault = now_ > full() ? Fault::bar_overfull : Fault::bar_short;
        report_.add(fault, bar_place(syntax),
                    {{"got", slots_text(static_cast<int>(now_.value.floor()))},
                     {"meter", std::to_string(meter_.top) + "/" + std::to_string(meter_.bottom)},
                     {"want", std::to_string(meter_.beats())},
                     {"what", overfull_remedy()}});
    }

    /// In 6/8, 9/8 and 12/8 a bar of three times its slots was counted in eighths.
    [[nodiscard]] std::string overfull_remedy() const {
        if (!meter_.compound() || now_ != Beats{Fraction{meter_.top}})
            return "Put notes that share a slot into ( ), or move some behind a bar line.";
        return std::to_string(meter_.top) + "/" + std::to_string(meter_.bottom) + " has " +
               slots_text(meter_.beats()) + ", each (a b c): put every three eighths into ( ).";
    }

    /// From the first node to the last when they stand on one line.
    static lick::Place bar_place(const BarSyntax& syntax) {
        lick::Place place = syntax.place;
        if (syntax.nodes.empty()) return place;
        const lick::Place end = syntax.nodes.back().place;
        if (end.line == place.line && end.column >= place.column)
            place.length = end.column + end.length - place.column;
        return place;
    }

    /// Cuts off what is too much and fills what is missing with silence, so that other rooms can rely on it.
    void make_fit(lick::Bar& bar, const lick::Place& place) {
        if (now_ > bar.length) {
            const Beats end = bar.length;
            std::erase_if(bar.events, [&](const Event& e) { return e.at >= end; });
            std::erase_if(bar.groups, [&](const lick::Group& g) { return g.at + g.length > end; });
            if (!bar.events.empty() && bar.events.back().at + bar.events.back().length > end)
                bar.events.back().length = end - bar.events.back().at;
        } else if (now_ < bar.length) {
            Event event;
            event.at = now_;
            event.length = bar.length - now_;
            event.place = place;
            bar.events.push_back(event);
        }
    }

    lick::Meter meter_;
    Report& report_;
    std::vector<lick::Bar> bars_;
    Beats now_{};
    Sounding sounding_;
    bool comma_open_ = false;  // a `,` that no event has taken yet
    const Node* last_slot_ = nullptr;
    std::optional<std::size_t> percent_source_;
    std::size_t events_ = 0;
    bool broken_ = false;  // the sum of this bar says nothing
};

}  // namespace

std::string slots_text(int slots) {
    return std::to_string(slots) + (slots == 1 ? " slot" : " slots");
}

std::vector<lick::Bar> build_bars(const LaneSyntax& tab, const lick::Meter& meter, Report& report) {
    return BarBuilder{meter, report}.build(tab);
}

}  // namespace lw::text
