// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the programs of this folder are asked for by name. Whatever is not there is one line that says what to do.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "tests/hear/listening/take.hpp"

namespace lw::bench {

// All throw std::runtime_error with that line.
[[nodiscard]] listening::Condition condition_asked(const std::string& word);
[[nodiscard]] const listening::Instrument& instrument_asked(const std::string& word);
[[nodiscard]] listening::TakeMaker maker_of(const listening::Instrument& instrument);

/// Runs a program's work; an exception becomes `program: what` on standard error and exit status 2.
[[nodiscard]] int answer(const std::string& program, const std::function<int()>& work);

}  // namespace lw::bench
