// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <exception>
#include <new>
#include <numeric>
#include <string_view>
#include <vector>

#include "workshop/cli/commands.hpp"
#include "workshop/cli/harp_words.hpp"
#include "workshop/cli/help.hpp"
#include "workshop/cli/report.hpp"

namespace {

constexpr const char* what_it_is =
    "Lickwright: type a harmonica lick, get everything a learner takes home.\n\n"
    "A lick is a short phrase written as tab with its exact place in the beat; a lesson is a Markdown file "
    "with licks\n"
    "in it. From either come the sheet, the practice audio, the on-screen tab for the video, MIDI and the "
    "words to say.";

constexpr const char* first_steps =
    "First steps:\n"
    "  lickwright check lesson.md                 is everything playable?\n"
    "  lickwright pack lesson.md --into out       make all of it\n"
    "  lickwright harp C --position 2             what a C harp plays in second position\n\n"
    "docs/language.md explains how a lick is written. Exit status: 0 all went well, 1 the text has faults,\n"
    "2 the command could not do its work.";

/// How many letters one has to change, add or drop (Levenshtein 1966).
std::size_t distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t corner = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = corner + (a[i - 1] == b[j - 1] ? 0 : 1);
            corner = row[j];
            row[j] = std::min({change, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row.back();
}

std::vector<const CLI::App*> commands_of(const CLI::App& program) {
    return program.get_subcommands([](const CLI::App*) { return true; });
}

bool is_command(const CLI::App& program, std::string_view word) {
    const auto commands = commands_of(program);
    return std::any_of(commands.begin(), commands.end(),
                       [&](const CLI::App* c) { return c->get_name() == word; });
}

/// The first word was no command: says so, and which one is nearest.
int unknown_command(const CLI::App& program, std::string_view word) {
    const CLI::App* nearest = nullptr;
    std::size_t best = 4;  // further away than three letters it is another word
    for (const CLI::App* command : commands_of(program)) {
        const std::size_t d = distance(word, command->get_name());
        if (d < best) {
            best = d;
            nearest = command;
        }
    }
    fmt::print(stderr, "lickwright: there is no command `{}`\n", word);
    if (nearest != nullptr)
        fmt::print(stderr, "  The nearest is `lickwright {}`.\n", nearest->get_name());
    else
        fmt::print(stderr, "  `lickwright --help` lists them.\n");
    return lw::cli::could_not;
}

/// Has whoever read our output gone, as `head` does when it has seen enough?
bool reader_has_gone() {
    pollfd out{STDOUT_FILENO, POLLOUT, 0};
    return ::poll(&out, 1, 0) == 1 && (out.revents & POLLERR) != 0;
}

/// What was said must have arrived: a full disk behind `>` is a failure like any other. A reader that has seen enough
/// is none.
int told(int status) {
    if (std::fflush(stdout) == 0 && std::ferror(stdout) == 0) return status;
    if (reader_has_gone()) return status;
    fmt::print(
        stderr,
        "lickwright: what it had to say could not be written: {}\n  Free some space, or send it elsewhere.\n",
        std::strerror(errno));
    return lw::cli::could_not;
}

/// A wrong word gets a remedy rather than the whole help.
int explain(const CLI::App& program, const CLI::ParseError& error, bool json) {
    if (error.get_exit_code() == 0) return told(program.exit(error));  // --help and --version
    const auto chosen = program.get_subcommands();
    const CLI::App& command = chosen.empty() ? program : *chosen.front();
    const std::string name = chosen.empty() ? "" : command.get_name();
    std::string words = lw::cli::words_of(command, error);
    // What a command refuses by itself begins with its name already.
    if (!name.empty() && words.rfind(name + ": ", 0) == 0) words.erase(0, name.size() + 2);
    const std::string remedy =
        fmt::format("`lickwright {}--help` shows what can be said.", name.empty() ? "" : name + " ");
    if (json) {
        lw::cli::Report report{name, true};
        report.trouble({words, remedy});
        return told(report.finish());
    }
    fmt::print(stderr, "lickwright{}: {}\n  {}\n", name.empty() ? "" : " " + name, words, remedy);
    return lw::cli::could_not;
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is an error of that write, not the end of the program
    CLI::App program{what_it_is, "lickwright"};
    program.footer(first_steps);
    program.set_version_flag("--version", "lickwright " LICKWRIGHT_VERSION, "Show the version and stop");
    program.set_help_flag("--help", "Show this and stop");
    program.require_subcommand(1);
    program.formatter(lw::cli::our_help());
    program.option_defaults()->group("Options");

    lw::cli::Work work;
    lw::cli::add_check(program, work);
    lw::cli::add_tidy(program, work);
    lw::cli::add_sheet(program, work);
    lw::cli::add_sound(program, work);
    lw::cli::add_screen(program, work);
    lw::cli::add_convert(program, work);
    lw::cli::add_pack(program, work);
    lw::cli::add_embed(program, work);
    lw::cli::add_page(program, work);
    lw::cli::add_site(program, work);
    lw::cli::add_harp(program, work);
    lw::cli::add_listen(program, work);
    lw::cli::add_compare(program, work);
    try {
        if (argc > 1 && argv[1][0] != '-' && !is_command(program, argv[1]))
            return unknown_command(program, argv[1]);
        auto typed = lw::cli::with_harps_joined({argv + 1, argv + argc});
        std::reverse(typed.begin(), typed.end());  // as CLI11 wants them
        program.parse(typed);
        return told(work());
    } catch (const CLI::ParseError& error) {
        return explain(program, error,
                       std::any_of(argv, argv + argc, [](std::string_view a) { return a == "--json"; }));
    } catch (const std::bad_alloc&) {
        fmt::print(stderr, "lickwright: there is not enough memory for this\n");
    } catch (const std::exception& error) {
        if (reader_has_gone()) return lw::cli::all_well;  // printing into it is what failed
        fmt::print(stderr, "lickwright: {}\n", error.what());
    }
    return lw::cli::could_not;
}
