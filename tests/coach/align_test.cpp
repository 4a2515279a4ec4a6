// SPDX-License-Identifier: GPL-3.0-or-later
//
// The follower against its dumb twin: phrases of up to four written and five heard notes, and every way to lay one on
// the other, one after the other. The twin shares the prices (align.hpp) and what sounds alike (written.hpp), no more:
// it has no grid, no table of what was cheapest so far, and no bound on how far a step may go.
#include "engine/coach/align.hpp"

#include <gmock/gmock.h>

#include <limits>

#include "tests/coach/planted.hpp"
#include "tests/hear/listening/chance.hpp"

namespace lw::coach {
namespace {

class Twin {
  public:
    Twin(const harp::Harp& harp, const std::vector<WrittenNote>& written,
         const std::vector<hear::HeardNote>& take, double seconds_a_beat)
        : harp_(harp), written_(written), take_(take), seconds_a_beat_(seconds_a_beat) {}

    /// The cheapest of all ways.
    double cheapest() {
        best_ = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < written_.size(); ++i)
            for (std::size_t j = 0; j < take_.size(); ++j)
                go_on(i, j, take_[j].onset.value, left_out(0, i) + passed(0, j) + unlike(i, j));
        return best_;
    }

    /// What one given way costs.
    double price(const std::vector<Match>& way) const {
        const Match& first = way.front();
        double cost = left_out(0, first.written) + passed(0, first.heard) +
                      unlike(first.written, first.heard) + continued(first);
        for (std::size_t k = 1; k < way.size(); ++k) {
            const Match &a = way[k - 1], &b = way[k];
            const std::size_t behind = a.heard + a.pieces;
            if (b.shared)
                cost += costs::shared_pieces + costs::shared_likeness * unlike(b.written, b.heard);
            else
                cost += unlike(b.written, b.heard) + passed(behind, b.heard);
            if (b.go != a.go)
                cost += start_over(a.written, b.written);
            else
                cost += time(a.written, a.onset.value, b.written, b.onset.value) +
                        left_out(a.written + 1, b.written);
            cost += continued(b);
        }
        const Match& last = way.back();
        return cost + left_out(last.written + 1, written_.size()) +
               passed(last.heard + last.pieces, take_.size());
    }

  private:
    [[nodiscard]] double unlike(std::size_t i, std::size_t j) const {
        return likeness(harp_, written_[i], take_[j]).cost;
    }
    [[nodiscard]] static double left_out(std::size_t from, std::size_t to) {
        return to > from ? costs::missing * static_cast<double>(to - from) : 0.0;
    }
    [[nodiscard]] double passed(std::size_t from, std::size_t to) const {
        double sum = 0.0;
        for (std::size_t j = from; j < to; ++j)
            sum += costs::extra * std::max(costs::least_sure, std::min(1.0, take_[j].confidence)) *
                   ((take_[j].offset - take_[j].onset).value < costs::brief_note ? costs::brief_share : 1.0);
        return sum;
    }
    [[nodiscard]] double time(std::size_t a, double at_a, std::size_t b, double at_b) const {
        const double due = (written_[b].beat - written_[a].beat) * seconds_a_beat_;
        const double units = (at_b - at_a - due) / (costs::slip_of_the_hand + costs::change_of_tempo * due);
        return std::min(costs::most_for_time, units * units / 2.0);
    }
    [[nodiscard]] double start_over(std::size_t from, std::size_t to) const {
        const bool from_end = from + 1 == written_.size();
        return (from_end ? costs::again : costs::start_over) + (to == 0    ? 0.0
                                                                : from_end ? costs::again_inside
                                                                           : costs::start_over_inside);
    }
    [[nodiscard]] double continued(const Match& m) const {
        double cost = 0.0;
        for (std::size_t k = 1; k < m.pieces; ++k)
            cost += costs::shared_pieces + costs::continued_likeness * unlike(m.written, m.heard + k);
        return cost;
    }

    void go_on(std::size_t p, std::size_t q, double onset, double cost, bool joins = false) {
        best_ = std::min(best_, cost + left_out(p + 1, written_.size()) + passed(q + 1, take_.size()));
        for (std::size_t j = q + 1; j < take_.size(); ++j)
            for (std::size_t i = 0; i < written_.size(); ++i) {
                const double here = cost + passed(q + 1, j) + unlike(i, j);
                const double at = take_[j].onset.value;
                if (i > p) go_on(i, j, at, here + left_out(p + 1, i) + time(p, onset, i, at));
                if (i <= p) go_on(i, j, at, here + start_over(p, i));
            }
        if (!joins && p + 1 < written_.size() && written_[p + 1].goes_on)
            if (const auto turn =
                    bend_turns(take_[q], written_[p].tab.bend(), written_[p + 1].tab.bend(), Seconds{onset}))
                go_on(p + 1, q, turn->value,
                      cost + costs::shared_pieces + costs::shared_likeness * unlike(p + 1, q) +
                          time(p, onset, p + 1, turn->value));
        const std::size_t j = q + 1;
        if (j < take_.size() && take_[j].joined && same_reed(take_[q].tab, take_[j].tab) &&
            written_[p].tab.lead_hole() == take_[j].tab.lead_hole())
            go_on(p, j, onset, cost + costs::shared_pieces + costs::continued_likeness * unlike(p, j), true);
    }

    const harp::Harp& harp_;
    const std::vector<WrittenNote>& written_;
    const std::vector<hear::HeardNote>& take_;
    double seconds_a_beat_;
    double best_ = 0.0;
};

/// Few tabs, so that notes are often alike; joined ones among them.
lick::Lick chance_lick(support::Dice& dice) {
    static const std::array<const char*, 11> lines = {
        "2d 3d' >3d 4b",     "4d' >4d 4b 3d", "4d 4d 4d 4d",       "2d 3b 2d 4b",
        "3d'' >3d 2d'' >2d", "2d . 2d >2d'",  "4b - 4d (4d' >4d)", "(. 3d) >3d' 3d .",
        "5d 4d' >4d -",      "2d - 4b -",     "3d' >3d - -"};
    const std::string line =
        dice.chance(40) ? lines[static_cast<std::size_t>(dice.roll(9, 10))] : dice.pick(lines);
    return test::typed("harp: C\ntempo: 90\ntab | " + line + " |\n");
}

/// The lick as somebody might get it wrong; five notes at most.
std::vector<hear::HeardNote> chance_take(support::Dice& dice, const lick::Lick& lick) {
    std::vector<hear::HeardNote> take = test::heard(lick, {.tempo = listening::between(dice, 60.0, 130.0),
                                                           .drift = 1.0,
                                                           .scatter = 0.03,
                                                           .start = 0.3,
                                                           .seed = dice.next()});
    const bool one_note = dice.chance(30);  // a bend that moves is heard as one note
    for (std::size_t k = take.size(); one_note && k-- > 1;)
        if (take[k].joined) {
            take[k - 1].offset = take[k].offset;
            take[k - 1].bend_path.insert(take[k - 1].bend_path.end(), take[k].bend_path.begin(),
                                         take[k].bend_path.end());
            take.erase(take.begin() + static_cast<std::ptrdiff_t>(k));
        }
    for (int slips = dice.roll(0, 3); slips > 0; --slips) {
        const auto at = static_cast<std::size_t>(dice.roll(0, static_cast<int>(take.size()) - 1));
        switch (dice.roll(1, 5)) {
            case 1:
                if (take.size() > 1) take.erase(take.begin() + static_cast<std::ptrdiff_t>(at));
                break;
            case 2: {
                hear::HeardNote again = take[at];
                test::shift(again, listening::between(dice, 0.03, 0.5));
                take.push_back(again);
                break;
            }
            case 3:
                test::play_instead(take[at], lick,
                                   {.holes = {dice.roll(2, 4)}, .breath = harp::Breath::draw});
                break;
            case 4:
                take[at].joined = true;
                break;
            default:
                take[at].confidence = listening::between(dice, 0.0, 1.0);
        }
    }
    // And sometimes all over again.
    if (dice.chance(60)) {
        auto again = take;
        for (hear::HeardNote& n : again)
            test::shift(n,
                        (take.back().offset - take.front().onset).value + listening::between(dice, 0.1, 1.0));
        take.insert(take.end(), again.begin(), again.end());
    }
    std::stable_sort(take.begin(), take.end(),
                     [](const auto& a, const auto& b) { return a.onset < b.onset; });
    if (take.size() > 5) take.resize(5);
    return take;
}

TEST(Align, FindsTheCheapestOfAllWays) {
    support::Dice dice{2024};
    int shared = 0, pieces = 0, over = 0, left = 0;
    for (int round = 0; round < 600; ++round) {
        const lick::Lick lick = chance_lick(dice);
        const std::vector<WrittenNote> written = written_notes(lick, lick::unfold(lick));
        const std::vector<hear::HeardNote> take = chance_take(dice, lick);
        const double seconds_a_beat = 60.0 / listening::between(dice, 60.0, 130.0);
        Twin twin{lick.head.harp, written, take, seconds_a_beat};
        const Alignment found = align_at(lick.head.harp, written, take, seconds_a_beat);
        ASSERT_FALSE(found.matches.empty());
        EXPECT_NEAR(found.cost, twin.cheapest(), 1e-5) << "round " << round;
        EXPECT_NEAR(found.cost, twin.price(found.matches), 1e-5) << "round " << round;
        for (const Match& m : found.matches) {
            shared += m.shared ? 1 : 0;
            pieces += m.pieces > 1 ? 1 : 0;
        }
        over += found.matches.back().go > 0 ? 1 : 0;
        left += found.matches.size() < written.size() ? 1 : 0;
    }
    // Every kind of step was walked.
    EXPECT_GT(shared, 20);
    EXPECT_GT(pieces, 20);
    EXPECT_GT(over, 20);
    EXPECT_GT(left, 20);
}

TEST(Align, TheTempoItFindsIsCheaperThanAllOfTheLadder) {
    support::Dice dice{77};
    for (int round = 0; round < 60; ++round) {
        const lick::Lick lick = chance_lick(dice);
        const std::vector<WrittenNote> written = written_notes(lick, lick::unfold(lick));
        const std::vector<hear::HeardNote> take = chance_take(dice, lick);
        const double spb = 60.0 / lick.head.tempo.value;
        const Alignment found = align(lick.head.harp, written, take, spb);
        EXPECT_NEAR(found.cost, Twin(lick.head.harp, written, take, found.seconds_a_beat).cheapest(), 1e-5);
        for (int step = -8; step <= 8; ++step)
            EXPECT_LE(found.cost,
                      Twin(lick.head.harp, written, take, spb * std::pow(1.12, step)).cheapest() + 1e-5);
    }
}

}  // namespace
}  // namespace lw::coach
