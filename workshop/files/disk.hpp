// SPDX-License-Identifier: GPL-3.0-or-later
//
// The narrow seam to the disk. Everything the workshop writes goes through one of these, so that a test can
// hand in a disk that is full, read-only or loses power between two steps. Paths are plain; errors say what
// failed in the system's own words and carry the path.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace lw::files {

using Path = std::filesystem::path;

/// One clear line and what to do about it.
struct Trouble {
    std::string words;   // `cannot write out/sheet.pdf: No space left on device`
    std::string remedy;  // `Free some space or choose another folder with --into.`
};
template <class T>
using Result = tl::expected<T, Trouble>;

class Disk {
  public:
    Disk() = default;
    Disk(const Disk&) = delete;
    Disk& operator=(const Disk&) = delete;
    virtual ~Disk() = default;

    [[nodiscard]] virtual Result<std::string> read(const Path& file) = 0;
    /// Creates or truncates, writes everything, and syncs the file before it returns.
    [[nodiscard]] virtual Result<void> write_synced(const Path& file, std::string_view bytes) = 0;
    /// Gives `file` the mode and owner of `old`, if there is one; trouble when `old` may not be written.
    [[nodiscard]] virtual Result<void> keep_mode(const Path& old, const Path& file) = 0;
    /// Where a link leads; anything else as it is.
    [[nodiscard]] virtual Path resolved(const Path& path) const = 0;
    /// Replaces `to` in one step when it exists.
    [[nodiscard]] virtual Result<void> rename(const Path& from, const Path& to) = 0;
    /// Two folders change names in one step; both must exist.
    [[nodiscard]] virtual Result<void> exchange(const Path& a, const Path& b) = 0;
    [[nodiscard]] virtual Result<void> make_folders(const Path& folder) = 0;
    /// The same bytes under a second name, without copying where the file system can.
    [[nodiscard]] virtual Result<void> share(const Path& from, const Path& to) = 0;
    /// A link that points where `from` points; `to` must not exist.
    [[nodiscard]] virtual Result<void> copy_link(const Path& from, const Path& to) = 0;
    [[nodiscard]] virtual bool is_link(const Path& path) const noexcept = 0;
    [[nodiscard]] virtual Result<void> sync_folder(const Path& folder) = 0;
    /// Removes what killed runs left: entries named prefix, a process number, suffix, whose process is gone or is us.
    virtual void remove_leftovers(const Path& folder, std::string_view prefix,
                                  std::string_view suffix) noexcept = 0;
    virtual void remove_all(const Path& path) noexcept = 0;
    [[nodiscard]] virtual bool exists(const Path& path) const noexcept = 0;
    [[nodiscard]] virtual bool is_folder(const Path& path) const noexcept = 0;
};

/// The machine's own disk.
[[nodiscard]] Disk& real_disk() noexcept;

/// Writes aside, syncs and renames: after any crash the file is the old one or the new one, whole.
[[nodiscard]] Result<void> write_file_atomically(Disk& disk, const Path& file, std::string_view bytes);
[[nodiscard]] inline Result<void> write_file_atomically(const Path& file, std::string_view bytes) {
    return write_file_atomically(real_disk(), file, bytes);
}
/// Whether a file could be written there, as far as can be told without writing; before work that takes minutes.
[[nodiscard]] Result<void> may_write(const Path& file);
/// Whether a file is there and may be read, for what is read by others.
[[nodiscard]] Result<void> may_read(const Path& file);
[[nodiscard]] inline Result<std::string> read_file(const Path& file) {
    return real_disk().read(file);
}

/// A folder that is made aside and takes the place of `target` in one step. Without `swap_in` nothing
/// changes: the aside folder goes when this does. Leftovers of an earlier, killed run are cleared at `begin`.
class StagedFolder {
  public:
    [[nodiscard]] static Result<StagedFolder> begin(Disk& disk, const Path& target);
    StagedFolder(StagedFolder&& other) noexcept;
    StagedFolder& operator=(StagedFolder&&) = delete;
    ~StagedFolder();

    /// Where to write while it is being made.
    [[nodiscard]] const Path& folder() const noexcept { return aside_; }
    [[nodiscard]] Result<void> write(const Path& relative, std::string_view bytes);
    [[nodiscard]] Result<void> share(const Path& existing, const Path& relative);
    /// Somebody else's file, or link (as a link, not what it points to), under a new name.
    [[nodiscard]] Result<void> carry(const Path& existing, const Path& relative);
    /// Makes it the target; the old target, if any, is removed afterwards.
    [[nodiscard]] Result<void> swap_in();

  private:
    StagedFolder(Disk& disk, Path target, Path aside)
        : disk_(&disk), target_(std::move(target)), aside_(std::move(aside)) {}
    Disk* disk_;
    Path target_;
    Path aside_;
};

}  // namespace lw::files
