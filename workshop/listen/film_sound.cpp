// SPDX-License-Identifier: GPL-3.0-or-later
#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <vector>

#include "workshop/listen/decoder.hpp"

extern char** environ;

namespace lw::listen {
namespace {

constexpr int film_rate = 48000;
constexpr int film_channels = 2;

/// What ffmpeg says of a film, in our words; it is known by what these two lines have said for many years.
std::string in_our_words(const std::string& said) {
    if (said.empty()) return {};
    if (said.find("matches no streams") != std::string::npos) return "it has no sound";
    if (said.find("moov atom not found") != std::string::npos)
        return "it is cut off: the part that says where its sound lies is missing";
    return "parts of it are damaged";
}

class FilmSound final : public Decoder {
  public:
    FilmSound(pid_t pid, int out, int words, const std::atomic<bool>* stop)
        : pid_(pid), out_(out), words_(words), stop_(stop) {}
    ~FilmSound() override {
        end();
        ::close(out_);
        ::close(words_);
    }
    int rate() const noexcept override { return film_rate; }
    int channels() const noexcept override { return film_channels; }
    std::optional<std::size_t> frames() const noexcept override { return std::nullopt; }
    bool go_to(std::size_t) override { return false; }  // it was started there

    std::size_t read(std::span<float> samples) override {
        const std::size_t wanted = samples.size() / film_channels * film_channels * sizeof(float);
        auto* bytes = reinterpret_cast<char*>(samples.data());
        std::size_t got = 0;
        while (got < wanted && wait_for_sound()) {
            const ssize_t n = ::read(out_, bytes + got, wanted - got);
            if (n < 0 && errno == EINTR) continue;
            if (n <= 0) {
                all_read_ = true;
                break;
            }
            got += static_cast<std::size_t>(n);
        }
        return got / (film_channels * sizeof(float));
    }

    std::string complaint() override {
        if (!all_read_) return {};  // what it would have said of the rest is not our business
        end();
        std::string said(4096, '\0');
        const ssize_t n = ::pread(words_, said.data(), said.size(), 0);
        said.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
        return in_our_words(said);
    }

  private:
    /// False when the run was stopped: a film that gives nothing must not keep us.
    [[nodiscard]] bool wait_for_sound() const {
        constexpr int look_up_ms = 100;
        while (stop_ == nullptr || !*stop_) {
            pollfd out{out_, POLLIN, 0};
            if (const int ready = ::poll(&out, 1, look_up_ms); ready > 0) return true;
        }
        return false;
    }
    /// Ends it and whatever it started, at once: it writes no file, and a program that is asked may take its time.
    void end() noexcept {
        if (pid_ <= 0) return;
        if (all_read_) {
            // It is about to end by itself; the words it says last come after its last sample.
            for (int ms = 0; ms < 500; ms += 5) {
                if (::waitpid(pid_, nullptr, WNOHANG) != 0) {
                    pid_ = -1;
                    return;
                }
                ::poll(nullptr, 0, 5);
            }
        }
        ::kill(-pid_, SIGKILL);
        while (::waitpid(pid_, nullptr, 0) < 0 && errno == EINTR) {
        }
        pid_ = -1;
    }
    pid_t pid_;  // and its process group
    int out_;
    int words_;  // what ffmpeg says, a file in memory
    const std::atomic<bool>* stop_;
    bool all_read_ = false;
};

}  // namespace

files::Result<std::unique_ptr<Decoder>> film_sound(const files::Path& file, Seconds from,
                                                   const std::string& ffmpeg, const std::atomic<bool>* stop) {
    int pipe[2];
    const int words = ::memfd_create("words", MFD_CLOEXEC);
    if (words < 0 || ::pipe2(pipe, O_CLOEXEC) != 0)
        return tl::unexpected(
            files::Trouble{fmt::format("cannot start {}: {}", ffmpeg, std::strerror(errno)), ""});
    // `file:` keeps a name with a colon in it from being read as an address.
    // It goes to a place in a film faster than by decoding all that lies before, and as exactly (-accurate_seek).
    std::vector<std::string> command{ffmpeg, "-nostdin",
                                     "-v",   "error",
                                     "-ss",  fmt::format("{:.6f}", from.value),
                                     "-i",   "file:" + file.string(),
                                     "-map", "0:a:0",
                                     "-f",   "f32le",
                                     "-ar",  std::to_string(film_rate),
                                     "-ac",  std::to_string(film_channels),
                                     "-"};
    std::vector<char*> argv;
    for (std::string& word : command) argv.push_back(word.data());
    argv.push_back(nullptr);
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_adddup2(&actions, pipe[1], STDOUT_FILENO);
    posix_spawn_file_actions_adddup2(&actions, words, STDERR_FILENO);
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    posix_spawnattr_setpgroup(&attributes, 0);
    sigset_t usual;
    sigemptyset(&usual);
    sigaddset(&usual, SIGPIPE);
    posix_spawnattr_setsigdefault(&attributes, &usual);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF);
    pid_t pid = -1;
    const int failed = ::posix_spawnp(&pid, ffmpeg.c_str(), &actions, &attributes, argv.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    posix_spawnattr_destroy(&attributes);
    ::close(pipe[1]);
    if (failed != 0) {
        ::close(pipe[0]);
        ::close(words);
        return tl::unexpected(
            files::Trouble{fmt::format("cannot start {}: {}", ffmpeg, std::strerror(failed)),
                           "Films are read by ffmpeg: install it, or take the sound out first."});
    }
    return std::unique_ptr<Decoder>{std::make_unique<FilmSound>(pid, pipe[0], words, stop)};
}

}  // namespace lw::listen
