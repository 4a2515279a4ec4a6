// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "workshop/cli/command_line.hpp"

namespace lw::cli {

/// What the program does once the command line is understood; gives the exit status.
using Work = std::function<int()>;

// Each adds its command to the program; `work` is set when the command was the one chosen.
void add_check(CLI::App& program, Work& work);
void add_tidy(CLI::App& program, Work& work);
void add_sheet(CLI::App& program, Work& work);
void add_sound(CLI::App& program, Work& work);
void add_screen(CLI::App& program, Work& work);
void add_convert(CLI::App& program, Work& work);
void add_pack(CLI::App& program, Work& work);
void add_embed(CLI::App& program, Work& work);
void add_page(CLI::App& program, Work& work);
void add_site(CLI::App& program, Work& work);
void add_harp(CLI::App& program, Work& work);
void add_listen(CLI::App& program, Work& work);
void add_compare(CLI::App& program, Work& work);

}  // namespace lw::cli
