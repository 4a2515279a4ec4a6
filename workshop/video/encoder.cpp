// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/encoder.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <pthread.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <ctime>
#include <utility>

extern char** environ;

namespace lw::video {
namespace {

using files::Path;
using files::Trouble;
using Kind = text::ScreenChoice::Kind;

/// The most that Linux gives without privilege. At 1080p a frame is eight of these; with the 64 KiB that a pipe
/// has by itself, a frame takes 127 turns between the two programs, and they starve each other.
constexpr int pipe_bytes = 1 << 20;

Path folder_of(const Path& file) {
    return file.parent_path().empty() ? Path{"."} : file.parent_path();
}

/// Hidden, beside the target, and named after the process, so that two runs do not share one.
Path aside_of(const Path& target, int pid) {
    return folder_of(target) / fmt::format(".{}.{}.part", target.filename().string(), pid);
}

/// A run that was killed could not clean up after itself; its process is gone, so its leftover may go.
void clear_leftovers(files::Disk& disk, const Path& target) {
    const std::string before = fmt::format(".{}.", target.filename().string());
    constexpr std::string_view after = ".part";
    std::error_code ignored;
    for (const auto& entry : std::filesystem::directory_iterator{folder_of(target), ignored}) {
        const std::string name = entry.path().filename().string();
        if (name.size() <= before.size() + after.size() || !name.starts_with(before) ||
            !name.ends_with(after))
            continue;
        const std::string number = name.substr(before.size(), name.size() - before.size() - after.size());
        if (number.find_first_not_of("0123456789") != std::string::npos || number.size() > 9) continue;
        if (::kill(std::stoi(number), 0) != 0 && errno == ESRCH) disk.remove_all(entry.path());
    }
}

/// Holds SIGPIPE back for the calling thread, so that a program that went away is an error of `write` and not
/// the end of ours.
class NoBrokenPipeSignal {
  public:
    NoBrokenPipeSignal() noexcept {
        sigemptyset(&pipe_);
        sigaddset(&pipe_, SIGPIPE);
        pthread_sigmask(SIG_BLOCK, &pipe_, &before_);
    }
    NoBrokenPipeSignal(const NoBrokenPipeSignal&) = delete;
    NoBrokenPipeSignal& operator=(const NoBrokenPipeSignal&) = delete;
    ~NoBrokenPipeSignal() {
        const timespec now{};
        while (sigtimedwait(&pipe_, nullptr, &now) == SIGPIPE) {
        }
        pthread_sigmask(SIG_SETMASK, &before_, nullptr);
    }

  private:
    sigset_t pipe_{};
    sigset_t before_{};
};

struct SpawnPlan {
    posix_spawn_file_actions_t files{};
    posix_spawnattr_t attributes{};
    SpawnPlan() {
        posix_spawn_file_actions_init(&files);
        posix_spawnattr_init(&attributes);
    }
    SpawnPlan(const SpawnPlan&) = delete;
    SpawnPlan& operator=(const SpawnPlan&) = delete;
    ~SpawnPlan() {
        posix_spawn_file_actions_destroy(&files);
        posix_spawnattr_destroy(&attributes);
    }
};

/// Starts `program` with our pipe as its input. In a process group of its own: Ctrl-C is ours to answer, or
/// ffmpeg would end early and call the film whole.
int spawn(const std::string& program, const std::vector<std::string>& arguments, int in, int words,
          pid_t* pid) {
    SpawnPlan plan;
    posix_spawn_file_actions_adddup2(&plan.files, in, STDIN_FILENO);
    posix_spawn_file_actions_addopen(&plan.files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_adddup2(&plan.files, words, STDERR_FILENO);
    sigset_t none;
    sigemptyset(&none);
    sigset_t usual;
    sigemptyset(&usual);
    sigaddset(&usual, SIGPIPE);
    sigaddset(&usual, SIGINT);
    posix_spawnattr_setsigmask(&plan.attributes, &none);
    posix_spawnattr_setsigdefault(&plan.attributes, &usual);
    posix_spawnattr_setpgroup(&plan.attributes, 0);
    posix_spawnattr_setflags(&plan.attributes,
                             POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETPGROUP);
    std::vector<std::string> words_of_command{program};
    words_of_command.insert(words_of_command.end(), arguments.begin(), arguments.end());
    std::vector<char*> argv;
    for (std::string& word : words_of_command) argv.push_back(word.data());
    argv.push_back(nullptr);
    return ::posix_spawnp(pid, program.c_str(), &plan.files, &plan.attributes, argv.data(), environ);
}

}  // namespace

std::string_view ending(Kind kind) noexcept {
    switch (kind) {
        case Kind::webm:
            return "webm";
        case Kind::prores:
            return "mov";
        case Kind::mp4:
            return "mp4";
    }
    return "";
}

std::vector<std::string> encoder_arguments(const Film& film, const std::string& into) {
    const auto pixels = [&] {
        switch (film.kind) {
            case Kind::webm:
                return "yuva420p";
            case Kind::prores:
                return "yuva444p10le";
            case Kind::mp4:
                return "yuv420p";
        }
        return "";
    }();
    // Named on the frames themselves: some encoders read the tags there and some from the stream.
    const std::string colours = fmt::format(
        "scale=out_color_matrix=bt709:out_range=tv,format={},"
        "setparams=range=tv:colorspace=bt709:color_primaries=bt709:color_trc=bt709",
        pixels);
    std::string words = fmt::format(
        "-hide_banner -nostdin -loglevel error -y -f rawvideo -pix_fmt bgra -video_size {}x{} -framerate {} "
        "-i pipe:0 "
        "-an -map_metadata -1 -fflags +bitexact -flags:v +bitexact -vf {} -colorspace bt709 -color_primaries "
        "bt709 "
        "-color_trc bt709 -color_range tv ",
        film.width, film.height, film.frames_per_second, colours);
    switch (film.kind) {
        case Kind::webm:
            // Flat colours and still edges: quality 24 shows no ringing at the numbers, and the fastest search
            // loses nothing that is seen. Alternate references cannot carry alpha.
            words +=
                "-c:v libvpx-vp9 -b:v 0 -crf 24 -deadline realtime -cpu-used 8 -row-mt 1 -auto-alt-ref 0 -g "
                "120 "
                "-f webm";
            break;
        case Kind::prores:
            words += "-c:v prores_aw -profile:v 4 -f mov";
            break;
        case Kind::mp4:
            words += "-c:v libx264 -preset veryfast -crf 18 -movflags +faststart -f mp4";
            break;
    }
    std::vector<std::string> arguments;
    for (std::size_t at = 0; at < words.size();) {
        const std::size_t end = std::min(words.find(' ', at), words.size());
        arguments.push_back(words.substr(at, end - at));
        at = end + 1;
    }
    arguments.push_back("file:" + into);  // a name such as `a:b.webm` is not taken for a protocol
    return arguments;
}

files::Result<Encoder> Encoder::start(files::Disk& disk, const Film& film, const Path& target,
                                      const std::string& program) {
    if (disk.is_folder(target))
        return tl::make_unexpected(
            Trouble{fmt::format("cannot write {}: it is a folder", target.string()), "Name a file in it."});
    if (!disk.is_folder(folder_of(target)))
        return tl::make_unexpected(Trouble{fmt::format("cannot write {}: there is no folder {}",
                                                       target.string(), folder_of(target).string()),
                                           "Make the folder first, or choose another."});
    clear_leftovers(disk, target);
    Encoder encoder{disk, target, aside_of(target, ::getpid())};
    encoder.program_ = program;
    // Before the program starts: its own words about a folder it may not write are harder to read than these.
    if (auto begun = disk.write_synced(encoder.aside_, ""); !begun) {
        files::Trouble seen = begun.error();
        if (const auto at = seen.words.find(encoder.aside_.string()); at != std::string::npos)
            seen.words.replace(at, encoder.aside_.string().size(), target.string());
        return tl::make_unexpected(std::move(seen));
    }
    int ends[2] = {-1, -1};
    encoder.words_ = ::memfd_create("ffmpeg", MFD_CLOEXEC);
    if (encoder.words_ < 0 || ::pipe2(ends, O_CLOEXEC) != 0)
        return tl::make_unexpected(Trouble{fmt::format("cannot start {}: {}", program, std::strerror(errno)),
                                           "Close some programs and try again."});
    encoder.pipe_ = ends[1];
    (void)::fcntl(encoder.pipe_, F_SETPIPE_SZ, pipe_bytes);  // where it is refused, it is only slower
    const int refused = spawn(program, encoder_arguments(film, encoder.aside_.string()), ends[0],
                              encoder.words_, &encoder.pid_);
    ::close(ends[0]);
    if (refused != 0) {
        encoder.pid_ = -1;
        return tl::make_unexpected(
            Trouble{fmt::format("cannot make {}: the program {} is not here ({})", target.string(), program,
                                std::strerror(refused)),
                    "Install it (on Debian: apt-get install ffmpeg) and run this again."});
    }
    return encoder;
}

Encoder::Encoder(Encoder&& other) noexcept
    : disk_(std::exchange(other.disk_, nullptr)),
      target_(std::move(other.target_)),
      aside_(std::move(other.aside_)),
      program_(std::move(other.program_)),
      pid_(std::exchange(other.pid_, -1)),
      pipe_(std::exchange(other.pipe_, -1)),
      words_(std::exchange(other.words_, -1)) {}

Encoder::~Encoder() {
    if (pid_ > 0) {
        ::kill(pid_, SIGKILL);
        (void)wait();
    }
    close_pipe();
    if (words_ >= 0) ::close(words_);
    if (disk_ != nullptr && !aside_.empty()) disk_->remove_all(aside_);
}

void Encoder::close_pipe() noexcept {
    if (pipe_ >= 0) ::close(pipe_);
    pipe_ = -1;
}

int Encoder::wait() noexcept {
    int status = 0;
    while (pid_ > 0 && ::waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
    }
    pid_ = -1;
    return status;
}

Trouble Encoder::what_went_wrong(int status) const {
    std::string said;
    char block[4096];
    for (off_t at = 0;;) {
        const ssize_t got = ::pread(words_, block, sizeof block, at);
        if (got <= 0) break;
        said.append(block, static_cast<std::size_t>(got));
        at += got;
    }
    const std::string none_left = std::strerror(ENOSPC);
    if (said.find(none_left) != std::string::npos)
        return {fmt::format("cannot write {}: {}", target_.string(), none_left),
                "Free some space or choose another folder."};
    while (!said.empty() && (said.back() == '\n' || said.back() == ' ')) said.pop_back();
    if (const auto line = said.rfind('\n'); line != std::string::npos) said.erase(0, line + 1);
    const std::string how = WIFSIGNALED(status) ? fmt::format("was ended by signal {}", WTERMSIG(status))
                                                : fmt::format("gave up with status {}", WEXITSTATUS(status));
    return {
        fmt::format("cannot make {}: {} {}{}{}", target_.string(), program_, how, said.empty() ? "" : ": ",
                    said),
        "Try again; if it happens every time, check that this ffmpeg has the encoder (ffmpeg -encoders)."};
}

files::Result<void> Encoder::write(std::span<const std::uint8_t> frame) {
    const NoBrokenPipeSignal quiet;
    while (!frame.empty()) {
        const ssize_t sent = ::write(pipe_, frame.data(), frame.size());
        if (sent < 0 && errno == EINTR) continue;
        if (sent < 0) {
            close_pipe();
            return tl::make_unexpected(what_went_wrong(wait()));
        }
        frame = frame.subspan(static_cast<std::size_t>(sent));
    }
    return {};
}

files::Result<void> Encoder::finish() {
    close_pipe();
    const int status = wait();
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) return tl::make_unexpected(what_went_wrong(status));
    const int file = ::open(aside_.c_str(), O_RDONLY | O_CLOEXEC);
    const bool synced = file >= 0 && ::fsync(file) == 0;
    const int why = errno;
    if (file >= 0) ::close(file);
    if (!synced)
        return tl::make_unexpected(
            Trouble{fmt::format("cannot write {}: {}", target_.string(), std::strerror(why)),
                    "Free some space or choose another folder."});
    if (auto renamed = disk_->rename(aside_, target_); !renamed) return renamed;
    aside_.clear();
    return disk_->sync_folder(folder_of(target_));
}

}  // namespace lw::video
