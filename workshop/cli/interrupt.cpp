// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/interrupt.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <csignal>

#include "workshop/cli/report.hpp"

namespace lw::cli {
namespace {

// A signal handler may touch nothing but a lock-free atomic; there is no other place for it than here.
std::atomic<bool> stop{false};
static_assert(std::atomic<bool>::is_always_lock_free);

// What is said when an interrupt ends the program at once, and where; a handler may only write what lies ready.
struct LastWords {
    std::array<char, 256> text{};
    std::size_t length = 0;
    int out = -1;
};
LastWords last_words;
std::atomic<bool> ends_at_once{false};

void on_signal(int signal) {
    if (ends_at_once) {
        [[maybe_unused]] const auto said = ::write(last_words.out, last_words.text.data(), last_words.length);
        ::_exit(could_not);
    }
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

EndsAtOnce::EndsAtOnce(const char* command, bool json) {
    const auto end =
        json ? fmt::format_to_n(
                   last_words.text.begin(), last_words.text.size(),
                   "{{\"command\":\"{}\",\"ok\":false,\"faults\":[],\"trouble\":{{\"words\":\"stopped\","
                   "\"remedy\":\"Nothing was written.\"}}}}\n",
                   command)
             : fmt::format_to_n(last_words.text.begin(), last_words.text.size(),
                                "{}lickwright {}: stopped\n  Nothing was written.\n",
                                ::isatty(STDERR_FILENO) == 1 ? "\r\x1b[K" : "", command);
    last_words.length = end.size;
    // A copy: standard error may be hushed for a moment (workshop/listen/sound_file.cpp).
    last_words.out = ::fcntl(json ? STDOUT_FILENO : STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
    static_cast<void>(stop_wanted());
    ends_at_once = true;
}

EndsAtOnce::~EndsAtOnce() {
    ends_at_once = false;
    ::close(last_words.out);
}

}  // namespace lw::cli
