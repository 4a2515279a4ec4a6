// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a command asks of the command line: its words, options and flags. A thin door before CLI11, which is slow to
// compile and stays behind it (command_line.cpp); a command's file only says what can be said.
#pragma once

#include <functional>
#include <initializer_list>
#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace lw::cli {

/// One option or flag, told more of. A handle: copies speak of the same option.
class Setting {
  public:
    explicit Setting(CLI::Option& option) : option_{&option} {}
    const Setting& required() const;
    /// What stands for its value in `--help`: FILE, BPM.
    const Setting& type_name(const std::string& word) const;
    const Setting& shows_default() const;
    const Setting& one_of(std::initializer_list<const char*> words) const;
    const Setting& one_of(std::initializer_list<int> numbers) const;
    /// A whole number from `low` to `high`.
    const Setting& from_to(int low, int high) const;
    /// A finite number from `low` to `high`.
    const Setting& between(double low, double high) const;
    /// A position on the harp, 1 to 12: `2` or `2nd`, as in the head of a lick.
    const Setting& position() const;
    /// Takes from `fewest` to `most` words, such as `low D`.
    const Setting& words(int fewest, int most) const;
    /// Never together with that one.
    const Setting& excludes(Setting other) const;

  private:
    CLI::Option* option_;
};

/// One command. A value given on the command line is written into what the option was bound to.
class Command {
  public:
    Command(CLI::App& program, const std::string& name, const std::string& what_it_does);
    /// Stands at the end of its `--help`: examples and cautions.
    void footer(const std::string& text);
    /// Words are never empty, numbers stand in figures.
    Setting option(const std::string& names, std::string& value, const std::string& what);
    Setting option(const std::string& names, std::vector<std::string>& values, const std::string& what);
    Setting option(const std::string& names, int& value, const std::string& what);
    Setting option(const std::string& names, double& value, const std::string& what);
    Setting flag(const std::string& names, bool& value, const std::string& what);
    /// `--house FILE`, of every command that reads a lick or a lesson.
    void house_option(std::string& file);
    /// `--lick NUMBER`, as it was typed: what it may be depends on the text (chosen_licks).
    void lick_option(std::string& number, const std::string& what);
    /// `--into FOLDER`, of every command that makes several files; `what` ends with what becomes of earlier ones.
    void into_option(std::string& folder, const std::string& what);
    /// `--json`, of every command.
    void json_flag(bool& json);
    /// Called when this was the command chosen and its options are read.
    void chosen(std::function<void()> what);

  private:
    CLI::App* app_;
};

/// From inside `chosen`: what was said does not fit together.
[[noreturn]] void refuse(const std::string& command, const std::string& why);

}  // namespace lw::cli
