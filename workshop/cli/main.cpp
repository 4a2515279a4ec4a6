// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <csignal>
#include <cstdio>
#include <exception>
#include <new>

#include "workshop/cli/commands.hpp"
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

/// `pakc` is close to `pack`; a wrong word gets a remedy rather than the whole help.
int explain(const CLI::App& program, const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return program.exit(error);  // --help and --version
    fmt::print(stderr, "lickwright: {}\n", error.what());
    const auto chosen = program.get_subcommands();
    fmt::print(stderr, "  `lickwright {}--help` shows what can be said.\n",
               chosen.empty() ? "" : chosen.front()->get_name() + " ");
    return lw::cli::could_not;
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is an error of that write, not the end of the program
    CLI::App program{what_it_is, "lickwright"};
    program.footer(first_steps);
    program.set_version_flag("--version", "lickwright " LICKWRIGHT_VERSION);
    program.set_help_flag("--help", "Show this and stop");
    program.require_subcommand(1);
    program.option_defaults()->group("Options");

    lw::cli::Work work;
    lw::cli::add_check(program, work);
    lw::cli::add_tidy(program, work);
    lw::cli::add_sheet(program, work);
    lw::cli::add_sound(program, work);
    lw::cli::add_screen(program, work);
    lw::cli::add_convert(program, work);
    lw::cli::add_pack(program, work);
    lw::cli::add_harp(program, work);
    try {
        program.parse(argc, argv);
        return work();
    } catch (const CLI::ParseError& error) {
        return explain(program, error);
    } catch (const std::bad_alloc&) {
        fmt::print(stderr, "lickwright: there is not enough memory for this\n");
    } catch (const std::exception& error) {
        fmt::print(stderr, "lickwright: {}\n", error.what());
    }
    return lw::cli::could_not;
}
