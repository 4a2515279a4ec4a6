// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/support/random_lick.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace lw::support {
namespace {

using namespace lw::lick;

constexpr std::array<std::string_view, 40> title_words = {
    "Porch",   "Light",   "Walkdown", "Gravel", "Kettle", "Sunday", "Slow",      "Wagon",
    "River",   "Bent",    "Copper",   "Window", "Night",  "Turn",   "Café",      "Größe",
    "Häger",   "Shuffle", "Lantern",  "Mill",   "No. 3",  "(take)", "Low",       "Road",
    "Heron",   "Quarter", "Mornin'",  "Fifth",  "Ferry",  "Barn",   "Rust",      "Clay",
    "Whistle", "Old",     "Dust",     "Broom",  "“Blue”", "#9",     "Crossing:", "Call & Answer"};
constexpr std::array<std::string_view, 16> symbols = {"G7",     "C7",    "D7",    "Am",   "F#m7b5", "Bb",
                                                      "Ebmaj7", "D7/A",  "Csus4", "G7#9", "Abdim",  "E7b9",
                                                      "C6/9",   "Dbaug", "B+",    "F#7"};
constexpr std::array<std::string_view, 8> tag_words = {"turnaround", "half-step bends", "blues", "slow",
                                                       "warm-up",    "octaves",         "intro", "12 bars"};

/// What a hold or a joined note would find before it.
struct Sounding {
    bool note = false;
    bool rest = false;
    bool breath_taken = false;  // a `,` since the last event
    Breath breath = Breath::draw;
};

class Maker {
  public:
    Maker(std::uint64_t seed, const Wishes& wishes) : dice_(seed), wishes_(wishes) {}

    Lick make() {
        head();
        form();
        Sounding before_endings;
        for (std::size_t i = 0; i < lick_.bars.size(); ++i) {
            Bar& bar = lick_.bars[i];
            if (bar.ending == 1) before_endings = sounding_;
            if (bar.ending > 1) sounding_ = before_endings;
            fresh_start_ = section_starts_[i];
            fill_bar(bar);
        }
        chords();
        return std::move(lick_);
    }

  private:
    // --- The head
    void head() {
        Head& h = lick_.head;
        const int words = dice_.chance(10) ? dice_.roll(9, 14) : dice_.roll(1, 4);
        for (int i = 0; i < words; ++i) {
            if (i > 0) h.title += ' ';
            h.title += dice_.pick(title_words);
        }
        h.harp.key = harp::Key{dice_.roll(0, 11)};
        if (dice_.chance(15) && h.harp.key.pitch_class <= 6) h.harp.octave = harp::Register::low;
        if (h.harp.key.pitch_class == 7 && dice_.chance(30)) h.harp.octave = harp::Register::high;
        if (dice_.chance(20)) h.harp.tuning = dice_.pick(harp::known_tunings());
        if (dice_.chance(8)) h.harp.tuning = own_tuning();
        if (dice_.chance(15)) h.harp.temperament = dice_.pick(harp::known_temperaments());
        if (dice_.chance(15)) h.harp.a4 = Hz{430.0 + dice_.roll(0, 200) / 10.0};
        if (dice_.chance(80)) h.position = dice_.roll(1, 12);
        constexpr std::array<Meter, 11> meters = {Meter{4, 4},  Meter{4, 4}, Meter{4, 4}, Meter{3, 4},
                                                  Meter{2, 4},  Meter{5, 4}, Meter{6, 8}, Meter{9, 8},
                                                  Meter{12, 8}, Meter{4, 4}, Meter{12, 8}};
        h.meter = dice_.pick(meters);
        h.tempo = {static_cast<double>(dice_.roll(40, 200)) + (dice_.chance(10) ? 0.5 : 0.0)};
        if (!h.meter.compound() && dice_.chance(60)) {
            constexpr std::array<Fraction, 4> ratios = {Fraction{2}, Fraction{2}, Fraction{3, 2},
                                                        Fraction{5, 3}};
            h.feel.ratio = dice_.pick(ratios);
        }
        for (int i = dice_.roll(0, 3); i > 0; --i) {
            const std::string tag{dice_.pick(tag_words)};
            if (std::find(h.tags.begin(), h.tags.end(), tag) == h.tags.end()) h.tags.push_back(tag);
        }
        for (int i = dice_.roll(0, 2); i > 0; --i)
            h.more.push_back("https://example.org/lick-" + std::to_string(dice_.roll(1, 999)));
        if (dice_.chance(40))
            h.credit = "traditional shape, own variation " + std::to_string(dice_.roll(1, 99));
    }

    /// A tuning of one's own is named by its changes, as the reader names it.
    harp::Tuning own_tuning() {
        std::string changes;
        for (int hole = 1; hole <= harp::hole_count; ++hole) {
            for (const char breath : {'b', 'd'}) {
                if (!dice_.chance(8)) continue;
                if (!changes.empty()) changes += ' ';
                changes += std::to_string(hole) + breath + (dice_.chance(50) ? "+" : "-") +
                           std::to_string(dice_.roll(1, 2));
            }
        }
        if (changes.empty()) changes = "5d+1 9d+1";
        return *harp::tuning_from_changes(changes, changes);
    }

    // --- Bars, repeats and endings
    void form() {
        const int beats = lick_.head.meter.beats();
        const int count = dice_.roll(wishes_.least_bars, wishes_.most_bars);
        const bool pickup = dice_.chance(35) && beats > 1;
        if (pickup) {
            Bar bar;
            bar.pickup = true;
            bar.length = Beats{Fraction{dice_.roll(1, beats - 1)}};
            lick_.bars.push_back(bar);
        }
        const std::size_t first = lick_.bars.size();
        lick_.bars.resize(first + static_cast<std::size_t>(count));
        for (std::size_t i = first; i < lick_.bars.size(); ++i) lick_.bars[i].length = Beats{Fraction{beats}};
        section_starts_.assign(lick_.bars.size(), false);
        repeats(first, static_cast<std::size_t>(count));
        Bar& last = lick_.bars.back();
        if (pickup && !last.closes_repeat && dice_.chance(60)) last.length -= lick_.bars.front().length;
    }

    void repeats(std::size_t first, std::size_t count) {
        const auto bar = [&](std::size_t i) -> Bar& { return lick_.bars[first + i]; };
        const int kind = dice_.roll(0, 6);
        if (kind <= 1) return;
        const bool bare = kind == 2 || kind == 4;  // `:|` without `|:`
        const std::size_t from = bare ? 0 : static_cast<std::size_t>(dice_.roll(0, 1));
        if (!bare) bar(from).opens_repeat = true;
        section_starts_[first + from] = true;
        if (kind == 2 || kind == 3) {
            bar(from + 1 + static_cast<std::size_t>(dice_.roll(0, static_cast<int>(count - from) - 2)))
                .closes_repeat = true;
        } else if (kind == 4 || kind == 5) {
            const int endings = count - from >= 4 && dice_.chance(30) ? 3 : 2;
            for (int n = 1; n <= endings; ++n) {
                Bar& ending = bar(from + static_cast<std::size_t>(n));
                ending.ending = n;
                ending.closes_repeat = n < endings;
            }
        } else {
            bar(from + 1).closes_repeat = true;
            bar(from + 2).opens_repeat = true;
            section_starts_[first + from + 2] = true;
            bar(count - 1).closes_repeat = true;
        }
    }

    // --- What fills a bar
    void fill_bar(Bar& bar) {
        bar_ = &bar;
        Beats at{};
        while (at < bar.length) {
            const bool two = at + Beats{2} <= bar.length && dice_.chance(8);
            if (two) {
                group(at, Beats{2}, dice_.chance(70) ? 3 : 5, 0, 2);
                at += Beats{2};
                continue;
            }
            if (dice_.chance(50)) {
                constexpr std::array<int, 9> parts = {2, 2, 2, 3, 3, 3, 4, 4, 5};
                group(at, Beats{1}, dice_.pick(parts), 0, 1);
            } else {
                event(at, Beats{1});
            }
            at += Beats{1};
        }
        if (!sounding_.breath_taken && dice_.chance(8)) {
            bar.breath_at_end = true;
            sounding_.breath_taken = true;
        }
    }

    void group(Beats at, Beats length, int parts, int depth, int slots) {
        bar_->groups.push_back({at, length, parts, depth, slots});
        const Beats part = length * Fraction{1, parts};
        for (int i = 0; i < parts; ++i) {
            const Beats here = at + part * Fraction{i};
            if (depth < 2 && dice_.chance(depth == 0 ? 12 : 6)) {
                const bool two = i + 2 <= parts && parts > 2 && dice_.chance(40);
                group(here, part * Fraction{two ? 2 : 1}, two ? 3 : dice_.roll(2, 3), depth + 1, two ? 2 : 1);
                if (two) ++i;
            } else {
                event(here, part);
            }
        }
    }

    void event(Beats at, Beats length) {
        Event e;
        e.at = at;
        e.length = length;
        const bool may_follow = (sounding_.note || sounding_.rest) && !sounding_.breath_taken;
        if (may_follow && dice_.chance(15)) {
            hold(e);
        } else if (dice_.chance(12)) {
            breath(e);
            sounding_ = {false, true, false, sounding_.breath};
        } else {
            note(e);
        }
        fresh_start_ = fresh_start_ && e.kind == Event::Kind::hold;
        bar_->events.push_back(std::move(e));
    }

    void breath(Event& e) {
        if (sounding_.breath_taken || !dice_.chance(8)) return;
        e.breath_before = true;
    }

    void hold(Event& e) {
        if (sounding_.rest) return;  // a hold after a rest is a rest
        e.kind = Event::Kind::hold;
        if (dice_.chance(12)) {
            constexpr std::array<Gesture, 5> kinds = {Gesture::vibrato, Gesture::dip, Gesture::fall,
                                                      Gesture::wah, Gesture::flutter};
            e.ornaments.push_back({dice_.pick(kinds), 0, {}});
        }
    }

    void note(Event& e) {
        e.kind = Event::Kind::note;
        const bool may_join = sounding_.note && !sounding_.breath_taken && !fresh_start_;
        const Breath breath_now = dice_.chance(60) ? sounding_.breath : harp::other(sounding_.breath);
        e.tab = tab(breath_now);
        if (may_join && e.tab.breath == sounding_.breath && dice_.chance(30)) {
            e.start = dice_.chance(65) || e.tab.overbend ? Start::joined : Start::glide;
        } else {
            breath(e);
        }
        if (dice_.chance(22)) ornament(e);
        if (dice_.chance(4)) ornament(e);
        sounding_ = {true, false, false, e.tab.breath};
    }

    Tab tab(Breath wanted) {
        const harp::Harp& harp = lick_.head.harp;
        if (dice_.chance(18)) return several(wanted);
        std::vector<harp::HoleNote> notes = harp::every_note(harp);
        std::erase_if(notes, [&](const harp::HoleNote& n) {
            return n.breath != wanted || (n.overbend && !dice_.chance(30));
        });
        const harp::HoleNote n = dice_.pick(notes);
        Tab t{{n.hole}, n.breath, 0, n.bend_quarter_steps, n.overbend};
        if (!n.overbend && dice_.chance(8) && harp::bending_breath(harp, n.hole) == n.breath)
            ++t.bend_quarter_steps;
        if (t.bend_quarter_steps > 0) t.bent_hole = n.hole;
        return t;
    }

    Tab several(Breath wanted) {
        const harp::Harp& harp = lick_.head.harp;
        Tab t;
        t.breath = wanted;
        const int low = dice_.roll(1, 7);
        if (dice_.chance(35)) {
            t.holes = {low, low + 3};
        } else {
            t.holes = {low, low + 1};
            if (dice_.chance(30)) t.holes.push_back(low + 2);
        }
        const int hole = dice_.pick(t.holes);
        const int deepest = static_cast<int>(harp::deepest_bend(harp, {hole, wanted}).value);
        if (deepest > 0 && dice_.chance(30)) {
            t.bent_hole = hole;
            t.bend_quarter_steps = 2 * dice_.roll(1, deepest);
        }
        return t;
    }

    void ornament(Event& e) {
        Ornament o;
        o.gesture = static_cast<Gesture>(dice_.roll(0, 11));
        if (std::any_of(e.ornaments.begin(), e.ornaments.end(),
                        [&](const Ornament& other) { return other.gesture == o.gesture; }))
            return;
        if (o.gesture == Gesture::approach) {
            if (e.start != Start::attack) return;
            do {
                o.from = tab(e.tab.breath);
            } while (o.from.chord() || o.from == e.tab);
        }
        if (o.gesture == Gesture::shake)
            o.other_hole = e.tab.holes.back() < 10 ? e.tab.holes.back() + 1 : e.tab.holes.front() - 1;
        e.ornaments.push_back(std::move(o));
    }

    // --- Chord symbols
    void chords() {
        if (!dice_.chance(60)) return;
        for (Bar& bar : lick_.bars) {
            if (bar.pickup && dice_.chance(60)) continue;
            if (dice_.chance(50)) {
                bar.chords.push_back({Beats{}, bar.length, symbol(), {}});
                continue;
            }
            for (Beats at{}; at < bar.length; at += Beats{1}) {
                if (at.value == Fraction{0} || dice_.chance(50)) {
                    bar.chords.push_back({at, Beats{1}, symbol(), {}});
                } else {
                    bar.chords.back().length += Beats{1};
                }
            }
        }
    }
    std::string symbol() { return dice_.chance(8) ? std::string{} : std::string{dice_.pick(symbols)}; }

    Dice dice_;
    Wishes wishes_;
    Lick lick_;
    std::vector<bool> section_starts_;  // bars that a repeat comes back to
    Sounding sounding_;
    bool fresh_start_ = false;
    Bar* bar_ = nullptr;
};

}  // namespace

Lick random_lick(std::uint64_t seed, const Wishes& wishes) {
    return Maker{seed, wishes}.make();
}

}  // namespace lw::support
