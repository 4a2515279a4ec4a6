// SPDX-License-Identifier: GPL-3.0-or-later
//
// draft_table: what is guessed when nobody says: the key of the harp from the pitches of a take, and each note's place in
// the beat, with a click and without. Once from what was planted (no ear could do better), once from what was heard.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <optional>
#include <string>
#include <vector>

#include "engine/coach/rank_harps.hpp"
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

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"The key of the harp, guessed from takes"};
    int count = 40;
    std::uint64_t seed = 1;
    std::string of = "fluid-harmonica";
    std::string under = "clean";
    app.add_option("-n", count, "Takes")->check(CLI::Range(1, 100000));
    app.add_option("-i", of, "Instrument");
    app.add_option("-c", under, "Condition");
    app.add_option("-s", seed, "First seed");
    CLI11_PARSE(app, argc, argv);
    const Instrument* instrument = instrument_named(of);
    const auto condition = condition_named(under);
    if (instrument == nullptr || !condition)
        return std::fprintf(stderr, "draft_table: no such instrument or condition\n"), 2;
    auto maker = TakeMaker::open(*instrument);
    if (!maker) return std::fprintf(stderr, "draft_table: install %s\n", instrument->package.data()), 2;

    KeyRows from_truth;
    KeyRows from_ear;
    for (int i = 0; i < count; ++i) {
        const Take take =
            maker->make({.condition = *condition, .seed = seed + static_cast<std::uint64_t>(i)});
        count_keys(from_truth, take, planted(take), take.a4);
        const hear::Heard heard = hear::listen(take.samples, take_rate);
        count_keys(from_ear, take, heard.notes, heard.a4);
    }
    std::printf("key of the harp, %s, %s\n", of.c_str(), under.c_str());
    print_keys("planted", from_truth);
    print_keys("heard", from_ear);
    return 0;
}
