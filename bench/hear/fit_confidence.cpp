// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fits the model behind the confidences of the ear (engine/hear/confidence.cpp): logistic regression of "this note is
// right" on what speaks for it, over takes of every instrument that is not held out, in every condition. Prints the
// coefficients, to be written into that file.
//
//     fit_confidence [-n SEEDS] [-s FIRST]
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

#include "engine/hear/ear.hpp"
#include "tests/hear/listening/score.hpp"
#include "tests/hear/listening/take.hpp"

namespace {

using namespace lw;

struct Case {
    hear::Witness why;
    bool right;
    double weight;
};

void learn_from(const listening::Take& take, double weight, std::vector<Case>& cases) {
    hear::Given given;
    given.harp = take.phrase.harp;
    std::vector<hear::Witness> why;
    const hear::Heard heard = hear::heard_in(
        hear::looks_at(hear::best_salience(), take.samples, listening::take_rate), given, &why);
    const Seconds length{static_cast<double>(take.samples.size()) / listening::take_rate};
    const listening::Score score = listening::score(take.phrase.harp, take.truth, heard, length);
    for (std::size_t i = 0; i < why.size() && i < score.judged.size(); ++i)
        cases.push_back({why[i], score.judged[i].right, weight});
}

/// Newton's method with a little weight decay, which keeps witnesses that never speak at 0.
std::vector<double> fitted(const std::vector<Case>& cases) {
    constexpr std::size_t n = hear::witness_count;
    std::vector<double> c(n, 0.0);
    for (int round = 0; round < 30; ++round) {
        std::vector<double> matrix(n * (n + 1), 0.0);  // the last column is the right side
        for (const Case& k : cases) {
            double z = 0.0;
            for (std::size_t i = 0; i < n; ++i) z += c[i] * static_cast<double>(k.why[i]);
            const double p = 1.0 / (1.0 + std::exp(-z));
            for (std::size_t i = 0; i < n; ++i) {
                const double x = static_cast<double>(k.why[i]);
                matrix[i * (n + 1) + n] += k.weight * ((k.right ? 1.0 : 0.0) - p) * x;
                for (std::size_t j = 0; j < n; ++j)
                    matrix[i * (n + 1) + j] += k.weight * p * (1.0 - p) * x * static_cast<double>(k.why[j]);
            }
        }
        for (std::size_t i = 0; i < n; ++i) {
            matrix[i * (n + 1) + i] += 1.0;
            matrix[i * (n + 1) + n] -= c[i];
        }
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t r = 0; r < n; ++r) {
                if (r == i) continue;
                const double f = matrix[r * (n + 1) + i] / matrix[i * (n + 1) + i];
                for (std::size_t j = i; j <= n; ++j) matrix[r * (n + 1) + j] -= f * matrix[i * (n + 1) + j];
            }
        for (std::size_t i = 0; i < n; ++i) c[i] += matrix[i * (n + 1) + n] / matrix[i * (n + 1) + i];
    }
    return c;
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Fits the confidences of the ear on takes made for tuning."};
    int seeds = 20;
    std::uint64_t first = 1;
    app.add_option("-n", seeds, "takes of each instrument and condition");
    app.add_option("-s", first, "the first seed");
    CLI11_PARSE(app, argc, argv);

    std::vector<Case> cases;
    for (const listening::Instrument& instrument : listening::instruments()) {
        if (instrument.held_out || !listening::installed(instrument)) continue;
        std::optional<listening::TakeMaker> maker = listening::TakeMaker::open(instrument);
        if (!maker) continue;
        // Harmonicas are what the ear is for; the other reeds stand for harps it has not met.
        const double weight = instrument.program == 22 ? 1.0 : 0.5;
        for (const listening::Condition condition : listening::every_condition)
            for (int i = 0; i < seeds; ++i)
                learn_from(
                    maker->make({&instrument, condition, first + static_cast<std::uint64_t>(i), false}),
                    weight, cases);
        std::fprintf(stderr, "%.*s: %zu notes so far\n", static_cast<int>(instrument.name.size()),
                     instrument.name.data(), cases.size());
    }
    const auto right = std::count_if(cases.begin(), cases.end(), [](const Case& c) { return c.right; });
    std::printf(
        "%zu notes, %.1f %% right\nconstexpr Witness coefficients{", cases.size(),
        100.0 * static_cast<double>(right) / static_cast<double>(std::max<std::size_t>(1, cases.size())));
    const std::vector<double> c = fitted(cases);
    for (std::size_t i = 0; i < c.size(); ++i) std::printf("%s%.3fF", i == 0 ? "" : ", ", c[i]);
    std::printf("};\n");
}
