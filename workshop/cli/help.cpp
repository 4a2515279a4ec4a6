// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/help.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <string_view>

namespace lw::cli {
namespace {

bool takes_many(const CLI::Option& option) {
    return option.get_expected_max() >= CLI::detail::expected_max_vector_size;
}

/// `-o`, or `--into` where there is no short one.
std::string shortest_name(const CLI::Option& option) {
    return option.get_snames().empty() ? option.get_name() : "-" + option.get_snames().front();
}

class Help final : public CLI::Formatter {
  public:
    Help() { label("Positionals", "Takes"); }

    std::string make_usage(const CLI::App* app, std::string name) const override {
        std::string line = "Usage: " + name;
        if (!app->get_subcommands([](const CLI::App*) { return true; }).empty()) line += " COMMAND";
        for (const CLI::Option* o : app->get_options()) {
            if (!o->get_positional()) continue;
            const std::string word = wanted_by(*o) + (takes_many(*o) ? "..." : "");
            line += o->get_required() ? " " + word : " [" + word + "]";
        }
        for (const CLI::Option* o : app->get_options())
            if (!o->get_positional() && o->get_required())
                line += " " + shortest_name(*o) + " " + wanted_by(*o);
        return line + " [options]\n";
    }

    std::string make_option_name(const CLI::Option* option, bool is_positional) const override {
        return is_positional ? wanted_by(*option) : option->get_name(false, true);
    }

    std::string make_option_opts(const CLI::Option* option) const override {
        if (option->get_positional()) return takes_many(*option) ? "..." : "";
        std::string all;
        if (const std::string word = wanted_by(*option); !word.empty()) all += " " + word;
        if (option->get_required()) all += " (needed)";
        for (const CLI::Option* other : option->get_excludes())
            all += fmt::format(" (not with {})", other->get_name());
        return all;
    }

    std::string make_option_desc(const CLI::Option* option) const override {
        const std::string usual = option->get_default_str();
        return option->get_description() + (usual.empty() ? "" : fmt::format(" ({} unless said)", usual));
    }
};

/// How an option is called: `--tempo`, and `FILE` where it is no more than a place.
std::string name_of(const CLI::Option& option) {
    return option.get_positional() ? wanted_by(option) : option.get_name();
}

/// `--into FOLDER is missing: the folder for it`, out of an option's own words.
std::string missing_in(const CLI::App& command) {
    for (const CLI::Option* o : command.get_options())
        if (o->get_required() && o->empty())
            return fmt::format("{}{} is missing: {}", o->get_positional() ? "" : o->get_name() + " ",
                               wanted_by(*o), o->get_description());
    return {};
}

/// An option that this command has not, if one was typed.
std::string no_option_in(const CLI::App& command) {
    for (const std::string& word : command.remaining())
        if (word.rfind('-', 0) == 0) return fmt::format("there is no option `{}`", word);
    return {};
}

std::string not_together_in(const CLI::App& command) {
    for (const CLI::Option* o : command.get_options())
        for (const CLI::Option* other : o->get_excludes())
            if (!o->empty() && !other->empty())
                return fmt::format("{} and {} do not go together", o->get_name(), other->get_name());
    return {};
}

/// The option that an error of CLI11 is about: its words begin with the name, of a flag without the dashes.
const CLI::Option* option_of(const CLI::App& command, std::string_view words) {
    const std::string first{words.substr(0, words.find_first_of(": "))};
    for (const CLI::Option* o : command.get_options())
        if (o->get_name() == first || o->get_name() == "--" + first) return o;
    return nullptr;
}

/// Too many words for an option, or none.
std::string wrong_count(const CLI::Option& option) {
    if (wanted_by(option).empty()) return option.get_name() + " takes no value";  // a flag
    const auto count = static_cast<int>(option.results().size());
    if (count <= option.get_items_expected_max())
        return fmt::format("{} is given nothing, and takes {}", option.get_name(), wanted_by(option));
    if (option.get_positional()) return fmt::format("`{}` is one word too many", option.results().back());
    return option.get_name() + " is given more than once";
}

template <class Kind>
bool is(const CLI::ParseError& error) {
    return dynamic_cast<const Kind*>(&error) != nullptr;
}

}  // namespace

std::shared_ptr<CLI::FormatterBase> our_help() {
    return std::make_shared<Help>();
}

std::string wanted_by(const CLI::Option& option) {
    std::string words = option.get_type_name();  // CLI11 joins what it checks with a colon
    if (const auto colon = words.find(':'); colon != std::string::npos) words[colon] = ' ';
    return words;
}

std::string words_of(const CLI::App& command, const CLI::ParseError& error) {
    const bool missing = is<CLI::RequiredError>(error);
    const bool more = is<CLI::ExtrasError>(error);
    std::string words;
    // A mistyped option is also why one is missing.
    if (missing || more) words = no_option_in(command);
    if (words.empty() && missing) words = missing_in(command);
    if (words.empty() && missing && command.get_parent() == nullptr) words = "a command is missing";
    if (words.empty() && more && !command.remaining().empty())
        words = fmt::format("`{}` is one word too many", command.remaining().front());
    if (is<CLI::ExcludesError>(error)) words = not_together_in(command);
    if (!words.empty()) return words;
    words = error.what();
    const CLI::Option* option = option_of(command, words);
    if (option == nullptr) return words;
    if (is<CLI::ArgumentMismatch>(error)) return wrong_count(*option);
    return name_of(*option) + words.substr(option->get_name().size());
}

}  // namespace lw::cli
