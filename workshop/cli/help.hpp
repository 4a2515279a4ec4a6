// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the command line says of itself, in our words: the help of a command, and what is wrong with what was typed.
// CLI11 would speak of positionals and subcommands, and print ranges as it stores them.
#pragma once

#include <memory>
#include <string>

namespace CLI {
class App;
class FormatterBase;
class Option;
class ParseError;
}  // namespace CLI

namespace lw::cli {

/// Prints `--help`.
[[nodiscard]] std::shared_ptr<CLI::FormatterBase> our_help();

/// What an option takes: `FILE`, `BPM from 20 to 400`, `a4|letter`.
[[nodiscard]] std::string wanted_by(const CLI::Option& option);

/// What was typed wrong: the option by its name, what was given, and what is wanted.
[[nodiscard]] std::string words_of(const CLI::App& command, const CLI::ParseError& error);

}  // namespace lw::cli
