// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <unistd.h>

#include <utility>

#include "workshop/files/disk.hpp"

namespace lw::files {
namespace {

Path folder_of(const Path& file) {
    const Path parent = file.parent_path();
    return parent.empty() ? Path{"."} : parent;
}

/// Beside the target, so that the rename stays on one file system; hidden, and named after the process, so
/// that two runs do not share one.
Path aside_of(const Path& target) {
    return folder_of(target) / fmt::format(".{}.{}.part", target.filename().string(), ::getpid());
}

/// The reader of these words asked for `file`; the name beside it would only puzzle.
Trouble told_of(Trouble trouble, const Path& aside, const Path& file) {
    if (const auto at = trouble.words.find(aside.string()); at != std::string::npos)
        trouble.words.replace(at, aside.string().size(), file.string());
    return trouble;
}

Result<void> told_of(Result<void> done, const Path& aside, const Path& file) {
    if (done) return done;
    return tl::make_unexpected(told_of(std::move(done.error()), aside, file));
}

}  // namespace

Result<void> write_file_atomically(Disk& disk, const Path& given, std::string_view bytes) {
    const Path file = disk.resolved(given);  // a link stays a link; what it points to is replaced
    if (disk.is_folder(file))
        return tl::make_unexpected(
            Trouble{fmt::format("cannot write {}: it is a folder", file.string()), "Name a file in it."});
    const Path aside = aside_of(file);
    if (auto done = disk.write_synced(aside, bytes); !done) {
        disk.remove_all(aside);
        return told_of(std::move(done), aside, file);
    }
    if (auto done = disk.keep_mode(file, aside); !done) {
        disk.remove_all(aside);
        return done;
    }
    if (auto done = disk.rename(aside, file); !done) {
        disk.remove_all(aside);
        return done;
    }
    return disk.sync_folder(folder_of(file));
}

Result<StagedFolder> StagedFolder::begin(Disk& disk, const Path& given) {
    const Path plain = given.lexically_normal();
    const Path target = disk.resolved(plain.has_filename() ? plain : plain.parent_path());
    if (target.empty() || target == "." || target == ".." || target == target.root_path())
        return tl::make_unexpected(Trouble{fmt::format("cannot make a pack in place of {}", given.string()),
                                           "Name a folder of its own for it."});
    if (disk.exists(target) && !disk.is_folder(target))
        return tl::make_unexpected(
            Trouble{fmt::format("cannot write {}: a file of that name is there", target.string()),
                    "Choose another folder, or move that file."});
    if (auto made = disk.make_folders(folder_of(target)); !made) return tl::make_unexpected(made.error());
    Path aside = aside_of(target);
    disk.remove_leftovers(folder_of(target), "." + target.filename().string() + ".", ".part");
    if (auto made = disk.make_folders(aside); !made)
        return tl::make_unexpected(told_of(std::move(made.error()), aside, target));
    return StagedFolder{disk, target, std::move(aside)};
}

StagedFolder::StagedFolder(StagedFolder&& other) noexcept
    : disk_(std::exchange(other.disk_, nullptr)),
      target_(std::move(other.target_)),
      aside_(std::move(other.aside_)) {}

StagedFolder::~StagedFolder() {
    if (disk_ != nullptr) disk_->remove_all(aside_);
}

Result<void> StagedFolder::write(const Path& relative, std::string_view bytes) {
    const Path file = aside_ / relative;
    auto done = disk_->make_folders(file.parent_path());
    if (done) done = disk_->write_synced(file, bytes);
    return told_of(std::move(done), aside_, target_);
}

Result<void> StagedFolder::share(const Path& existing, const Path& relative) {
    const Path file = aside_ / relative;
    auto done = disk_->make_folders(file.parent_path());
    if (done) done = disk_->share(existing, file);
    return told_of(std::move(done), aside_, target_);
}

Result<void> StagedFolder::carry(const Path& existing, const Path& relative) {
    const Path file = aside_ / relative;
    auto done = disk_->make_folders(file.parent_path());
    if (done)
        done = disk_->is_link(existing) ? disk_->copy_link(existing, file) : disk_->share(existing, file);
    return told_of(std::move(done), aside_, target_);
}

Result<void> StagedFolder::swap_in() {
    if (disk_->exists(target_)) {
        // After the exchange the old pack lies in `aside_`, and the destructor clears it away.
        if (auto done = disk_->exchange(aside_, target_); !done) return done;
    } else if (auto done = disk_->rename(aside_, target_); !done) {
        return done;
    }
    return disk_->sync_folder(folder_of(target_));
}

}  // namespace lw::files
