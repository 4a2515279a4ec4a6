// SPDX-License-Identifier: Apache-2.0
#include "engine/text/report.hpp"

#include <algorithm>

namespace lw::text {
namespace {

/// More than this is not a text with faults but a text of another kind.
constexpr std::size_t most_faults = 500;

std::string filled(std::string_view words, std::initializer_list<Fill> fills) {
    std::string out;
    while (!words.empty()) {
        const Fill* found = nullptr;
        if (words.front() == '{') {
            for (const Fill& fill : fills) {
                const std::size_t end = fill.name.size() + 1;
                if (words.size() > end && words[end] == '}' && words.substr(1, fill.name.size()) == fill.name)
                    found = &fill;
            }
        }
        if (found != nullptr) {
            out += found->text;
            words.remove_prefix(found->name.size() + 2);
        } else {
            out += words.front();
            words.remove_prefix(1);
        }
    }
    return out;
}

}  // namespace

void Report::add(Fault fault, lick::Place place, std::initializer_list<Fill> fills) {
    if (full_) return;
    if (diagnostics_.size() == most_faults) {
        fault = Fault::too_many_faults;
        full_ = true;
    }
    const FaultRow& row = row_of(fault);
    diagnostics_.push_back({row.slug, row.level, place, filled(row.words, fills), filled(row.remedy, fills)});
}

void sort_by_place(std::vector<Diagnostic>& diagnostics) {
    std::stable_sort(diagnostics.begin(), diagnostics.end(), [](const Diagnostic& a, const Diagnostic& b) {
        return a.place.line != b.place.line ? a.place.line < b.place.line : a.place.column < b.place.column;
    });
}

void cut_short(std::vector<Diagnostic>& diagnostics) {
    const FaultRow& row = row_of(Fault::too_many_faults);
    // One of its licks may have said so already, for itself.
    const bool more = std::erase_if(diagnostics, [&](const Diagnostic& d) { return d.slug == row.slug; }) > 0;
    if (diagnostics.size() <= most_faults && !more) return;
    if (diagnostics.size() > most_faults) diagnostics.resize(most_faults);
    const lick::Place place = diagnostics.back().place;
    diagnostics.push_back({row.slug, row.level, place, std::string{row.words}, std::string{row.remedy}});
}

std::vector<Diagnostic> Report::take() {
    sort_by_place(diagnostics_);
    return std::move(diagnostics_);
}

}  // namespace lw::text
