// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lessons: head, defaults, fences, slugs. Where the fences are is judged by md4c, a CommonMark parser of its
// own that this project does not use for reading.
#include "engine/text/lesson.hpp"

#include <gtest/gtest.h>
#include <md4c.h>

#include "tests/support/random_lick.hpp"

namespace lw::text {
namespace {

const std::string lick_text = "title: Porch Step\n\ntab | 4d 4b 3d 2d |\n";

struct Blocks {
    std::vector<std::string> licks;
    bool inside = false;
};

/// The texts of the blocks marked `lick`, as md4c sees them.
std::vector<std::string> judged(const std::string& text) {
    MD_PARSER parser{};
    parser.flags = MD_DIALECT_COMMONMARK;
    parser.enter_block = [](MD_BLOCKTYPE type, void* detail, void* user) {
        auto& blocks = *static_cast<Blocks*>(user);
        if (type != MD_BLOCK_CODE) return 0;
        const auto& code = *static_cast<MD_BLOCK_CODE_DETAIL*>(detail);
        blocks.inside = code.fence_char != 0 && std::string(code.lang.text, code.lang.size) == "lick";
        if (blocks.inside) blocks.licks.emplace_back();
        return 0;
    };
    parser.leave_block = [](MD_BLOCKTYPE type, void*, void* user) {
        if (type == MD_BLOCK_CODE) static_cast<Blocks*>(user)->inside = false;
        return 0;
    };
    parser.enter_span = parser.leave_span = [](MD_SPANTYPE, void*, void*) { return 0; };
    parser.text = [](MD_TEXTTYPE, const MD_CHAR* chars, MD_SIZE size, void* user) {
        auto& blocks = *static_cast<Blocks*>(user);
        if (blocks.inside) blocks.licks.back().append(chars, size);
        return 0;
    };
    Blocks blocks;
    EXPECT_EQ(md_parse(text.data(), static_cast<MD_SIZE>(text.size()), &parser, &blocks), 0);
    return blocks.licks;
}

std::vector<std::string> ours(const std::string& text) {
    std::vector<std::string> licks;
    for (const LessonLick& l : read_lesson(text).lesson.licks) licks.push_back(l.source);
    return licks;
}

TEST(Lesson, fences_are_where_an_independent_parser_sees_them) {
    for (const std::string& text : std::vector<std::string>{"```lick\na\n```\n",
                                                            "~~~lick\na\n~~~\n",
                                                            "~~~~ lick more words\n~~~\na\n~~~~~~\n",
                                                            "   ```lick\n   a\n  b\n     c\n   ```\n",
                                                            "    ```lick\n    a\n    ```\n",
                                                            "``lick\na\n``\n",
                                                            "```lick\na\n",
                                                            "````lick\n```\na\n````   \n",
                                                            "```lick `x`\na\n```\n",
                                                            "```licks\na\n```\n",
                                                            "words\n```lick\na\n```\nwords\n",
                                                            "```\n```lick\na\n```\n",
                                                            "<!--\n```lick\na\n```\n-->\n",
                                                            "<div>\n```lick\na\n```\n\n```lick\nb\n```\n",
                                                            "<pre>\n```lick\n</pre>\n```lick\na\n```\n",
                                                            "```lick\n\n\na\n\n```\n",
                                                            "```lick\na\n    ```\n```\n",
                                                            "~~~lick\na\n```\n~~~\n",
                                                            "<!DOCTYPE\n```lick\n>\n```lick\na\n```\n",
                                                            "<div>\n```lick\na\n```\n",
                                                            "<!--\n```lick\na\n```\n",
                                                            "<x\n```lick\na\n```\n"}) {
        EXPECT_EQ(ours(text), judged(text)) << text;
    }
}

TEST(Lesson, fences_agree_on_texts_made_by_chance) {
    const std::vector<std::string> lines = {"```lick", "```",       "~~~lick", "~~~",       "````lick",
                                            "````",    "words",     "",        "  ```",     "   ~~~",
                                            "a b",     "```lick x", "# x",     "<!-- x -->"};
    for (std::uint64_t seed = 0; seed < 3000; ++seed) {
        support::Dice dice{seed};
        std::string text;
        for (int i = dice.roll(1, 12); i > 0; --i) text += dice.pick(lines) + "\n";
        EXPECT_EQ(ours(text), judged(text)) << "seed " << seed << "\n" << text;
    }
}

TEST(Lesson, head_and_house_are_the_defaults_of_its_licks) {
    const HouseReading house = read_house(
        "name: The Towpath Class\nrepeats: 4\npaper: letter\nscreen: portrait 60\n"
        "tuning evening: 5d+1\nlink: All: https://example.org/all\n");
    EXPECT_EQ(house.diagnostics.size(), 0u);
    const LessonReading r = read_lesson(
        "---\ntitle: Three roads\ndate: 2026-03-06\nharp: A\ntuning: evening\nladder: 50% "
        "100%\n---\n\nHello.\n\n"
        "```lick\ntitle: Café Größe!\nrepeats: 1\ntab | 4d 4b 3d 2d |\n```\n\n"
        "```lick\ntitle: Café Größe!\nharp: C\ntab | 4d 4b 3d 2d |\n```\nBye.\n",
        house.house);
    ASSERT_EQ(r.diagnostics.size(), 0u);
    ASSERT_EQ(r.lesson.licks.size(), 2u);
    EXPECT_EQ(r.lesson.title, "Three roads");
    EXPECT_EQ(r.lesson.date, "2026-03-06");
    EXPECT_EQ(harp::name(r.lesson.licks[0].lick.head.harp), "A");
    EXPECT_EQ(r.lesson.licks[0].lick.head.harp.tuning.name, "evening");
    EXPECT_EQ(harp::name(r.lesson.licks[1].lick.head.harp), "C");
    EXPECT_EQ(r.lesson.licks[0].clips.repeats, 1);
    EXPECT_EQ(r.lesson.licks[1].clips.repeats, 4);
    EXPECT_EQ(r.lesson.licks[1].clips.ladder_percent, (std::vector<int>{50, 100}));
    EXPECT_EQ(r.lesson.sheet.paper, Paper::letter);
    ASSERT_EQ(r.lesson.screens.size(), 1u);
    EXPECT_EQ(r.lesson.screens[0].frames_per_second, 60);
    EXPECT_EQ(r.lesson.licks[0].slug, "01-cafe-grosse");
    EXPECT_EQ(r.lesson.licks[1].slug, "02-cafe-grosse");
    ASSERT_EQ(r.lesson.passages.size(), 4u);
    EXPECT_EQ(r.lesson.passages[0].prose, "\nHello.\n\n");
    EXPECT_EQ(r.lesson.passages[1].lick, 0u);
    EXPECT_EQ(r.lesson.passages[3].prose, "Bye.\n");
}

TEST(Lesson, tidying_touches_licks_only) {
    const std::string before = "---\ntitle:   T\n---\r\nSome   prose.  \n\n  ~~~lick\n" +
                               std::string{"  title: A\n  tab|4d 4b 3d  2d|\n"} + "  ~~~\n*  end";
    const std::string after =
        "---\ntitle:   T\n---\r\nSome   prose.  \n\n  ~~~lick\n  title: A\n  tab | 4d 4b 3d 2d |\n  ~~~\n*  "
        "end";
    EXPECT_EQ(format_lesson(before), after);
    EXPECT_EQ(format_lesson(after), after);
}

TEST(Lesson, places_are_counted_in_the_lesson) {
    const LessonReading r =
        read_lesson("---\ntitle: T\n---\n\n  ```lick\n  title: A\n  tab | 4d 4x 3d 2d |\n  ```\n");
    ASSERT_EQ(r.diagnostics.size(), 1u);
    EXPECT_EQ(r.diagnostics[0].place.line, 7);
    EXPECT_EQ(r.diagnostics[0].place.column, 12);
    EXPECT_EQ(r.lesson.licks[0].first_line, 6);
    EXPECT_EQ(r.lesson.licks[0].lick.bars[0].events[0].place.column, 9);
}

TEST(Lesson, a_house_file_is_tidied_and_says_how_things_look) {
    const std::string text =
        "NAME:   The Towpath Class\n\n\nprint: large\nspelling: arrows\nstaff: yes\nscreen: portrait prores "
        "2160 25\n"
        "screen: portrait prores 2160 25\nscreen: lower-third mp4 # over a colour\n";
    const HouseReading house = read_house(text);
    ASSERT_EQ(house.diagnostics.size(), 0u);
    EXPECT_TRUE(house.house.sheet.large_print);
    EXPECT_TRUE(house.house.sheet.staff);
    EXPECT_EQ(house.house.sheet.spelling, Spelling::arrows);
    ASSERT_EQ(house.house.screens.size(), 2u) << "the same screen twice is one";
    EXPECT_EQ(house.house.screens[0].kind, ScreenChoice::Kind::prores);
    EXPECT_EQ(house.house.screens[0].lines, 2160);
    EXPECT_EQ(house.house.screens[1].shape, ScreenChoice::Shape::lower_third);
    const std::string tidy = format_house(text);
    EXPECT_EQ(tidy.substr(0, 41), "name: The Towpath Class\n\nprint: large\nspe");
    EXPECT_EQ(format_house(tidy), tidy);
    EXPECT_EQ(read_house(tidy).house.screens, house.house.screens);
    EXPECT_EQ(format_house("nmae:  x\n"), "nmae:  x\n") << "a text with errors comes back as it was";
}

TEST(Lesson, slugs_are_plain_letters) {
    const auto slug = [](const std::string& title) {
        return read_lesson("```lick\ntitle: " + title + "\ntab | 4d 4b 3d 2d |\n```\n")
            .lesson.licks.at(0)
            .slug;
    };
    EXPECT_EQ(slug("Łódź Railroad’s End"), "01-lodz-railroads-end");
    EXPECT_EQ(slug("  --- !"), "01-lick") << "nothing that a name could be made of";
    EXPECT_EQ(slug(std::string(100, 'a')), "01-" + std::string(60, 'a'));
}

}  // namespace
}  // namespace lw::text
