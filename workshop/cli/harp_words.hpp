// SPDX-License-Identifier: GPL-3.0-or-later
//
// A harp as it is named on the command line: `A`, `low D`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/harp/harp.hpp"
#include "workshop/cli/report.hpp"

namespace lw::cli {

/// What was typed, with `--harp low D` as one word behind `--harp`: an option that might take two would swallow the file
/// that follows `--harp C`.
[[nodiscard]] std::vector<std::string> with_harps_joined(std::vector<std::string> typed);

/// Trouble, with the keys there are, when this names no harp.
[[nodiscard]] std::optional<harp::Harp> named_harp(Report& report, const std::string& name);

}  // namespace lw::cli
