// SPDX-License-Identifier: GPL-3.0-or-later
#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <vector>

#include "workshop/listen/decoder.hpp"

extern char** environ;

namespace lw::listen {
namespace {

constexpr int film_rate = 48000;
constexpr int film_channels = 2;

class FilmSound final : public Decoder {
  public:
    FilmSound(pid_t pid, int out, int words) : pid_(pid), out_(out), words_(words) {}
    ~FilmSound() override {
        if (pid_ > 0) ::kill(pid_, SIGTERM);
        wait();
        ::close(out_);
        ::close(words_);
    }
    int rate() const noexcept override { return film_rate; }
    int channels() const noexcept override { return film_channels; }
    std::optional<std::size_t> frames() const noexcept override { return std::nullopt; }

    std::size_t read(std::span<float> samples) override {
        const std::size_t wanted = samples.size() / film_channels * film_channels * sizeof(float);
        auto* bytes = reinterpret_cast<char*>(samples.data());
        std::size_t got = 0;
        while (got < wanted) {
            const ssize_t n = ::read(out_, bytes + got, wanted - got);
            if (n < 0 && errno == EINTR) continue;
            if (n <= 0) break;
            got += static_cast<std::size_t>(n);
        }
        return got / (film_channels * sizeof(float));
    }

    std::string complaint() override {
        wait();
        std::string said(4096, '\0');
        const ssize_t n = ::pread(words_, said.data(), said.size(), 0);
        said.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
        while (!said.empty() && (said.back() == '\n' || said.back() == ' ')) said.pop_back();
        const std::size_t line = said.rfind('\n');
        if (line != std::string::npos) said.erase(0, line + 1);
        return said;
    }

  private:
    void wait() noexcept {
        if (pid_ <= 0) return;
        int status = 0;
        while (::waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
        }
        pid_ = -1;
    }
    pid_t pid_;
    int out_;
    int words_;  // what ffmpeg says, a file in memory
};

}  // namespace

files::Result<std::unique_ptr<Decoder>> film_sound(const files::Path& file, const std::string& ffmpeg) {
    int pipe[2];
    const int words = ::memfd_create("words", MFD_CLOEXEC);
    if (words < 0 || ::pipe2(pipe, O_CLOEXEC) != 0)
        return tl::unexpected(
            files::Trouble{fmt::format("cannot start {}: {}", ffmpeg, std::strerror(errno)), ""});
    // `file:` keeps a name with a colon in it from being read as an address.
    std::vector<std::string> command{ffmpeg, "-nostdin",
                                     "-v",   "error",
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
    return std::unique_ptr<Decoder>{std::make_unique<FilmSound>(pid, pipe[0], words)};
}

}  // namespace lw::listen
