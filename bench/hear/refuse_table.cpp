// SPDX-License-Identifier: GPL-3.0-or-later
//
// refuse_table: what is no harp is refused, and who plays one is not. Phrases by programs of soundfonts, and takes of free
// reeds in every condition.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "bench/hear/ask.hpp"
#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/conditions.hpp"
#include "tests/hear/listening/synth.hpp"
#include "workshop/listen/listening.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

/// Kept out of the training of the net (tools/ear/bank.py), with all that sounds like the same recording; 26 was heard
/// behind harps only.
constexpr int never_learned[] = {5, 12, 26, 30, 41, 52, 57, 66, 74, 105, 107};

/// Programs of General MIDI 1, from 0: what people play tunes on, free reeds (20 to 23) and organs left out.
std::vector<int> strangers() {
    std::vector<int> all;
    for (int p = 0; p < 108; ++p) {
        const bool organ = p >= 16 && p < 24, bass = p >= 32 && p < 40;
        const bool effect = p == 47 || p == 55 || (p >= 80 && p < 104 && p != 85);
        if (!organ && !bass && !effect) all.push_back(p);
    }
    return all;
}

/// A tune of 16 notes, or as many chords, in a scale near the middle of the keyboard.
std::vector<Message> tune(std::uint64_t seed, bool chords, Seconds& end) {
    support::Dice dice{seed * 7919};
    constexpr int scale[] = {0, 2, 4, 5, 7, 9, 11};
    const double beat_s = 60.0 / between(dice, 70.0, 150.0);
    const int home = dice.roll(55, 67);
    int degree = dice.roll(0, 6);
    double at = 0.4;
    std::vector<Message> messages{{.at = {}, .kind = Message::Kind::wheel, .first = 8192}};
    for (int i = 0; i < 16; ++i) {
        const double length = beat_s * (dice.chance(40) ? 0.5 : (dice.chance(70) ? 1.0 : 2.0));
        for (int voice = 0; voice < (chords ? 3 : 1); ++voice) {
            const int d = degree + 2 * voice;
            const int key = home + 12 * (d / 7) + scale[d % 7];
            messages.push_back({.at = {at}, .first = key, .second = dice.roll(70, 110)});
            messages.push_back({.at = {at + 0.95 * length}, .kind = Message::Kind::off, .first = key});
        }
        at += length;
        if (!dice.chance(15)) degree = std::clamp(degree + dice.roll(-3, 3), 0, 10);
    }
    end = {at + 0.8};
    return messages;
}

/// Whether it is refused; as `listen` does it when nobody says the harp.
bool refused(const std::vector<float>& samples) {
    return listen::no_harp(hear::listen(samples, take_rate), "take").has_value();
}

void print(const std::string& what, int no, int all) {
    std::printf("%-34s %4d of %4d refused\n", what.c_str(), no, all);
    std::fflush(stdout);
}

int of_programs(int phrases, std::uint64_t seed, bool each) {
    int new_no = 0, new_all = 0, no = 0, all = 0;
    for (const char* font : {"fluid-harmonica", "tim-harmonica"}) {
        const std::string source{bench::instrument_asked(font).source};
        for (const int program : strangers()) {
            Synth synth{source, 16};
            if (!synth.loaded()) throw std::runtime_error(source + " is not there");
            synth.program(0, 0, program);
            int here = 0;
            for (int i = 0; i < phrases; ++i) {
                const std::uint64_t s = seed + static_cast<std::uint64_t>(i);
                support::Dice dice{s ^ static_cast<std::uint64_t>(1000 * program)};
                Seconds end{};
                synth.refresh();
                std::vector<float> x =
                    synth.render(tune(s + static_cast<std::uint64_t>(97 * program), i % 4 == 3, end), end);
                if (i % 2 == 1) x = in_room(x, {0.4}, {3.0}, dice);
                if (i % 2 == 1) add_noise(x, {30.0}, dice);
                here += refused(x) ? 1 : 0;
            }
            const bool is_new = std::find(std::begin(never_learned), std::end(never_learned), program) !=
                                std::end(never_learned);
            (is_new ? new_no : no) += here;
            (is_new ? new_all : all) += phrases;
            if (each) print(std::string{font, 5} + " program " + std::to_string(program), here, phrases);
        }
    }
    print("programs of the training", no, all);
    print("programs kept out of it", new_no, new_all);
    return 0;
}

int of_reeds(int takes, std::uint64_t seed) {
    int sum_no = 0, sum_all = 0;
    for (const Instrument& instrument : instruments()) {
        TakeMaker maker = bench::maker_of(instrument);
        int no = 0, all = 0;
        std::string which;
        for (const Condition condition : every_condition)
            for (int i = 0; i < takes; ++i, ++all) {
                const Take take = maker.make({.condition = condition,
                                              .seed = seed + static_cast<std::uint64_t>(i),
                                              .click = i % 3 == 2});
                if (!refused(take.samples)) continue;
                ++no;
                which += " " + std::string{name(condition)} + "/" + std::to_string(take.wish.seed);
            }
        print(std::string{instrument.name} + (instrument.held_out ? " (held out)" : ""), no, all);
        if (!which.empty()) std::printf("    %s\n", which.c_str());
        sum_no += no;
        sum_all += all;
    }
    print("free reeds", sum_no, sum_all);
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"What is no harp is refused, and who plays one is not"};
    int phrases = 4, takes = 8;
    std::uint64_t seed = 1;
    bool each = false;
    app.add_option("-p", phrases, "Phrases of each program")->check(CLI::Range(0, 1000));
    app.add_option("-n", takes, "Takes of each free reed in each condition")->check(CLI::Range(0, 1000));
    app.add_option("-s", seed, "First seed");
    app.add_flag("-v", each, "Every program by itself");
    CLI11_PARSE(app, argc, argv);
    return bench::answer("refuse_table", [&] {
        if (phrases > 0) of_programs(phrases, seed, each);
        if (takes > 0) of_reeds(takes, seed);
        return 0;
    });
}
