// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/harp_words.hpp"

#include <fmt/format.h>

namespace lw::cli {

std::vector<std::string> with_harps_joined(std::vector<std::string> typed) {
    for (std::size_t i = 0; i + 2 < typed.size(); ++i) {
        if (typed[i] != "--harp" || (typed[i + 1] != "low" && typed[i + 1] != "high")) continue;
        if (!harp::harp_named(typed[i + 2])) continue;  // a file
        typed[i + 1] += " " + typed[i + 2];
        typed.erase(typed.begin() + static_cast<std::ptrdiff_t>(i) + 2);
    }
    return typed;
}

std::optional<harp::Harp> named_harp(Report& report, const std::string& name) {
    const auto harp = harp::harp_named(name);
    if (harp) return *harp;
    report.trouble(
        {harp.error(),
         "Keys are C Db D Eb E F F# G Ab A Bb B, with `low` or `high` before it where such harps are "
         "made."});
    return std::nullopt;
}

}  // namespace lw::cli
