// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/hear/table.hpp"

#include <algorithm>
#include <cstdio>

#include "engine/text/text.hpp"

namespace lw::bench {
namespace {

using namespace listening;

double share(std::size_t part, std::size_t whole) {
    return whole == 0 ? 0.0 : static_cast<double>(part) / static_cast<double>(whole);
}

double median(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + std::ssize(values) / 2;
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

std::string word_of(const hear::HeardNote& note) {
    std::string word = note.joined ? ">" : "";
    if (note.tab.holes.empty()) {
        word += harp::note_name(note.pitch);
    } else {
        word += text::to_text(note.tab);
    }
    for (const hear::HeardGesture& g : note.gestures) {
        word += '{';
        word += lick::word(g.gesture);
        if (g.other_hole != 0) word += ' ' + std::to_string(g.other_hole);
        word += '}';
    }
    return word;
}

}  // namespace

void print_head() {
    std::printf("%-13s %-11s %5s %6s %6s %6s %6s %6s %6s %7s %7s %9s %9s\n", "condition", "who", "takes",
                "onset", "pitch", "offset", "tab", "strict", "wanted", "voiced", "filled", "raw pitch",
                "late ms");
}

void print_row(std::string_view condition, std::string_view who, const Score& s, double wanted) {
    // What was not measured is not printed as nothing found.
    const auto cell = [](int width, const char* format, double value, bool measured) {
        char text[32] = "-";
        if (measured) std::snprintf(text, sizeof text, format, value);
        std::printf(" %*s", width, text);
    };
    std::printf("%-13s %-11s %5zu", std::string{condition}.c_str(), std::string{who}.c_str(), s.takes);
    for (const Hits* h : {&s.onset, &s.pitch, &s.offset, &s.tab, &s.tab_strictly})
        cell(6, "%.3f", h->f1(), h->planted > 0);
    cell(6, "%.2f", wanted, wanted > 0.0);
    cell(7, "%.3f", share(s.voiced_found, s.voiced), s.voiced > 0);
    cell(7, "%.3f", share(s.silent_filled, s.silent), s.silent > 0);
    cell(9, "%.3f", share(s.voiced_right, s.voiced), s.voiced > 0);
    cell(9, "%.1f", 1e3 * median(s.onset_errors_s), !s.onset_errors_s.empty());
    std::printf("\n");
    std::fflush(stdout);
}

void print_kinds(const Score& s) {
    std::printf("%-12s %8s %8s %6s %9s %6s\n", "kind", "planted", "answered", "F1", "precision", "recall");
    for (std::size_t k = 0; k < kind_count; ++k) {
        const Hits& h = s.kinds[k];
        if (h.planted + h.answered == 0) continue;
        std::printf("%-12s %8zu %8zu %6.3f %9.3f %6.3f\n", name(static_cast<Kind>(k)).data(), h.planted,
                    h.answered, h.f1(), h.precision(), h.recall());
    }
}

void print_reliability(const Score& s) {
    std::printf("confidence    notes   said  found\n");
    const auto rows = reliability(s.judged);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].notes == 0) continue;
        std::printf("%.1f to %.1f  %7zu  %.3f  %.3f\n", static_cast<double>(i) / 10.0,
                    static_cast<double>(i + 1) / 10.0, rows[i].notes, rows[i].said, rows[i].found);
    }
    const auto auc = area_under_curve(s.judged);
    std::printf("expected calibration error %.3f, area under curve %s\n",
                expected_calibration_error(s.judged),
                auc ? std::to_string(*auc).substr(0, 5).c_str() : "none (all right or all wrong)");
}

void print_errors(std::string_view title, const Score& s) {
    const auto line = [&](const char* what, const std::vector<double>& values, double unit) {
        if (values.empty()) return;
        std::printf("%-13s %-22s median %5.1f  95th %5.1f  of %zu\n", std::string{title}.c_str(), what,
                    unit * *percentile_of_sizes(values, 0.5), unit * *percentile_of_sizes(values, 0.95),
                    values.size());
    };
    line("onset, ms", s.onset_errors_s, 1e3);
    line("settled bend, cents", s.bend_errors_cents, 1.0);
    line("bend path, cents", s.path_errors_cents, 1.0);
}

void print_side_by_side(const harp::Harp& harp, std::span<const TruthNote> truth, const hear::Heard& answer) {
    const auto pairs = match(truth.size(), answer.notes.size(), [&](std::size_t t, std::size_t a) {
        return onset_fits(truth[t], answer.notes[a]) && tab_fits(harp, truth[t], answer.notes[a], false);
    });
    std::vector<std::ptrdiff_t> partner(truth.size(), -1);
    std::vector<bool> taken(answer.notes.size());
    for (const auto& [t, a] : pairs) {
        partner[t] = static_cast<std::ptrdiff_t>(a);
        taken[a] = true;
    }
    const auto side = [](const hear::HeardNote& n) {
        char text[96];
        std::snprintf(text, sizeof text, "%7.3f %6.3f  %-16s %5.2f", n.onset.value,
                      (n.offset - n.onset).value, word_of(n).c_str(), n.bend.value);
        return std::string{text};
    };
    std::size_t a = 0;
    const auto alone_before = [&](double t) {
        for (; a < answer.notes.size() && answer.notes[a].onset.value < t; ++a)
            if (!taken[a])
                std::printf("  %-40s + %s  %.2f\n", "", side(answer.notes[a]).c_str(),
                            answer.notes[a].confidence);
    };
    for (std::size_t t = 0; t < truth.size(); ++t) {
        alone_before(truth[t].note.onset.value);
        if (partner[t] < 0) {
            std::printf("- %s\n", side(truth[t].note).c_str());
        } else {
            const auto& fits = answer.notes[static_cast<std::size_t>(partner[t])];
            std::printf("  %-40s   %s  %.2f\n", side(truth[t].note).c_str(), side(fits).c_str(),
                        fits.confidence);
        }
    }
    alone_before(1e9);
}

}  // namespace lw::bench
