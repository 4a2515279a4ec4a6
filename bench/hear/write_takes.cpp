// SPDX-License-Identifier: GPL-3.0-or-later
//
// write_takes FOLDER: takes as 16 kHz WAV files with their truth beside them, for validating a model outside of C++.
//
// One line a note, parted by tabs: onset_s offset_s midi_start midi_end joined tab. Of several holes midi_end lists the
// pitches of all, by hole, parted by commas; pitches count A4 as 440 Hz.
#include <sndfile.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "bench/hear/ask.hpp"
#include "engine/text/text.hpp"
#include "tests/hear/listening/take.hpp"

namespace {

using namespace lw;
using namespace lw::listening;

/// Every third sample of the sound below 7.4 kHz: 48 to 16 kHz by a windowed sinc of 12 of its zeros on either side.
std::vector<float> to_16k(const std::vector<float>& x) {
    constexpr int reach = 39;
    constexpr double cut = 7400.0 / take_rate;
    static const std::vector<double> taps = [] {
        std::vector<double> t;
        for (int i = -reach; i <= reach; ++i) {
            const double s =
                i == 0 ? 2.0 * cut : std::sin(2.0 * std::numbers::pi * cut * i) / (std::numbers::pi * i);
            t.push_back(s * (0.5 + 0.5 * std::cos(std::numbers::pi * i / (reach + 1))));
        }
        return t;
    }();
    std::vector<float> y;
    for (std::ptrdiff_t at = 0; at < std::ssize(x); at += 3) {
        double sum = 0.0;
        for (std::ptrdiff_t i = -reach; i <= reach; ++i)
            if (at + i >= 0 && at + i < std::ssize(x))
                sum += taps[static_cast<std::size_t>(i + reach)] * x[at + i];
        y.push_back(static_cast<float>(sum));
    }
    return y;
}

bool write_wav(const std::filesystem::path& path, const std::vector<float>& samples) {
    SF_INFO info{};
    info.samplerate = 16000;
    info.channels = 1;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    if (file == nullptr) return false;
    const bool whole = sf_write_float(file, samples.data(), std::ssize(samples)) == std::ssize(samples);
    return sf_close(file) == 0 && whole;
}

bool write_truth(const std::filesystem::path& path, const Take& take) {
    std::ofstream out{path};
    for (const TruthNote& n : take.truth) {
        const double end = n.note.pitch.midi;
        const double start = end + n.note.bend.value - n.note.bend_start.value;
        std::string pitches;
        for (std::size_t hole = 0; hole < n.note.tab.holes.size(); ++hole) {
            char word[32];
            std::snprintf(word, sizeof word, "%s%.3f", pitches.empty() ? "" : ",", n.pitches[hole].midi);
            pitches += word;
        }
        char line[64];
        std::snprintf(line, sizeof line, "%.4f\t%.4f\t%.3f\t", n.note.onset.value, n.note.offset.value,
                      start);
        out << line << pitches << '\t' << (n.note.joined ? 1 : 0) << '\t' << text::to_text(n.note.tab)
            << '\n';
    }
    return static_cast<bool>(out.flush());
}

int write_all(const std::filesystem::path& folder, std::vector<std::string> of,
              const std::vector<std::string>& under, int count, std::uint64_t seed) {
    std::vector<Condition> conditions;
    for (const std::string& word : under) conditions.push_back(bench::condition_asked(word));
    if (conditions.empty()) conditions.assign(every_condition.begin(), every_condition.end());
    if (of.empty()) {
        for (const Instrument& i : instruments())
            if (!i.held_out && installed(i)) of.emplace_back(i.name);
    }
    std::filesystem::create_directories(folder);
    for (const std::string& word : of) {
        TakeMaker maker = bench::maker_of(bench::instrument_asked(word));
        for (int i = 0; i < count; ++i) {
            const Condition c = conditions[static_cast<std::size_t>(i) % conditions.size()];
            const std::uint64_t s = seed + static_cast<std::uint64_t>(i);
            const Take take = maker.make({.condition = c, .seed = s});
            char base[96];
            std::snprintf(base, sizeof base, "%s_%s_%05llu", word.c_str(), name(c).data(),
                          static_cast<unsigned long long>(s));
            const std::string path = (folder / base).string();
            if (!write_wav(path + ".wav", to_16k(take.samples)) || !write_truth(path + ".tsv", take))
                throw std::runtime_error("cannot write " + path);
        }
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Takes as 16 kHz WAV files, their truth as tables beside them"};
    std::string folder;
    std::vector<std::string> of;
    std::vector<std::string> under;
    int count = 50;
    std::uint64_t seed = 1;
    app.add_option("folder", folder, "Where to; made when it is not there")->required();
    app.add_option("-n", count, "Takes of each instrument, spread over the conditions")
        ->check(CLI::Range(1, 100000));
    app.add_option("-i", of, "Instruments (without it: all that are not held out)");
    app.add_option("-c", under, "Conditions (without it: all)");
    app.add_option("-s", seed, "First seed");
    CLI11_PARSE(app, argc, argv);

    return bench::answer("write_takes", [&] { return write_all(folder, of, under, count, seed); });
}
