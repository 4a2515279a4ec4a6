// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/beat.hpp"

#include <algorithm>
#include <cmath>

#include "engine/coach/beat_row.hpp"
#include "engine/coach/second_guess.hpp"

namespace lw::coach {
namespace {

using hear::HeardNote;

/// Two onsets nearer than this have one place: no hand plays that fast, it is one note in two pieces.
constexpr double one_onset = 0.045;
/// A player may be this far off a tempo that was given.
constexpr double given_range = 0.08;
constexpr double click_range = 0.025;
/// A silence longer than this parts two rows of beats: nobody counts through it.
constexpr double new_row_after = 5.0;
constexpr double usual_tempo = 90.0;

/// The end of a note as written: candidates pay for their distance from where the sound ended and for being odd.
constexpr double end_scatter = 0.16;  // seconds, for a beat of 0.65 s; ends are played loosely
constexpr double price_rest_on_beat = 1.1;
constexpr double price_rest_in_beat = 2.2;
constexpr double usual_release = 0.06;  // part of a note that is silent before the next

/// Fewer onsets say nothing about how they are counted, and need not be told so.
constexpr std::size_t least_for_doubts = 4;
/// How much more weight the firsts of bars of three need to be taken for them, in beats of length; and how quickly one
/// gets sure of it. Set for one waltz in nine phrases (common practice, no source): tests/coach/second_guess_test.cpp.
constexpr double three_from = 0.7, certain_of_three = 8.0;

struct OnePlace {
    std::size_t note;
    double onset;
};

constexpr double least_on_beats = 4.0;  // notes, and beats from the first to the last
constexpr double as_said = 0.02;        // share of the tempo

class Finder {
  public:
    Finder(std::span<const HeardNote> notes, const BeatGiven& given) : notes_(notes), given_(given) {}

    BeatMap run() {
        map_.meter = given_.meter.value_or(lick::Meter{});
        map_.feel = given_.feel.value_or(lick::Feel{});
        map_.tempo = given_.tempo.value_or(BeatsPerMinute{usual_tempo});
        if (notes_.empty()) return std::move(map_);
        gather();
        choose_feel();
        for (std::size_t begin = 0; begin < places_.size();) begin = add_row(begin);
        number_beats();
        write_lengths();
        return std::move(map_);
    }

  private:
    void gather() {
        for (std::size_t i = 0; i < notes_.size(); ++i) {
            const double onset = notes_[i].onset.value;
            if (places_.empty() || onset - places_.back().onset >= one_onset) places_.push_back({i, onset});
        }
    }

    /// Where the row that begins at `begin` ends: at a long silence, or where it would grow too long.
    [[nodiscard]] std::size_t row_end(std::size_t begin) const {
        std::size_t end = begin + 1;
        while (end < places_.size() && places_[end].onset - places_[end - 1].onset < new_row_after &&
               places_[end].onset - places_[begin].onset < longest_row - 2.0)
            ++end;
        return end;
    }

    [[nodiscard]] RowWishes wishes() const {
        RowWishes w;
        std::optional<double> beat;
        double range = given_range;
        if (given_.tempo) beat = 60.0 / given_.tempo->value;
        if (given_.click) {
            beat = given_.click->period.value;
            const bool goes_on =
                given_.click->at.empty() || given_.click->at.back().value > places_.front().onset;
            range = goes_on ? click_range : given_range;
            w.click = given_.click;
        }
        if (beat) {
            w.usual = beat;
            w.shortest = *beat * (1.0 - range);
            w.longest = *beat * (1.0 + range) + 0.01;
        }
        return w;
    }

    [[nodiscard]] std::vector<double> onsets(std::size_t begin, std::size_t end) const {
        std::vector<double> out;
        for (std::size_t k = begin; k < end; ++k) out.push_back(places_[k].onset);
        return out;
    }

    /// On the first row, all feels that what was given allows are tried against each other.
    void choose_feel() {
        std::vector<BeatFeel> feels;
        const bool compound = given_.meter && given_.meter->compound();
        if (compound)
            feels = {compound_feel()};
        else if (given_.feel)
            feels = {given_.feel->straight() ? straight_feel() : swung_feel(*given_.feel)};
        else
            feels = known_feels();
        if (given_.meter && !compound) std::erase_if(feels, [](const BeatFeel& f) { return f.compound; });
        // The longest row says most.
        std::size_t begin = 0, end = 0;
        for (std::size_t b = 0; b < places_.size();) {
            const std::size_t e = row_end(b);
            if (e - b > end - begin) {
                begin = b;
                end = e;
            }
            b = e;
        }
        const std::vector<double> some = onsets(begin, end);
        std::vector<FeltRow> rows;
        for (const BeatFeel& f : feels) rows.push_back({f, cheapest_row(f, some, wishes())});
        const FeltRow& best =
            *std::min_element(rows.begin(), rows.end(),
                              [](const FeltRow& a, const FeltRow& b) { return a.row.price < b.row.price; });
        feel_ = best.feel;
        first_row_ = best.row;
        first_row_at_ = begin;
        map_.price = best.row.price;
        map_.feel = feel_.feel;
        if (!given_.meter && feel_.compound) map_.meter = {12, 8};
        doubt(other_feel(rows, best));
        if (!given_.tempo && !given_.click) doubt(other_tempo(rows, best, some));
    }

    void doubt(std::optional<SecondGuess> guess) {
        if (!guess || guess->chance < real_chance || places_.size() < least_for_doubts) return;
        if (given_.meter && !guess->meter.compound()) guess->meter = *given_.meter;
        map_.second_guesses.push_back(*guess);
    }

    std::size_t add_row(std::size_t begin) {
        const std::size_t end = row_end(begin);
        BeatRow row;
        if (begin == first_row_at_) {
            row = first_row_;
        } else {
            RowWishes w = wishes();
            if (!w.usual) {  // the same player in the same take
                w.usual = middle_length(first_row_.beats);
                w.shortest = *w.usual * (1.0 - 2.0 * given_range);
                w.longest = *w.usual * (1.0 + 2.0 * given_range);
            }
            row = cheapest_row(feel_, onsets(begin, end), w);
        }
        std::int64_t base = 0;
        if (!map_.beats.empty()) {
            // Beats of the silence in between, as even as they can be.
            const double last = map_.beats.back().value;
            const double usual = middle_length(row.beats);
            const auto gap = std::max<std::int64_t>(0, std::lround((row.beats.front() - last) / usual));
            base = static_cast<std::int64_t>(map_.beats.size()) - 1 + gap;
            for (std::int64_t k = 1; k <= gap; ++k)
                map_.beats.push_back(Seconds{last + (row.beats.front() - last) * static_cast<double>(k) /
                                                        static_cast<double>(gap)});
            if (gap == 0) map_.beats.back() = Seconds{row.beats.front()};
            for (std::size_t k = 1; k < row.beats.size(); ++k) map_.beats.push_back(Seconds{row.beats[k]});
        } else {
            for (const double b : row.beats) map_.beats.push_back(Seconds{b});
        }
        for (std::size_t k = begin; k < end; ++k) {
            const RowNote& n = row.notes[k - begin];
            Placed placed;
            placed.at = Beats{Fraction{base + n.beat} + n.part};
            placed.off = Seconds{n.off};
            const std::size_t until = k + 1 < places_.size() ? places_[k + 1].note : notes_.size();
            const bool taken = !map_.notes.empty() && map_.notes.back().at >= placed.at;
            if (taken) placed.at = map_.notes.back().at;
            for (std::size_t i = places_[k].note; i < until; ++i) {
                placed.shared = taken || i != places_[k].note;
                map_.notes.push_back(placed);
            }
        }
        return end;
    }

    static double middle_length(const std::vector<double>& beats) {
        std::vector<double> lengths;
        for (std::size_t k = 1; k < beats.size(); ++k) lengths.push_back(beats[k] - beats[k - 1]);
        if (lengths.empty()) return 60.0 / usual_tempo;
        std::sort(lengths.begin(), lengths.end());
        return lengths[lengths.size() / 2];
    }

    /// Which beat is the first of a bar. A counted bar before the phrase says it; without one the beat of the first
    /// note is taken, as most phrases begin there.
    void number_beats() {
        if (map_.beats.size() > 1)  // of all beats: single lengths are only as fine as the lattice
            map_.tempo = BeatsPerMinute{60.0 * static_cast<double>(map_.beats.size() - 1) /
                                        (map_.beats.back() - map_.beats.front()).value};
        lean_on_whole_beats();
        if (given_.click) {
            const ClickTrack& click = *given_.click;
            const bool goes_on = click.at.empty() || map_.beats.back() - click.at.back() < click.period * 4.0;
            if (goes_on || map_.beats.size() < 8) map_.tempo = BeatsPerMinute{60.0 / click.period.value};
            const auto counted = static_cast<std::int64_t>(
                std::lround((map_.beats.front() - click.first).value / click.period.value));
            // Three counts and in; with a fourth before the first note it would be a pickup in four. Three counts, and
            // none on the silent beat after them, are a bar too.
            const bool on_the_beat = map_.notes.front().at.value.whole();
            const bool in_three = (counted == 3 && on_the_beat) || (click.counted == 3 && counted > 3);
            if (!given_.meter && in_three && !feel_.compound) map_.meter = {3, 4};
            const std::int64_t bar = map_.meter.beats();
            map_.first_beat = counted < bar ? counted - bar : counted % bar;
        } else if (!given_.meter && !feel_.compound) {
            count_bars();
        }
        std::stable_sort(map_.second_guesses.begin(), map_.second_guesses.end(),
                         [](const SecondGuess& a, const SecondGuess& b) { return a.chance > b.chance; });
        for (Placed& p : map_.notes) p.at += Beats{Fraction{map_.first_beat}};
    }

    /// The row of beats leans towards the tempo that was expected, and at its ends no note holds it. Where enough notes stand on
    /// whole beats, a straight line through them says the tempo; what was said beforehand is kept when it says the same.
    void lean_on_whole_beats() {
        double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
        double first = 0.0, last = 0.0;
        for (std::size_t i = 0; i < map_.notes.size(); ++i) {
            if (map_.notes[i].shared || !map_.notes[i].at.value.whole()) continue;
            const double beat = map_.notes[i].at.value.value(), at = notes_[i].onset.value;
            if (n == 0.0) first = beat;
            last = beat;
            n += 1.0;
            x += beat;
            y += at;
            xx += beat * beat;
            xy += beat * at;
        }
        const double spread = n * xx - x * x;
        if (n >= least_on_beats && last - first >= least_on_beats && spread > 0.0) {
            const double tempo = 60.0 * spread / (n * xy - x * y);
            if (std::abs(tempo / map_.tempo.value - 1.0) < given_range) map_.tempo = BeatsPerMinute{tempo};
        }
        if (given_.tempo && std::abs(map_.tempo.value / given_.tempo->value - 1.0) < as_said)
            map_.tempo = *given_.tempo;
    }

    /// Three in a bar, or four.
    void count_bars() {
        const double three = 1.0 / (1.0 + std::exp(-certain_of_three * (weight_of_three() - three_from)));
        const lick::Meter in_three{3, 4}, in_four{4, 4};
        map_.meter = three > 0.5 ? in_three : in_four;
        SecondGuess other;
        other.about = SecondGuess::About::meter;
        other.meter = three > 0.5 ? in_four : in_three;
        other.feel = map_.feel;
        other.tempo = map_.tempo;
        other.chance = std::min(three, 1.0 - three);
        doubt(other);
    }

    /// Long notes stand on the first of the bar more often than elsewhere: how much more so when three are counted than
    /// when four or two are.
    [[nodiscard]] double weight_of_three() const {
        const auto beats = map_.beats.size();
        if (beats < 9) return 0.0;
        std::vector<double> weight(beats, 0.0);
        for (std::size_t i = 0; i < map_.notes.size(); ++i) {
            if (!map_.notes[i].at.value.whole() || map_.notes[i].shared) continue;
            const auto b = static_cast<std::size_t>(map_.notes[i].at.value.top());
            const double length = (notes_[i].offset - notes_[i].onset).value * map_.tempo.value / 60.0;
            if (b < beats) weight[b] = 0.5 + std::min(length, 2.0);
        }
        const auto contrast = [&](std::size_t bar) {
            double on = 0.0, off = 0.0, n_on = 0.0, n_off = 0.0;
            for (std::size_t b = 0; b < beats; ++b) {
                (b % bar == 0 ? on : off) += weight[b];
                (b % bar == 0 ? n_on : n_off) += 1.0;
            }
            return on / n_on - off / std::max(1.0, n_off);
        };
        return contrast(3) - std::max(contrast(4), contrast(2));
    }

    [[nodiscard]] double time_of(Fraction beat) const {
        const Fraction from = beat - Fraction{map_.first_beat};
        const auto last = static_cast<std::int64_t>(map_.beats.size()) - 2;
        const std::int64_t whole = std::clamp<std::int64_t>(from.floor(), 0, std::max<std::int64_t>(0, last));
        const double part = (from - Fraction{whole}).value();
        const double a = map_.beats[static_cast<std::size_t>(whole)].value;
        const double b = map_.beats[static_cast<std::size_t>(whole) + 1].value;
        return a + part * (b - a);
    }

    /// How a beat is cut by the notes that begin in it: 1 when only at its start.
    [[nodiscard]] std::int64_t cut_of(std::int64_t beat) const {
        std::int64_t cut = 1;
        for (const Placed& p : map_.notes)
            if (p.at.value.floor() == beat) cut = std::max(cut, (p.at.value - Fraction{beat}).bottom());
        return cut;
    }

    void write_lengths() {
        for (std::size_t i = 0; i < map_.notes.size(); ++i) {
            Placed& p = map_.notes[i];
            std::size_t next = i + 1;
            while (next < map_.notes.size() && map_.notes[next].at <= p.at) ++next;
            const bool last = next == map_.notes.size();
            const double offset = notes_[i].offset.value;
            const double scale = std::max(0.3, 60.0 / map_.tempo.value / 0.65);
            const Fraction limit = last ? Fraction{p.at.value.floor() + 32} : map_.notes[next].at.value;
            Fraction best = last ? p.at.value + Fraction{1, 4} : limit;
            double cheapest = std::numeric_limits<double>::infinity();
            const auto offer = [&](Fraction end, double price) {
                const double written = time_of(end) - time_of(p.at.value);
                // Sound that ends a little early is the usual; sound past the end is not.
                const double z = (offset - (time_of(end) - usual_release * written)) / (end_scatter * scale);
                const double cost = price + 0.5 * z * z * (z > 0.0 ? 1.6 : 1.0);
                if (cost < cheapest) {
                    cheapest = cost;
                    best = end;
                }
            };
            if (!last) offer(limit, 0.0);
            const std::int64_t from = p.at.value.floor();
            const std::int64_t parts = feel_.compound ? 3 : 2;
            for (std::int64_t beat = from; Fraction{beat} < limit && beat < from + 33; ++beat) {
                if (Fraction{beat} > p.at.value) offer(Fraction{beat}, last ? 0.0 : price_rest_on_beat);
                // Inside a beat a note ends only where the beat is cut that way, or not cut at all.
                const std::int64_t cut = cut_of(beat);
                if (cut != 1 && cut % parts != 0) continue;
                for (std::int64_t k = 1; k < parts; ++k) {
                    const Fraction end = Fraction{beat} + Fraction{k, parts};
                    if (end > p.at.value && end < limit) offer(end, price_rest_in_beat);
                }
            }
            p.length = Beats{best - p.at.value};
        }
    }

    std::span<const HeardNote> notes_;
    const BeatGiven& given_;
    std::vector<OnePlace> places_;
    BeatFeel feel_;
    BeatRow first_row_;
    std::size_t first_row_at_ = 0;
    BeatMap map_;
};

}  // namespace

BeatMap find_beat(std::span<const HeardNote> notes, const BeatGiven& given) {
    return Finder{notes, given}.run();
}

}  // namespace lw::coach
