// SPDX-License-Identifier: GPL-3.0-or-later
//
// hear_table: how well we listen, condition by condition, beside libraries that hear the same takes in the same run.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "bench/hear/ask.hpp"
#include "bench/hear/contender.hpp"
#include "bench/hear/table.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

/// Tab F1, harp given, that the issue of listening asks for.
double wanted(Condition condition) {
    switch (condition) {
        case Condition::clean:
            return 0.98;
        case Condition::room:
        case Condition::double_stops:
            return 0.94;
        case Condition::phone:
            return 0.97;
        case Condition::band_6:
            return 0.90;
        case Condition::band_0:
            return 0.72;
    }
    return 0.0;
}

struct Asked {
    int takes = 20;
    std::vector<std::string> conditions;
    std::vector<std::string> instruments;
    std::vector<std::string> who;
    bool held_out = false;
    bool gestures = false;
    bool side_by_side = false;
    std::uint64_t seed = 1;
};

std::vector<Condition> conditions_of(const Asked& asked) {
    std::vector<Condition> conditions;
    for (const std::string& word : asked.conditions) conditions.push_back(bench::condition_asked(word));
    if (conditions.empty()) conditions.assign(every_condition.begin(), every_condition.end());
    return conditions;
}

/// One for each instrument; says which they are.
std::vector<TakeMaker> makers_of(const Asked& asked) {
    std::vector<const Instrument*> wanted;
    for (const std::string& word : asked.instruments) wanted.push_back(&bench::instrument_asked(word));
    if (wanted.empty()) {
        for (const Instrument& i : instruments())
            if (i.held_out == asked.held_out) wanted.push_back(&i);
    }
    std::vector<TakeMaker> makers;
    for (const Instrument* i : wanted) {
        makers.push_back(bench::maker_of(*i));
        std::printf("%s%s ", i->name.data(), i->held_out ? " (held out)" : "");
    }
    std::printf("\n");
    return makers;
}

using Contenders = std::vector<std::unique_ptr<bench::Contender>>;

/// Ours first.
Contenders contenders_of(const Asked& asked) {
    Contenders all;
    all.push_back(bench::our_ear());
    all.push_back(bench::aubio_ear());
    if (auto essentia = bench::essentia_ear()) {
        all.push_back(std::move(essentia));
    } else {
        std::printf("(essentia is not installed: npm ci)\n");
    }
    std::erase_if(all, [&](const auto& c) {
        return !asked.who.empty() &&
               std::find(asked.who.begin(), asked.who.end(), c->name()) == asked.who.end();
    });
    if (all.empty())
        throw std::runtime_error("nobody of that name listens; there are lickwright aubio essentia");
    return all;
}

/// Turn about on the instruments.
std::vector<Take> takes_of(const Asked& asked, Condition condition, std::vector<TakeMaker>& makers) {
    std::vector<Take> takes;
    for (int i = 0; i < asked.takes; ++i) {
        const std::uint64_t seed = asked.seed + static_cast<std::uint64_t>(i);
        takes.push_back(makers[static_cast<std::size_t>(i) % makers.size()].make(
            {.condition = condition, .seed = seed, .gestures = asked.gestures}));
    }
    return takes;
}

Seconds length_of(const Take& take) {
    return {static_cast<double>(take.samples.size()) / take_rate};
}

Score score_all(const std::vector<Take>& takes, bench::Contender& contender, bool side_by_side) {
    const std::vector<hear::Heard> answers = contender.hear(takes);
    Score sum{};
    for (std::size_t i = 0; i < takes.size(); ++i) {
        const Take& t = takes[i];
        sum += score(t.phrase.harp, t.truth, answers[i], length_of(t));
        if (!side_by_side) continue;
        std::printf("\n%s, seed %llu, %s harp, A4 %.1f Hz\n", contender.name().c_str(),
                    static_cast<unsigned long long>(t.wish.seed), harp::name(t.phrase.harp).c_str(),
                    t.a4.value);
        bench::print_side_by_side(t.phrase.harp, t.truth, answers[i]);
    }
    return sum;
}

/// What the first contender's score says beyond one row.
void print_details(const std::string& who, const std::vector<std::pair<Condition, Score>>& scores) {
    Score clean{};
    Score all{};
    std::printf("\n%s, errors of the notes found\n", who.c_str());
    for (const auto& [condition, sum] : scores) {
        bench::print_errors(name(condition), sum);
        all += sum;
        if (condition == Condition::clean || condition == Condition::double_stops) clean += sum;
    }
    if (clean.takes > 0) {
        std::printf("\n%s, kinds of notes in clean sound\n", who.c_str());
        bench::print_kinds(clean);
    }
    std::printf("\n%s, confidences over all conditions\n", who.c_str());
    bench::print_reliability(all);
}

int table(const Asked& asked) {
    const std::vector<Condition> conditions = conditions_of(asked);
    std::vector<TakeMaker> makers = makers_of(asked);
    const Contenders contenders = contenders_of(asked);

    std::vector<std::pair<Condition, Score>> first;
    Seconds sound{};
    Seconds yinfft{};
    bench::print_head();
    for (const Condition condition : conditions) {
        const std::vector<Take> takes = takes_of(asked, condition, makers);
        for (const Take& t : takes) sound += length_of(t);
        yinfft += bench::yinfft_alone(takes);
        for (const auto& contender : contenders) {
            const Score sum = score_all(takes, *contender, asked.side_by_side);
            bench::print_row(name(condition), contender->name(), sum, wanted(condition));
            if (contender == contenders.front()) first.emplace_back(condition, sum);
        }
    }
    print_details(contenders.front()->name(), first);
    std::printf("\n%.0f s of sound; aubio's yinfft alone: %.0f times real time\n", sound.value,
                sound / yinfft);
    for (const auto& contender : contenders) {
        const Seconds spent = contender->spent();
        if (spent <= Seconds{0.0}) continue;
        std::printf("%s: %.0f times real time, %.2f times the speed of yinfft alone\n",
                    contender->name().c_str(), sound / spent, yinfft / spent);
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"How well we listen, beside general-purpose libraries on the same takes"};
    app.set_help_flag("--help", "This");
    Asked asked;
    app.add_option("-n", asked.takes, "Takes in each condition, turn about on the instruments")
        ->check(CLI::Range(1, 100000));
    app.add_option("-c", asked.conditions,
                   "Conditions: clean room phone double-stops band+6 band+0 (without it: all)");
    app.add_option("-i", asked.instruments, "Instruments (without it: all that are not held out)");
    app.add_option("-w", asked.who, "Who listens: lickwright aubio essentia (without it: all)");
    app.add_flag("-h,--held-out", asked.held_out, "The samples that were never used for tuning");
    app.add_flag("-g,--gestures", asked.gestures, "A gesture on every note that is long enough for one");
    app.add_option("-s", asked.seed, "First seed");
    app.add_flag("-v", asked.side_by_side, "Truth and answer side by side");
    app.footer("LICKWRIGHT_TAKES names a folder where takes are kept between runs.");
    CLI11_PARSE(app, argc, argv);
    return bench::answer("hear_table", [&] { return table(asked); });
}
