// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <charconv>
#include <optional>
#include <string_view>
#include <type_traits>
#include <utility>

namespace lw::cli {
namespace {

/// All of `text` as a number, in figures as people write them: CLI11's own reading takes `0x5A`, `nan`, and `010` for 8.
template <class Number>
std::optional<Number> number_in(std::string_view text) {
    Number value{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

/// Rewrites a word into the number it means, or says what it is not.
template <class Number>
CLI::Validator number_between(Number low, Number high) {
    const std::string wanted = fmt::format("from {} to {}", low, high);
    return CLI::Validator{[low, high, wanted](std::string& text) -> std::string {
                              const auto value = number_in<Number>(text);
                              if (!value || !(*value >= low && *value <= high))  // `nan` is neither
                                  return fmt::format("`{}` is not a{} number {}", text,
                                                     std::is_integral_v<Number> ? " whole" : "", wanted);
                              text = fmt::format("{}", *value);
                              return {};
                          },
                          wanted};
}

/// `2`, `2nd`: what the head of a lick takes.
std::string without_ordinal(const std::string& text) {
    if (text.size() < 3) return text;
    std::string ending = text.substr(text.size() - 2);
    for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const bool ordinal = ending == "st" || ending == "nd" || ending == "rd" || ending == "th";
    return ordinal ? text.substr(0, text.size() - 2) : text;
}

/// `a4, letter or legal`.
std::string listed(const std::vector<std::string>& words) {
    std::string all;
    for (std::size_t i = 0; i < words.size(); ++i)
        all += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
    return all;
}

void takes_one_of(CLI::Option& option, const std::vector<std::string>& words) {
    option.type_name(fmt::to_string(fmt::join(words, "|")));
    option.check(CLI::Validator{[words](std::string& text) -> std::string {
                                    if (std::find(words.begin(), words.end(), text) != words.end()) return {};
                                    return fmt::format("`{}` is not {}", text, listed(words));
                                },
                                ""});
}

/// A script's variable that is empty would else be taken for an option that was not given.
CLI::Option& never_empty(CLI::Option& option) {
    option.check(CLI::Validator{
        [](std::string& text) -> std::string { return text.empty() ? "an empty word was given" : ""; }, ""});
    return option;
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
    takes_one_of(*option_, {words.begin(), words.end()});
    return *this;
}
const Setting& Setting::one_of(std::initializer_list<int> numbers) const {
    std::vector<std::string> words;
    for (const int n : numbers) words.push_back(std::to_string(n));
    takes_one_of(*option_, words);
    return *this;
}
const Setting& Setting::from_to(int low, int high) const {
    option_->transform(number_between(low, high));
    return *this;
}
const Setting& Setting::between(double low, double high) const {
    option_->transform(number_between(low, high));
    return *this;
}
const Setting& Setting::position() const {
    const CLI::Validator number = number_between(1, 12);
    option_->transform(CLI::Validator{[number](std::string& text) -> std::string {
                                          std::string inner = without_ordinal(text);
                                          if (!number(inner).empty())
                                              return fmt::format("`{}` is not a position from 1 to 12", text);
                                          text = inner;
                                          return {};
                                      },
                                      number.get_description()});
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
    : app_{program.add_subcommand(name, what_it_does)->group("Commands")} {}
void Command::footer(const std::string& text) {
    app_->footer(text);
}
Setting Command::option(const std::string& names, std::string& value, const std::string& what) {
    return Setting{never_empty(*app_->add_option(names, value, what)->type_name("WORD"))};
}
Setting Command::option(const std::string& names, std::vector<std::string>& values, const std::string& what) {
    return Setting{never_empty(*app_->add_option(names, values, what)->type_name("WORD"))};
}
Setting Command::option(const std::string& names, int& value, const std::string& what) {
    return Setting{*app_->add_option(names, value, what)->type_name("NUMBER")};
}
Setting Command::option(const std::string& names, double& value, const std::string& what) {
    return Setting{*app_->add_option(names, value, what)->type_name("NUMBER")};
}
Setting Command::flag(const std::string& names, bool& value, const std::string& what) {
    return Setting{*app_->add_flag(names, value, what)->disable_flag_override()};
}
void Command::house_option(std::string& file) {
    option("--house", file, "The house file, when it is not house.txt beside the text").type_name("FILE");
}
void Command::lick_option(std::string& number, const std::string& what) {
    option("--lick", number, what).type_name("NUMBER");
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
