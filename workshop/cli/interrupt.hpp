// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>

namespace lw::cli {

/// Turns true at the first interrupt (Ctrl-C) or request to end; the work stops at its next safe place and cleans up.
/// A second interrupt ends the program at once. From this call on the signals are ours.
[[nodiscard]] const std::atomic<bool>& stop_wanted() noexcept;

}  // namespace lw::cli
