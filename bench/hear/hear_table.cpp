// SPDX-License-Identifier: GPL-3.0-or-later
//
// hear_table: how well we listen, condition by condition, beside libraries that hear the same takes in the same run.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <map>
#include <string>
#include <vector>

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
    bool side_by_side = false;
    std::uint64_t seed = 1;
};

std::vector<Take> makes(const Asked& asked, Condition condition, std::vector<TakeMaker>& makers) {
    std::vector<Take> takes;
    for (int i = 0; i < asked.takes; ++i) {
        TakeMaker& maker = makers[static_cast<std::size_t>(i) % makers.size()];
        takes.push_back(
            maker.make({.condition = condition, .seed = asked.seed + static_cast<std::uint64_t>(i)}));
    }
    return takes;
}

int table(const Asked& asked) {
    std::vector<Condition> conditions;
    for (const std::string& word : asked.conditions) {
        const auto c = condition_named(word);
        if (!c) return std::fprintf(stderr, "hear_table: no condition is called %s\n", word.c_str()), 2;
        conditions.push_back(*c);
    }
    if (conditions.empty()) conditions.assign(every_condition.begin(), every_condition.end());

    std::vector<TakeMaker> makers;
    for (const Instrument& i : instruments()) {
        const bool named =
            std::find(asked.instruments.begin(), asked.instruments.end(), i.name) != asked.instruments.end();
        if (!named && !(asked.instruments.empty() && i.held_out == asked.held_out)) continue;
        auto maker = TakeMaker::open(i);
        if (!maker) {
            std::fprintf(stderr, "hear_table: %s is not there; install %s\n", i.source.data(),
                         i.package.data());
            return 2;
        }
        std::printf("%s%s ", i.name.data(), i.held_out ? " (held out)" : "");
        makers.push_back(std::move(*maker));
    }
    if (makers.empty()) return std::fprintf(stderr, "hear_table: no instrument is called that\n"), 2;
    std::printf("\n");

    std::vector<std::unique_ptr<bench::Contender>> contenders;
    const auto add = [&](std::unique_ptr<bench::Contender> c) {
        if (c == nullptr) {
            std::printf("(essentia is not installed: npm ci)\n");
            return;
        }
        const bool asked_for =
            asked.who.empty() || std::find(asked.who.begin(), asked.who.end(), c->name()) != asked.who.end();
        if (asked_for) contenders.push_back(std::move(c));
    };
    add(bench::our_ear());
    add(bench::aubio_ear());
    add(bench::essentia_ear());

    std::map<std::string, Score> solo;  // over the conditions without a band
    std::vector<std::pair<std::string, Score>> our_errors;
    Score clean;
    double seconds = 0.0;
    double yinfft = 0.0;
    bench::print_head();
    for (const Condition condition : conditions) {
        const std::vector<Take> takes = makes(asked, condition, makers);
        for (const Take& t : takes) seconds += static_cast<double>(t.samples.size()) / take_rate;
        yinfft += bench::yinfft_alone(takes).value;
        for (const auto& contender : contenders) {
            const std::vector<hear::Heard> answers = contender->hear(takes);
            Score sum;
            for (std::size_t i = 0; i < takes.size(); ++i) {
                const Take& t = takes[i];
                sum += score(t.phrase.harp, t.truth, answers[i],
                             {static_cast<double>(t.samples.size()) / take_rate});
                if (!asked.side_by_side) continue;
                std::printf("\n%s, seed %llu, %s harp, A4 %.1f Hz\n", contender->name().c_str(),
                            static_cast<unsigned long long>(t.wish.seed), harp::name(t.phrase.harp).c_str(),
                            t.a4.value);
                bench::print_side_by_side(t.phrase.harp, t.truth, answers[i]);
            }
            bench::print_row(name(condition), contender->name(), sum, wanted(condition));
            if (contender == contenders.front()) {
                our_errors.emplace_back(name(condition), sum);
                if (condition == Condition::clean || condition == Condition::double_stops) clean += sum;
            }
        }
    }
    const std::string first = contenders.empty() ? "" : contenders.front()->name();
    std::printf("\n%s, errors of the notes found\n", first.c_str());
    for (const auto& [title, sum] : our_errors) bench::print_errors(title, sum);
    if (clean.takes > 0) {
        std::printf("\n%s, kinds of notes in clean sound\n", first.c_str());
        bench::print_kinds(clean);
    }
    Score all;
    for (const auto& [title, sum] : our_errors) all += sum;
    std::printf("\n%s, confidences over all conditions\n", first.c_str());
    bench::print_reliability(all);
    std::printf("\n%.0f s of sound; aubio's yinfft alone: %.0f times real time\n", seconds, seconds / yinfft);
    for (const auto& contender : contenders) {
        const double spent = contender->spent().value;
        if (spent <= 0.0) continue;
        std::printf("%s: %.0f times real time, %.2f times the speed of yinfft alone\n",
                    contender->name().c_str(), seconds / spent, yinfft / spent);
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
    app.add_option("-s", asked.seed, "First seed");
    app.add_flag("-v", asked.side_by_side, "Truth and answer side by side");
    app.footer("LICKWRIGHT_TAKES names a folder where takes are kept between runs.");
    CLI11_PARSE(app, argc, argv);
    try {
        return table(asked);
    } catch (const std::exception& e) {
        std::fprintf(stderr, "hear_table: %s\n", e.what());
        return 2;
    }
}
