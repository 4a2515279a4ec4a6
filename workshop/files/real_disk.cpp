// SPDX-License-Identifier: GPL-3.0-or-later
#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstring>
#include <system_error>
#include <vector>

#include "workshop/files/disk.hpp"

namespace lw::files {
namespace {

std::string remedy_for(std::string_view doing, int error) {
    switch (error) {
        case ENOENT:
            return "Check the path; the folder it stands in must exist.";
        case EACCES:
        case EPERM:
        case EROFS:
            return doing == "read" ? "Change its permissions, or ask whose file it is."
                                   : "Choose a place you may write to, or change its permissions.";
        case ENOSPC:
        case EDQUOT:
            return "Free some space, or choose another place.";
        case EISDIR:
            return "That is a folder; name a file in it.";
        case ENOTDIR:
            return "A part of that path is a file, not a folder.";
        case ENAMETOOLONG:
            return "Choose a shorter name.";
        default:
            return "Try another place.";
    }
}

tl::unexpected<Trouble> trouble(std::string_view doing, const Path& path, int error) {
    if (doing == "read" && error == ENOENT)
        return tl::make_unexpected(
            Trouble{fmt::format("there is no file {}", path.string()), "Check the name and the folder."});
    return tl::make_unexpected(
        Trouble{fmt::format("cannot {} {}: {}", doing, path.string(), std::strerror(error)),
                remedy_for(doing, error)});
}

/// Closes on the way out; a file descriptor has no other owner here.
class Descriptor {
  public:
    explicit Descriptor(int fd) noexcept : fd_(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (fd_ >= 0) ::close(fd_);
    }
    [[nodiscard]] int get() const noexcept { return fd_; }
    [[nodiscard]] bool ok() const noexcept { return fd_ >= 0; }

  private:
    int fd_;
};

class RealDisk final : public Disk {
  public:
    Result<std::string> read(const Path& file) override {
        const Descriptor in{::open(file.c_str(), O_RDONLY | O_CLOEXEC)};
        if (!in.ok()) return trouble("read", file, errno);
        struct stat status {};
        if (::fstat(in.get(), &status) != 0) return trouble("read", file, errno);
        if (S_ISDIR(status.st_mode)) return trouble("read", file, EISDIR);
        std::string bytes;
        bytes.reserve(static_cast<std::size_t>(status.st_size) + 1);
        char block[1 << 16];
        for (;;) {
            const ssize_t got = ::read(in.get(), block, sizeof block);
            if (got < 0 && errno == EINTR) continue;
            if (got < 0) return trouble("read", file, errno);
            if (got == 0) return bytes;
            bytes.append(block, static_cast<std::size_t>(got));
        }
    }

    Result<void> write_synced(const Path& file, std::string_view bytes) override {
        const Descriptor out{::open(file.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666)};
        if (!out.ok()) return trouble("write", file, errno);
        while (!bytes.empty()) {
            const ssize_t put = ::write(out.get(), bytes.data(), bytes.size());
            if (put < 0 && errno == EINTR) continue;
            if (put < 0) return trouble("write", file, errno);
            bytes.remove_prefix(static_cast<std::size_t>(put));
        }
        if (::fsync(out.get()) != 0 && errno != EINVAL) return trouble("write", file, errno);
        return {};
    }

    Result<void> keep_mode(const Path& old, const Path& file) override {
        struct stat status {};
        if (::stat(old.c_str(), &status) != 0) return {};  // there is none yet
        if (::access(old.c_str(), W_OK) != 0) return trouble("write", old, errno);
        if (::chmod(file.c_str(), status.st_mode & 07777) != 0) return trouble("write", old, errno);
        // Only root may give a file away; for everybody else it is theirs already.
        if (::geteuid() == 0 && ::chown(file.c_str(), status.st_uid, status.st_gid) != 0)
            return trouble("write", old, errno);
        return {};
    }

    Path resolved(const Path& path) const override {
        std::error_code error;
        if (!std::filesystem::is_symlink(path, error)) return path;
        const Path target = std::filesystem::weakly_canonical(path, error);
        return error ? path : target;
    }

    Result<void> rename(const Path& from, const Path& to) override {
        if (std::rename(from.c_str(), to.c_str()) != 0) return trouble("write", to, errno);
        return {};
    }

    Result<void> exchange(const Path& a, const Path& b) override {
        if (::renameat2(AT_FDCWD, a.c_str(), AT_FDCWD, b.c_str(), RENAME_EXCHANGE) == 0) return {};
        // A file system without the exchange (some network shares): two steps, the gap between them as short
        // as it gets. The old folder is kept until the new one stands.
        if (errno != EINVAL && errno != ENOSYS) return trouble("replace", b, errno);
        const Path between = b.string() + ".before";
        if (auto done = rename(b, between); !done) return done;
        if (auto done = rename(a, b); !done) {
            (void)rename(between, b);
            return done;
        }
        return rename(between, a);
    }

    Result<void> make_folders(const Path& folder) override {
        std::error_code error;
        std::filesystem::create_directories(folder, error);
        if (error) return trouble("make the folder", folder, error.value());
        if (!is_folder(folder)) return trouble("make the folder", folder, ENOTDIR);
        return {};
    }

    Result<void> share(const Path& from, const Path& to) override {
        if (::link(from.c_str(), to.c_str()) == 0) return {};
        std::error_code error;
        std::filesystem::copy_file(from, to, error);
        if (error) return trouble("write", to, error.value());
        return {};
    }

    Result<void> copy_link(const Path& from, const Path& to) override {
        std::error_code error;
        std::filesystem::copy_symlink(from, to, error);
        if (error) return trouble("write", to, error.value());
        return {};
    }

    bool is_link(const Path& path) const noexcept override {
        std::error_code ignored;
        return std::filesystem::is_symlink(path, ignored);
    }

    Result<void> sync_folder(const Path& folder) override {
        const Descriptor handle{::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
        if (!handle.ok()) return trouble("write", folder, errno);
        if (::fsync(handle.get()) != 0 && errno != EINVAL) return trouble("write", folder, errno);
        return {};
    }

    void remove_leftovers(const Path& folder, std::string_view prefix,
                          std::string_view suffix) noexcept override {
        std::error_code error;
        std::vector<Path> dead;
        for (std::filesystem::directory_iterator it{folder, error}, end; !error && it != end;
             it.increment(error)) {
            const std::string name = it->path().filename().string();
            if (name.size() <= prefix.size() + suffix.size() || !name.starts_with(prefix) ||
                !name.ends_with(suffix))
                continue;
            const char* const first = name.data() + prefix.size();
            const char* const last = name.data() + name.size() - suffix.size();
            pid_t process = 0;
            const auto [stop, fault] = std::from_chars(first, last, process);
            if (fault != std::errc{} || stop != last || process <= 0) continue;
            if (process == ::getpid() || (::kill(process, 0) != 0 && errno == ESRCH))
                dead.push_back(it->path());
        }
        for (const Path& path : dead) remove_all(path);
    }
    void remove_all(const Path& path) noexcept override {
        std::error_code ignored;
        std::filesystem::remove_all(path, ignored);
    }
    bool exists(const Path& path) const noexcept override {
        std::error_code ignored;
        return std::filesystem::exists(path, ignored);
    }
    bool is_folder(const Path& path) const noexcept override {
        std::error_code ignored;
        return std::filesystem::is_directory(path, ignored);
    }
};

}  // namespace

Result<void> may_write(const Path& given) {
    const Path file = real_disk().resolved(given);
    if (real_disk().is_folder(file))
        return tl::unexpected(
            Trouble{fmt::format("cannot write {}: it is a folder", file.string()), "Name a file in it."});
    const Path folder = file.has_parent_path() ? file.parent_path() : Path{"."};
    if (::access(folder.c_str(), W_OK | X_OK) != 0) return trouble("write", file, errno);
    if (::access(file.c_str(), F_OK) == 0 && ::access(file.c_str(), W_OK) != 0)
        return trouble("write", file, errno);
    return {};
}

Result<void> may_read(const Path& file) {
    if (::access(file.c_str(), R_OK) != 0) return trouble("read", file, errno);
    return {};
}

Disk& real_disk() noexcept {
    static RealDisk disk;  // it holds no state; one is as good as many
    return disk;
}

}  // namespace lw::files
