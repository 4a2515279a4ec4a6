// SPDX-License-Identifier: Apache-2.0
//
// What can be wrong with a text, and how it is said. One table row per fault (faults.cpp): slug, level,
// words, remedy. Slugs are permanent: --json and tests/diagnostics/<slug>/ refer to them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/lick/lick.hpp"

namespace lw::text {

enum class Level : std::uint8_t { error, warning };

struct Diagnostic {
    std::string_view slug;  // of static storage
    Level level = Level::error;
    lick::Place place;
    std::string words;   // one sentence: what is wrong
    std::string remedy;  // one sentence: what to do
};

[[nodiscard]] bool has_errors(const std::vector<Diagnostic>& diagnostics) noexcept;

/// `file:line:column: error: words [slug]`, the source line, a caret under the place, the remedy; each on a
/// line.
[[nodiscard]] std::string explain(const Diagnostic& diagnostic, std::string_view file,
                                  std::string_view source);

}  // namespace lw::text
