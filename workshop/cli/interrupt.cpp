// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/interrupt.hpp"

#include <csignal>

namespace lw::cli {
namespace {

// A signal handler may touch nothing but a lock-free atomic; there is no other place for it than here.
std::atomic<bool> stop{false};
static_assert(std::atomic<bool>::is_always_lock_free);

void on_signal(int signal) {
    stop = true;
    std::signal(signal, SIG_DFL);
}

}  // namespace

const std::atomic<bool>& stop_wanted() noexcept {
    std::signal(SIGINT, on_signal);
    std::signal(SIGTERM, on_signal);
    std::signal(SIGHUP, on_signal);  // the terminal was closed
    return stop;
}

}  // namespace lw::cli
