// SPDX-License-Identifier: GPL-3.0-or-later
//
// The pack as a machine for not losing things: what is made again, what is taken over, what a failure leaves.
#include "workshop/pack/pack.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>

#include "workshop/files/digest.hpp"

namespace lw::pack {
namespace {

using files::Path;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

class Pack : public ::testing::Test {
  protected:
    void SetUp() override {
        folder = std::filesystem::temp_directory_path() /
                 ("lickwright-pack-" +
                  std::string{::testing::UnitTest::GetInstance()->current_test_info()->name()});
        std::filesystem::remove_all(folder);
        std::filesystem::create_directories(folder);
        target = folder / "pack";
    }
    void TearDown() override { std::filesystem::remove_all(folder); }

    Batch text(const std::string& path, const std::string& bytes) {
        Batch batch;
        batch.products.push_back({path, "test file", recipe_of({path, bytes})});
        batch.make = [this, path, bytes](
                         const Path&, const std::atomic<bool>&) -> files::Result<std::vector<std::string>> {
            ++times_made[path];
            return std::vector<std::string>{bytes};
        };
        return batch;
    }
    files::Result<Outcome> make(std::vector<Batch> batches) {
        return make_pack(files::real_disk(), Plan{"Lesson", std::move(batches)}, target, {}, stop);
    }
    std::map<Path, std::string> everything() const {
        std::map<Path, std::string> all;
        for (const auto& e : std::filesystem::recursive_directory_iterator{folder})
            if (e.is_regular_file())
                all[std::filesystem::relative(e.path(), folder)] = *files::read_file(e.path());
        return all;
    }

    Path folder;
    Path target;
    std::atomic<bool> stop{false};
    std::map<std::string, int> times_made;
};

TEST_F(Pack, OnlyWhatChangedIsMadeAgainAndTheBytesAreTheSame) {
    ASSERT_TRUE(make({text("a/one.txt", "1"), text("two.txt", "2")}));
    const auto first = everything();
    const auto again = make({text("a/one.txt", "1"), text("two.txt", "2")});
    ASSERT_TRUE(again);
    EXPECT_EQ(again->made, 0U);
    EXPECT_EQ(again->taken_over, 2U);
    EXPECT_EQ(everything(), first);

    const auto changed = make({text("a/one.txt", "1"), text("two.txt", "2 changed")});
    ASSERT_TRUE(changed);
    EXPECT_EQ(changed->made, 1U);
    EXPECT_EQ(times_made["a/one.txt"], 1);
    EXPECT_EQ(times_made["two.txt"], 2);
    EXPECT_EQ(*files::read_file(target / "two.txt"), "2 changed");
}

TEST_F(Pack, WhatIsNoLongerInTheLessonGoes) {
    ASSERT_TRUE(make({text("one.txt", "1"), text("two.txt", "2")}));
    ASSERT_TRUE(make({text("one.txt", "1")}));
    EXPECT_FALSE(std::filesystem::exists(target / "two.txt"));
}

TEST_F(Pack, AFileOfSomebodyElseOrChangedByHandIsKept) {
    ASSERT_TRUE(make({text("description.txt", "ours")}));
    std::ofstream{target / "notes.txt"} << "mine";
    // A new file in its place, as an editor saves it; the pack's own bytes may be shared with nothing.
    std::filesystem::remove(target / "description.txt");
    std::ofstream{target / "description.txt"} << "ours, with chapter times";
    const auto again = make({text("description.txt", "ours")});
    ASSERT_TRUE(again);
    EXPECT_THAT(again->kept, ElementsAre("kept/description.txt", "kept/notes.txt"));
    EXPECT_EQ(*files::read_file(target / "description.txt"), "ours");
    EXPECT_EQ(*files::read_file(target / "kept/description.txt"), "ours, with chapter times");
    EXPECT_EQ(*files::read_file(target / "kept/notes.txt"), "mine");
    // They stay through every later pack, under the same names.
    ASSERT_TRUE(make({text("description.txt", "newer")}));
    EXPECT_EQ(*files::read_file(target / "kept/notes.txt"), "mine");
}

TEST_F(Pack, ALinkInsideAPackIsCarriedAsALinkAndLeadsNothingOutside) {
    ASSERT_TRUE(make({text("one.txt", "1")}));
    std::ofstream{folder / "outside.txt"} << "mine";
    std::filesystem::create_symlink("../outside.txt", target / "latest.txt");
    std::filesystem::create_symlink("/etc/hostname", target / "far.txt");
    const auto again = make({text("one.txt", "2")});
    ASSERT_TRUE(again) << again.error().words;
    EXPECT_THAT(again->kept, ElementsAre("kept/far.txt", "kept/latest.txt"));
    EXPECT_EQ(std::filesystem::read_symlink(target / "kept/far.txt"), "/etc/hostname");
    EXPECT_TRUE(std::filesystem::is_symlink(target / "kept/latest.txt"));
    EXPECT_EQ(*files::read_file(folder / "outside.txt"), "mine");
    EXPECT_TRUE(make({text("one.txt", "3")}));
}

TEST_F(Pack, AFolderThatIsNotAPackIsNotTouched) {
    std::filesystem::create_directories(target);
    std::ofstream{target / "holiday.jpg"} << "picture";
    const auto done = make({text("one.txt", "1")});
    ASSERT_FALSE(done);
    EXPECT_THAT(done.error().words, HasSubstr("holiday.jpg"));
    EXPECT_EQ(everything().size(), 1U);
    std::filesystem::remove(target / "holiday.jpg");
    EXPECT_TRUE(make({text("one.txt", "1")})) << "an empty folder will do";
}

TEST_F(Pack, AFailureOrAStopLeavesThePreviousPack) {
    ASSERT_TRUE(make({text("one.txt", "1")}));
    const auto before = everything();
    Batch broken = text("two.txt", "2");
    broken.make = [](const Path& aside, const std::atomic<bool>&) -> files::Result<std::vector<std::string>> {
        std::ofstream{aside / "half"} << "half";
        return tl::make_unexpected(files::Trouble{"cannot run ffmpeg", "Install it."});
    };
    const auto failed = make({text("one.txt", "new"), broken});
    ASSERT_FALSE(failed);
    EXPECT_EQ(failed.error().words, "cannot run ffmpeg");
    EXPECT_EQ(everything(), before);

    stop = true;
    EXPECT_FALSE(make({text("one.txt", "new")}));
    EXPECT_EQ(everything(), before);
}

TEST_F(Pack, TheSumsAreWhatSha256sumChecks) {
    ASSERT_TRUE(make({text("a/one.txt", "1"), text("two.txt", "2")}));
    // coreutils' sha256sum is the independent reader here.
    const std::string command = "cd '" + target.string() + "' && sha256sum --quiet --strict -c SHA256SUMS";
    EXPECT_EQ(std::system(command.c_str()), 0);
}

TEST(Manifest, ReadsWhatItWroteAndRefusesTheRest) {
    const Manifest manifest{"L", {{"a/b.txt", "words", 3, "00", "11"}}};
    const auto read = read_manifest(write_manifest(manifest));
    ASSERT_TRUE(read);
    EXPECT_EQ(write_manifest(*read), write_manifest(manifest));
    for (const char* bad :
         {"", "{", "[]", "{\"made_by\":\"another\",\"format\":1,\"files\":[]}",
          "{\"made_by\":\"lickwright\",\"format\":1,\"files\":[{}]}",
          "{\"made_by\":\"lickwright\",\"format\":1,\"files\":[{\"path\":\"../x\",\"what\":\"\","
          "\"sha256\":\"\",\"recipe\":\"\",\"bytes\":1}]}"})
        EXPECT_FALSE(read_manifest(bad)) << bad;
}

TEST(Recipe, PartsCannotRunIntoOneAnother) {
    EXPECT_NE(recipe_of({"ab", "c"}), recipe_of({"a", "bc"}));
    EXPECT_NE(recipe_of({"ab"}), recipe_of({"ab", ""}));
    EXPECT_EQ(recipe_of({"ab", "c"}), recipe_of({"ab", "c"}));
}

}  // namespace
}  // namespace lw::pack
