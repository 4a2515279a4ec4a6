// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table of faults against its folders: tests/diagnostics/<slug>/ holds a text with the fault, a text
// without any, and the exact words. tests/bad/ holds more broken texts, each beside what is said about it.
//
// After a change of words, run the test program once with LICKWRIGHT_BLESS=1 and read the diff.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "engine/text/faults.hpp"
#include "engine/text/lesson.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

namespace fs = std::filesystem;

const fs::path rows_folder = fs::path{LICKWRIGHT_SOURCE_DIR} / "tests" / "diagnostics";
const fs::path bad_folder = fs::path{LICKWRIGHT_SOURCE_DIR} / "tests" / "bad";

std::string bytes_of(const fs::path& path) {
    std::ifstream in{path, std::ios::binary};
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

/// Read as what its name says: .lick, .md (a lesson) or .txt (a house file).
std::vector<Diagnostic> faults_in(const fs::path& path, const std::string& source) {
    if (path.extension() == ".md") return read_lesson(source).diagnostics;
    if (path.extension() == ".txt") return read_house(source).diagnostics;
    return read_lick(source).diagnostics;
}

/// What a terminal would show. Long lists are cut: the first forty faults are enough to pin the rest.
std::string shown(const fs::path& path) {
    const std::string source = bytes_of(path);
    std::string out;
    int count = 0;
    const std::vector<Diagnostic> faults = faults_in(path, source);
    for (const Diagnostic& d : faults) {
        if (++count > 40 && count < static_cast<int>(faults.size())) continue;
        out += explain(d, path.filename().string(), source);
    }
    return out;
}

void expect_pinned(const fs::path& text, const fs::path& pinned) {
    const std::string now = shown(text);
    if (std::getenv("LICKWRIGHT_BLESS") != nullptr) std::ofstream{pinned, std::ios::binary} << now;
    EXPECT_EQ(bytes_of(pinned), now) << text;
}

fs::path file_named(const fs::path& folder, const std::string& stem) {
    for (const fs::directory_entry& entry : fs::directory_iterator{folder}) {
        if (entry.path().stem() == stem) return entry.path();
    }
    return {};
}

TEST(Diagnostics, every_row_has_a_folder_and_every_folder_a_row) {
    std::set<std::string> rows;
    for (const FaultRow& row : fault_table()) EXPECT_TRUE(rows.emplace(row.slug).second) << row.slug;
    std::set<std::string> folders;
    for (const fs::directory_entry& entry : fs::directory_iterator{rows_folder})
        folders.insert(entry.path().filename().string());
    EXPECT_EQ(rows, folders);
}

TEST(Diagnostics, each_bad_text_is_told_to_the_letter_and_each_good_one_is_clean) {
    for (const FaultRow& row : fault_table()) {
        const fs::path folder = rows_folder / row.slug;
        if (!fs::exists(folder)) continue;  // told by the test above
        const fs::path bad = file_named(folder, "bad");
        const std::vector<Diagnostic> faults = faults_in(bad, bytes_of(bad));
        EXPECT_TRUE(
            std::any_of(faults.begin(), faults.end(),
                        [&](const Diagnostic& d) { return d.slug == row.slug && d.level == row.level; }))
            << row.slug << "\n"
            << shown(bad);
        expect_pinned(bad, folder / "out.txt");
        const fs::path good = file_named(folder, "good");
        EXPECT_EQ(shown(good), "") << row.slug;
    }
}

TEST(Diagnostics, words_and_remedies_are_sentences) {
    for (const FaultRow& row : fault_table()) {
        EXPECT_FALSE(row.words.empty()) << row.slug;
        EXPECT_FALSE(row.remedy.empty()) << row.slug;
        EXPECT_TRUE(row.words.back() == '.' || row.words.back() == '}') << row.slug;
        EXPECT_TRUE(row.remedy.back() == '.' || row.remedy.back() == '}') << row.slug;
    }
}

TEST(Diagnostics, no_message_shows_an_unfilled_place) {
    for (const FaultRow& row : fault_table()) {
        const fs::path bad = file_named(rows_folder / row.slug, "bad");
        for (const Diagnostic& d : faults_in(bad, bytes_of(bad))) {
            for (const std::string_view name :
                 {"{text}",    "{plain}", "{got}",   "{want}",   "{known}",   "{nearest}", "{key}",
                  "{hole}",    "{what}",  "{why}",   "{first}",  "{second}",  "{blow}",    "{draw}",
                  "{deepest}", "{meter}", "{state}", "{name}",   "{example}", "{here}",    "{there}",
                  "{code}",    "{sign}",  "{brace}", "{breath}", "{low}",     "{high}",    "{next}",
                  "{bar}",     "{fence}", "{other}", "{number}", "{holes}",   "{note}"}) {
                EXPECT_EQ(d.words.find(name), std::string::npos) << row.slug << ": " << d.words;
                EXPECT_EQ(d.remedy.find(name), std::string::npos) << row.slug << ": " << d.remedy;
            }
        }
    }
}

TEST(Bad, at_least_150_broken_texts_each_with_its_words) {
    int count = 0;
    for (const fs::directory_entry& entry : fs::directory_iterator{bad_folder}) {
        const fs::path& path = entry.path();
        if (path.extension() == ".out") continue;
        ++count;
        expect_pinned(path, fs::path{path.string() + ".out"});
        EXPECT_NE(shown(path), "") << path;
    }
    EXPECT_GE(count, 150);
}

// A reader or a message that looks through the whole line again for every fault would take minutes here.
TEST(Bad, fifty_thousand_faults_in_one_line_are_told_up_to_the_500th) {
    for (const char* const unit :
         {"4x ", "4d{x ", "4d{x} ", "(4x ", ") ", "[4d] ", ">4b . ", "4d\" ", "| 1 4d ", ":|2 4d "}) {
        std::string source = "title: Porch Step\ntab ";
        for (int i = 0; i < 50000; ++i) source += unit;
        const std::vector<Diagnostic> faults = read_lick(source).diagnostics;
        ASSERT_EQ(faults.size(), 501u) << unit;
        EXPECT_EQ(std::count_if(faults.begin(), faults.end(),
                                [](const Diagnostic& d) { return d.slug == "too-many-faults"; }),
                  1);
        for (const Diagnostic& d : faults)
            EXPECT_NE(explain(d, "x.lick", source).find("\n  "), std::string::npos);
    }
}

TEST(Bad, a_lesson_tells_its_first_500_faults_and_that_there_are_more) {
    std::string source = "---\ntitle: Many\n---\n";
    for (int i = 0; i < 400; ++i) source += "```lick\ntitle: Porch Step\ntab | 4x 4x 3d 2d |\n```\n";
    const std::vector<Diagnostic> faults = read_lesson(source).diagnostics;
    ASSERT_EQ(faults.size(), 501u);
    EXPECT_EQ(faults.back().slug, "too-many-faults");
    // One lick with more than 500 says so once in the lesson, too.
    std::string long_lick = "```lick\ntitle: Porch Step\ntab ";
    for (int i = 0; i < 600; ++i) long_lick += "4x ";
    const std::vector<Diagnostic> of_one =
        read_lesson("---\ntitle: One\n---\n" + long_lick + "\n```\n").diagnostics;
    ASSERT_EQ(of_one.size(), 501u);
    EXPECT_EQ(of_one.back().slug, "too-many-faults");
}

TEST(Bad, the_tidy_form_of_a_text_with_errors_is_the_text_itself) {
    for (const fs::directory_entry& entry : fs::directory_iterator{bad_folder}) {
        if (entry.path().extension() != ".lick") continue;
        const std::string source = bytes_of(entry.path());
        if (has_errors(read_lick(source).diagnostics)) {
            EXPECT_EQ(format_lick(source), source) << entry.path();
        }
    }
}

}  // namespace
}  // namespace lw::text
