// SPDX-License-Identifier: GPL-3.0-or-later
//
// draft_table: what is guessed when nobody says: the key of the harp from the pitches of a take, and each note's place in
// the beat, with a click and without. Once from what was planted (no ear could do better), once from what was heard.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bench/hear/ask.hpp"
#include "engine/coach/beat.hpp"
#include "engine/coach/clicks.hpp"
#include "engine/coach/rank_harps.hpp"
#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

struct Share {
    std::size_t right = 0;
    std::size_t all = 0;
    void count(bool is_right) {
        ++all;
        if (is_right) ++right;
    }
    [[nodiscard]] std::string text() const {
        if (all == 0) return "      -     ";
        char words[32];
        std::snprintf(words, sizeof words, "%.3f of %-4zu",
                      static_cast<double>(right) / static_cast<double>(all), all);
        return words;
    }
};

/// How often the right harp comes first, and among the first two.
struct KeyScore {
    Share first;
    Share second;
    void count(const harp::Harp& harp, std::span<const hear::HeardNote> notes, Hz a4) {
        const std::vector<coach::HarpGuess> guesses = coach::rank_harps(notes, a4);
        const auto is = [&](std::size_t i) { return i < guesses.size() && guesses[i].harp == harp; };
        first.count(is(0));
        second.count(is(0) || is(1));
    }
};

struct KeyRows {
    KeyScore brief;   // 8 to 11 notes
    KeyScore longer;  // 12 and more
    KeyScore alone;   // no other harp has all of its pitches without overbends
};

std::vector<hear::HeardNote> planted(const Take& take) {
    std::vector<hear::HeardNote> notes;
    for (const TruthNote& t : take.truth) notes.push_back(t.note);
    return notes;
}

/// The same on a harp whose every reed is up to 15 cents off, each by its own.
std::vector<hear::HeardNote> on_a_worn_harp(const Take& take) {
    support::Dice dice{take.wish.seed ^ 0x77c0ffeeULL};
    std::array<double, 2 * harp::hole_count> off{};
    for (double& o : off) o = between(dice, -0.15, 0.15);
    std::vector<hear::HeardNote> notes = planted(take);
    for (hear::HeardNote& n : notes)
        n.pitch = n.pitch + Semitones{off[static_cast<std::size_t>(
                                2 * (n.tab.lead_hole() - 1) + (n.tab.breath == harp::Breath::draw ? 1 : 0))]};
    return notes;
}

void count_keys(KeyRows& rows, const Take& take, std::span<const hear::HeardNote> notes, Hz a4) {
    const auto guesses = coach::rank_harps(planted(take), take.a4);
    const auto fitting =
        std::count_if(guesses.begin(), guesses.end(), [](const auto& g) { return g.fits(); });
    (take.truth.size() < 12 ? rows.brief : rows.longer).count(take.phrase.harp, notes, a4);
    if (fitting == 1) rows.alone.count(take.phrase.harp, notes, a4);
}

void print_keys(const char* who, const KeyRows& rows) {
    const auto line = [&](const char* what, const KeyScore& s, const char* wanted) {
        std::printf("%-8s %-24s first %s  first two %s  wanted %s\n", who, what, s.first.text().c_str(),
                    s.second.text().c_str(), wanted);
    };
    line("8 to 11 notes", rows.brief, "0.85, 0.95");
    line("12 notes and more", rows.longer, "0.93");
    line("only one harp can", rows.alone, "0.97");
}

/// Of the notes that were found, how many stand at their beat; and how many when all may be moved by whole beats, for a
/// phrase without a count does not say which of its beats is the first of a bar.
struct SlotScore {
    Share exact;
    Share moved;
    Share tempo;                      // within 4 %
    Share feel;                       // straight, swung or in threes
    Share told_feel, told_tempo;      // second guesses that are told: those that are right
    Share untold_feel, untold_tempo;  // takes without one: those whose first guess is wrong

    void count(const Take& take, std::span<const hear::HeardNote> notes, const coach::BeatMap& map) {
        const auto pairs = match(take.truth.size(), notes.size(), [&](std::size_t t, std::size_t n) {
            return onset_fits(take.truth[t], notes[n]) &&
                   tab_fits(take.phrase.harp, take.truth[t], notes[n], false);
        });
        std::map<Fraction, std::size_t> shifts;
        for (const auto& [t, n] : pairs) {
            const Fraction shift = map.notes[n].at.value - take.truth[t].at.value;
            exact.count(shift == Fraction{0});
            if (shift.whole()) ++shifts[shift];
        }
        std::size_t most = 0;
        for (const auto& [shift, votes] : shifts) most = std::max(most, votes);
        moved.right += most;
        moved.all += pairs.size();
        const auto in_tempo = [&](const BeatsPerMinute& found) {
            return std::abs(found.value / take.phrase.groove.tempo.value - 1.0) < 0.04;
        };
        tempo.count(in_tempo(map.tempo));
        const auto kind = [](const lick::Meter& meter, const lick::Feel& parts) {
            return meter.compound() ? 2 : (parts.straight() ? 0 : 1);
        };
        const auto felt = [&](const lick::Meter& meter, const lick::Feel& parts) {
            return kind(meter, parts) == kind(take.phrase.groove.meter, take.phrase.groove.feel);
        };
        feel.count(felt(map.meter, map.feel));
        bool about_feel = false, about_tempo = false;
        for (const coach::SecondGuess& g : map.second_guesses) {
            about_feel = about_feel || g.about == coach::SecondGuess::About::feel;
            about_tempo = about_tempo || g.about == coach::SecondGuess::About::tempo;
            if (g.about == coach::SecondGuess::About::feel) told_feel.count(felt(g.meter, g.feel));
            if (g.about == coach::SecondGuess::About::tempo) told_tempo.count(in_tempo(g.tempo));
        }
        if (!about_feel) untold_feel.count(!felt(map.meter, map.feel));
        if (!about_tempo) untold_tempo.count(!in_tempo(map.tempo));
    }
};

void print_slots(const char* who, const char* what, const SlotScore& s, const char* wanted) {
    std::printf("%-8s %-14s slots %s  moved by beats %s  tempo %s  feel %s  wanted %s\n", who, what,
                s.exact.text().c_str(), s.moved.text().c_str(), s.tempo.text().c_str(), s.feel.text().c_str(),
                wanted);
}

void print_doubts(const char* what, const SlotScore& s) {
    std::printf(
        "second guesses, %s: feel told and right %s, not told and first wrong %s;  tempo told and right %s, "
        "not "
        "told and first wrong %s\n",
        what, s.told_feel.text().c_str(), s.untold_feel.text().c_str(), s.told_tempo.text().c_str(),
        s.untold_tempo.text().c_str());
}

/// The click of a take, as a listener finds it.
std::optional<coach::ClickTrack> click_of(const Take& take, std::span<const hear::HeardNote> notes) {
    if (notes.empty()) return std::nullopt;
    coach::ClickFinder finder{take_rate};
    finder.push(take.samples);
    return finder.find(notes.front().onset);
}

/// Both guesses over the same takes.
int table(const std::string& of, const std::string& under, int count, std::uint64_t seed, bool only_keys) {
    const Condition condition = bench::condition_asked(under);
    TakeMaker maker = bench::maker_of(bench::instrument_asked(of));
    KeyRows from_truth;
    KeyRows from_worn;
    KeyRows from_ear;
    std::array<SlotScore, 2> slots_planted;  // without a click, with one
    std::array<SlotScore, 2> slots_heard;
    Share clicks;
    for (int i = 0; i < count; ++i) {
        const Take take = maker.make({.condition = condition, .seed = seed + static_cast<std::uint64_t>(i)});
        count_keys(from_truth, take, planted(take), take.a4);
        count_keys(from_worn, take, on_a_worn_harp(take), take.a4);
        const hear::Heard heard = hear::listen(take.samples, take_rate);
        count_keys(from_ear, take, heard.notes, heard.a4);
        if (only_keys) continue;
        for (const bool click : {false, true}) {
            const Take played = maker.make({.condition = condition, .seed = take.wish.seed, .click = click});
            const hear::Heard with_harp =
                hear::listen(played.samples, take_rate, {.harp = played.phrase.harp, .a4 = {}, .reeds = {}});
            const std::vector<hear::HeardNote> truth = planted(played);
            const auto found = click_of(played, truth);
            if (click) clicks.count(found.has_value());
            coach::BeatGiven given;
            given.click = found;
            slots_planted[click].count(played, truth, coach::find_beat(truth, given));
            given.click = click_of(played, with_harp.notes);
            slots_heard[click].count(played, with_harp.notes, coach::find_beat(with_harp.notes, given));
        }
    }
    std::printf("key of the harp, %s, %s\n", of.c_str(), under.c_str());
    print_keys("planted", from_truth);
    print_keys("worn", from_worn);
    print_keys("heard", from_ear);
    if (only_keys) return 0;
    std::printf("places in the beat; clicks found in %s\n", clicks.text().c_str());
    print_slots("planted", "free", slots_planted[0], "0.85");
    print_slots("planted", "with a click", slots_planted[1], "0.95");
    print_slots("heard", "free", slots_heard[0], "0.85");
    print_slots("heard", "with a click", slots_heard[1], "0.95");
    print_doubts("free", slots_heard[0]);
    print_doubts("with a click", slots_heard[1]);
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Key of harp and places in the beat, guessed from takes"};
    int count = 40;
    std::uint64_t seed = 1;
    std::string of = "fluid-harmonica";
    std::string under = "clean";
    app.add_option("-n", count, "Takes")->check(CLI::Range(1, 100000));
    app.add_option("-i", of, "Instrument");
    app.add_option("-c", under, "Condition");
    app.add_option("-s", seed, "First seed");
    bool only_keys = false;
    app.add_flag("-k", only_keys, "The key of the harp only");
    CLI11_PARSE(app, argc, argv);
    return bench::answer("draft_table", [&] { return table(of, under, count, seed, only_keys); });
}
