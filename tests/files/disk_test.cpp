// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whatever fails on the way, what was there before is there afterwards, whole.
#include "workshop/files/disk.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "workshop/files/digest.hpp"

namespace lw::files {
namespace {

using ::testing::HasSubstr;

/// The real disk, failing at the n-th step that changes something, as a full disk or a cut would.
class FailingDisk final : public Disk {
  public:
    explicit FailingDisk(int steps) : steps_left_(steps) {}
    [[nodiscard]] bool failed() const noexcept { return failed_; }

    Result<std::string> read(const Path& f) override { return real_disk().read(f); }
    Result<void> write_synced(const Path& f, std::string_view bytes) override {
        if (spent()) {
            (void)real_disk().write_synced(f, bytes.substr(0, bytes.size() / 2));  // what a full disk leaves
            return full(f);
        }
        return real_disk().write_synced(f, bytes);
    }
    Result<void> keep_mode(const Path& old, const Path& file) override {
        return real_disk().keep_mode(old, file);
    }
    Path resolved(const Path& p) const override { return real_disk().resolved(p); }
    Result<void> rename(const Path& a, const Path& b) override {
        return spent() ? full(b) : real_disk().rename(a, b);
    }
    Result<void> exchange(const Path& a, const Path& b) override {
        return spent() ? full(b) : real_disk().exchange(a, b);
    }
    Result<void> make_folders(const Path& f) override {
        return spent() ? full(f) : real_disk().make_folders(f);
    }
    Result<void> share(const Path& a, const Path& b) override {
        return spent() ? full(b) : real_disk().share(a, b);
    }
    Result<void> copy_link(const Path& a, const Path& b) override {
        return spent() ? full(b) : real_disk().copy_link(a, b);
    }
    bool is_link(const Path& p) const noexcept override { return real_disk().is_link(p); }
    Result<void> sync_folder(const Path& f) override { return real_disk().sync_folder(f); }
    void remove_leftovers(const Path& f, std::string_view a, std::string_view b) noexcept override {
        real_disk().remove_leftovers(f, a, b);
    }
    void remove_all(const Path& p) noexcept override { real_disk().remove_all(p); }
    bool exists(const Path& p) const noexcept override { return real_disk().exists(p); }
    bool is_folder(const Path& p) const noexcept override { return real_disk().is_folder(p); }

  private:
    bool spent() {
        if (steps_left_-- > 0) return false;
        failed_ = true;
        return true;
    }
    static tl::unexpected<Trouble> full(const Path& p) {
        return tl::make_unexpected(
            Trouble{"cannot write " + p.string() + ": No space left on device", "Free some space."});
    }
    int steps_left_;
    bool failed_ = false;
};

class Files : public ::testing::Test {
  protected:
    void SetUp() override {
        folder = std::filesystem::temp_directory_path() /
                 ("lickwright-files-" +
                  std::string{::testing::UnitTest::GetInstance()->current_test_info()->name()});
        std::filesystem::remove_all(folder);
        std::filesystem::create_directories(folder);
    }
    void TearDown() override { std::filesystem::remove_all(folder); }
    [[nodiscard]] std::size_t entries() const {
        return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator{folder}, {}));
    }
    Path folder;
};

TEST_F(Files, AWriteThatFailsAnywhereLeavesTheOldFileWhole) {
    const Path file = folder / "sheet.pdf";
    ASSERT_TRUE(write_file_atomically(file, "old"));
    int failures = 0;
    for (int steps = 0; steps < 5; ++steps) {
        FailingDisk disk{steps};
        const auto done = write_file_atomically(disk, file, "new and longer");
        if (!disk.failed()) {
            EXPECT_TRUE(done);
            EXPECT_EQ(*read_file(file), "new and longer");
            break;
        }
        ++failures;
        ASSERT_FALSE(done);
        EXPECT_THAT(done.error().words, HasSubstr(file.string() + ": No space left"));
        EXPECT_EQ(*read_file(file), "old");
        EXPECT_EQ(entries(), 1U) << "nothing half-written may stay";
    }
    EXPECT_EQ(failures, 2);  // the write and the rename
}

TEST_F(Files, AFolderThatFailsAnywhereLeavesTheOldPackWhole) {
    const Path pack = folder / "pack";
    for (const bool there_before : {false, true}) {
        int failures = 0;
        for (int steps = 0; steps < 12; ++steps) {
            std::filesystem::remove_all(pack);
            if (there_before) {
                std::filesystem::create_directories(pack);
                ASSERT_TRUE(write_file_atomically(pack / "kept", "old"));
            }
            FailingDisk disk{steps};
            const auto make = [&]() -> Result<void> {
                auto staged = StagedFolder::begin(disk, pack);
                if (!staged) return tl::make_unexpected(staged.error());
                if (auto done = staged->write("audio/a.mp3", "sound"); !done) return done;
                if (there_before)
                    if (auto done = staged->share(pack / "kept", "kept"); !done) return done;
                return staged->swap_in();
            };
            const auto done = make();
            if (!disk.failed()) {
                ASSERT_TRUE(done);
                EXPECT_EQ(*read_file(pack / "audio/a.mp3"), "sound");
                EXPECT_EQ(entries(), 1U);
                break;
            }
            ++failures;
            EXPECT_FALSE(done);
            EXPECT_EQ(std::filesystem::exists(pack), there_before);
            if (there_before) {
                EXPECT_EQ(*read_file(pack / "kept"), "old");
                EXPECT_FALSE(std::filesystem::exists(pack / "audio"));
            }
            EXPECT_EQ(entries(), there_before ? 1U : 0U);
        }
        EXPECT_GE(failures, 4);
    }
}

TEST_F(Files, SaysWhatIsWrongAndWhatToDo) {
    const auto missing = read_file(folder / "no.lick");
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().words, "there is no file " + (folder / "no.lick").string());
    EXPECT_FALSE(missing.error().remedy.empty());
    EXPECT_THAT(read_file(folder).error().words, HasSubstr("Is a directory"));
    EXPECT_THAT(write_file_atomically(folder, "x").error().words, HasSubstr("it is a folder"));
    ASSERT_TRUE(write_file_atomically(folder / "file", "x"));
    EXPECT_FALSE(StagedFolder::begin(real_disk(), folder / "file"));
    EXPECT_FALSE(StagedFolder::begin(real_disk(), folder / "file/pack"));
    EXPECT_FALSE(StagedFolder::begin(real_disk(), "."));
    EXPECT_FALSE(StagedFolder::begin(real_disk(), "/"));
}

TEST_F(Files, ALinkStaysALinkAndAModeStaysAMode) {
    ASSERT_TRUE(write_file_atomically(folder / "real.lick", "old"));
    std::filesystem::permissions(folder / "real.lick", std::filesystem::perms{0640});
    std::filesystem::create_symlink("real.lick", folder / "link.lick");
    ASSERT_TRUE(write_file_atomically(folder / "link.lick", "new"));
    EXPECT_TRUE(std::filesystem::is_symlink(folder / "link.lick"));
    EXPECT_EQ(*read_file(folder / "real.lick"), "new");
    EXPECT_EQ(std::filesystem::status(folder / "real.lick").permissions(), std::filesystem::perms{0640});
}

TEST_F(Files, WhatAKilledRunLeftIsClearedAndALivingRunIsNot) {
    std::filesystem::create_directories(folder /
                                        ".pack.999999999.part");  // above the kernel's largest process number
    std::filesystem::create_directories(folder / ".pack.1.part");  // process 1 always lives
    std::filesystem::create_directories(folder / ".pack.mine.part");
    const auto stage = StagedFolder::begin(real_disk(), folder / "pack");
    ASSERT_TRUE(stage);
    EXPECT_FALSE(std::filesystem::exists(folder / ".pack.999999999.part"));
    EXPECT_TRUE(std::filesystem::exists(folder / ".pack.1.part"));
    EXPECT_TRUE(std::filesystem::exists(folder / ".pack.mine.part"));
}

// NIST FIPS 180-4 example values ("abc" and the empty message), from memory; `printf abc | sha256sum` agrees.
TEST(Digest, Sha256) {
    EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

}  // namespace
}  // namespace lw::files
