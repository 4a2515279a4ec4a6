// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdlib>
#include <utility>

namespace lw::cli {
namespace {

/// A number from `low` to `high`; CLI11's own range lets "nan" through.
CLI::Validator number_between(double low, double high) {
    const std::string wanted = fmt::format("from {} to {}", low, high);
    return CLI::Validator{[low, high, wanted](std::string& text) -> std::string {
                              char* end = nullptr;
                              const double value = std::strtod(text.c_str(), &end);
                              const bool number = end != text.c_str() && *end == '\0' && std::isfinite(value);
                              return number && value >= low && value <= high
                                         ? std::string{}
                                         : fmt::format("`{}` is not a number {}", text, wanted);
                          },
                          wanted};
}

}  // namespace

const Setting& Setting::required() const {
    option_->required();
    return *this;
}
const Setting& Setting::type_name(const std::string& word) const {
    option_->type_name(word);
    return *this;
}
const Setting& Setting::shows_default() const {
    option_->capture_default_str();
    return *this;
}
const Setting& Setting::one_of(std::initializer_list<const char*> words) const {
    option_->check(CLI::IsMember(std::vector<std::string>(words.begin(), words.end())));
    return *this;
}
const Setting& Setting::one_of(std::initializer_list<int> numbers) const {
    option_->check(CLI::IsMember(std::vector<int>(numbers)));
    return *this;
}
const Setting& Setting::from_to(int low, int high) const {
    option_->check(CLI::Range(low, high));
    return *this;
}
const Setting& Setting::between(double low, double high) const {
    option_->check(number_between(low, high));
    return *this;
}
const Setting& Setting::positive() const {
    option_->check(CLI::PositiveNumber);
    return *this;
}
const Setting& Setting::words(int fewest, int most) const {
    option_->expected(fewest, most);
    return *this;
}
const Setting& Setting::excludes(Setting other) const {
    option_->excludes(other.option_);
    return *this;
}

Command::Command(CLI::App& program, const std::string& name, const std::string& what_it_does)
    : app_{program.add_subcommand(name, what_it_does)} {}
void Command::footer(const std::string& text) {
    app_->footer(text);
}
Setting Command::option(const std::string& names, std::string& value, const std::string& what) {
    return Setting{*app_->add_option(names, value, what)};
}
Setting Command::option(const std::string& names, std::vector<std::string>& values, const std::string& what) {
    return Setting{*app_->add_option(names, values, what)};
}
Setting Command::option(const std::string& names, int& value, const std::string& what) {
    return Setting{*app_->add_option(names, value, what)};
}
Setting Command::option(const std::string& names, double& value, const std::string& what) {
    return Setting{*app_->add_option(names, value, what)};
}
Setting Command::flag(const std::string& names, bool& value, const std::string& what) {
    return Setting{*app_->add_flag(names, value, what)};
}
void Command::house_option(std::string& file) {
    option("--house", file, "The house file, when it is not house.txt beside the text").type_name("FILE");
}
void Command::into_option(std::string& folder, const std::string& what) {
    option("--into", folder, what).required().type_name("FOLDER");
}

void Command::json_flag(bool& json) {
    flag("--json", json, "Say it as one JSON object");
}
void Command::chosen(std::function<void()> what) {
    app_->callback(std::move(what));
}

void refuse(const std::string& command, const std::string& why) {
    throw CLI::ValidationError(command, why);
}

}  // namespace lw::cli
