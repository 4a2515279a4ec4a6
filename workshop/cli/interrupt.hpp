// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>

namespace lw::cli {

/// Turns true at the first interrupt (Ctrl-C) or request to end; the work stops at its next safe place and cleans up.
/// A second interrupt ends the program at once. From this call on the signals are ours.
[[nodiscard]] const std::atomic<bool>& stop_wanted() noexcept;

/// While one lives, an interrupt ends the program then and there, after one line (or one JSON object) that says so:
/// for long work that writes nothing and has no place where it could look up. One at a time.
class EndsAtOnce {
  public:
    EndsAtOnce(const char* command, bool json);
    EndsAtOnce(const EndsAtOnce&) = delete;
    EndsAtOnce& operator=(const EndsAtOnce&) = delete;
    ~EndsAtOnce();
};

}  // namespace lw::cli
