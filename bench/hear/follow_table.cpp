// SPDX-License-Identifier: GPL-3.0-or-later
//
// follow_table: a known lick followed in takes that have slips. Are wrong, missing and extra notes found, and no others;
// how far are onsets and bends from what was planted?
#include <CLI/CLI.hpp>
#include <cstdio>
#include <string>
#include <vector>

#include "bench/hear/ask.hpp"
#include "engine/coach/compare.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/slips.hpp"
#include "tests/hear/listening/take.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

struct Followed {
    std::size_t takes = 0;
    std::size_t refused = 0;
    Hits wrong;
    Hits missing;
    Hits extra;
    std::vector<double> onset_ms;    // of attacked notes
    std::vector<double> bend_cents;  // of bent notes, at their middle
};

void follow(Followed& sum, TakeMaker& maker, const TakeWish& wish, bool verbose) {
    const Phrase phrase = chance_phrase(wish.seed);
    const Slipped slipped = with_slips(phrase, wish.seed);
    const Take take = maker.make(wish, slipped.played);
    const hear::Heard heard =
        hear::listen(take.samples, take_rate, {.harp = phrase.harp, .a4 = {}, .reeds = {}});
    const coach::Comparison told = coach::compare(lick_of(phrase), heard.notes, {}, heard.frames);
    ++sum.takes;
    if (!told.same_lick) {
        ++sum.refused;
        if (verbose)
            std::printf("seed %llu: refused, likeness %.2f\n", static_cast<unsigned long long>(wish.seed),
                        told.likeness);
        return;
    }
    std::vector<std::size_t> wrong;
    std::vector<std::size_t> missing;
    for (const coach::NoteGrade& grade : told.notes) {
        if (grade.came == coach::Came::wrong) wrong.push_back(grade.note);
        if (grade.came == coach::Came::missing) missing.push_back(grade.note);
    }
    const auto counted = [](const std::vector<std::size_t>& planted, const std::vector<std::size_t>& found) {
        return Hits{match(planted.size(), found.size(),
                          [&](std::size_t p, std::size_t f) { return planted[p] == found[f]; })
                        .size(),
                    found.size(), planted.size()};
    };
    const Hits in_wrong = counted(slipped.wrong, wrong);
    const Hits in_missing = counted(slipped.missing, missing);
    const Hits in_extra{match(slipped.extra.size(), told.extras.size(),
                              [&](std::size_t p, std::size_t f) {
                                  return onset_fits(take.truth[slipped.extra[p]],
                                                    heard.notes[told.extras[f].heard]);
                              })
                            .size(),
                        told.extras.size(), slipped.extra.size()};
    sum.wrong += in_wrong;
    sum.missing += in_missing;
    sum.extra += in_extra;
    if (verbose) {
        std::printf(
            "seed %llu: wrong %zu of %zu (told %zu), missing %zu of %zu (told %zu), extra %zu of %zu (told "
            "%zu)\n",
            static_cast<unsigned long long>(wish.seed), in_wrong.matched, in_wrong.planted, in_wrong.answered,
            in_missing.matched, in_missing.planted, in_missing.answered, in_extra.matched, in_extra.planted,
            in_extra.answered);
    }
    for (std::size_t i = 0; i < slipped.written.size(); ++i) {
        if (!slipped.written[i]) continue;
        const coach::NoteGrade& grade = told.notes[*slipped.written[i]];
        const hear::HeardNote& truth = take.truth[i].note;
        if (grade.came != coach::Came::right) continue;
        if (!truth.joined) sum.onset_ms.push_back(1e3 * (grade.onset - truth.onset).value);
        if (truth.tab.bent_hole != 0 && truth.gestures.empty() && grade.bend_error) {
            const double planted = 100.0 * (truth.bend - truth.tab.bend()).value;
            sum.bend_cents.push_back(grade.bend_error->value - planted);
        }
    }
}

void print(const std::string& condition, const Followed& f, double wanted) {
    Hits all = f.wrong;
    all += f.missing;
    all += f.extra;
    const auto at = [](const std::vector<double>& values, double part) {
        return percentile_of_sizes(values, part).value_or(0.0);
    };
    std::printf("%-9s %4zu %7zu  %.3f %.3f %.3f  %.3f   %.2f  %6.1f %6.1f  %6.1f %6.1f\n", condition.c_str(),
                f.takes, f.refused, f.wrong.f1(), f.missing.f1(), f.extra.f1(), all.f1(), wanted,
                at(f.onset_ms, 0.5), at(f.onset_ms, 0.95), at(f.bend_cents, 0.5), at(f.bend_cents, 0.95));
    std::fflush(stdout);
}

int table(const std::string& of, int count, std::uint64_t seed, bool verbose) {
    TakeMaker maker = bench::maker_of(bench::instrument_asked(of));
    std::printf(
        "%s\n          takes refused  wrong  missing extra all   wanted  onset ms 50 %%, 95 %%  bend cents "
        "50 %%, 95 %%\n",
        of.c_str());
    for (const Condition condition : {Condition::clean, Condition::room, Condition::phone}) {
        Followed sum;
        for (int i = 0; i < count; ++i)
            follow(sum, maker, {.condition = condition, .seed = seed + static_cast<std::uint64_t>(i)},
                   verbose);
        print(std::string{name(condition)}, sum, condition == Condition::clean ? 0.95 : 0.90);
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"A known lick followed in takes with slips"};
    int count = 40;
    std::uint64_t seed = 1;
    std::string of = "fluid-harmonica";
    bool verbose = false;
    app.add_option("-n", count, "Takes in each condition")->check(CLI::Range(1, 100000));
    app.add_option("-i", of, "Instrument");
    app.add_option("-s", seed, "First seed");
    app.add_flag("-v", verbose, "Each take");
    CLI11_PARSE(app, argc, argv);
    return bench::answer("follow_table", [&] { return table(of, count, seed, verbose); });
}
