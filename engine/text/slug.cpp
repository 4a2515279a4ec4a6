// SPDX-License-Identifier: Apache-2.0
#include "engine/text/slug.hpp"

#include "engine/text/source.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

/// Longer names are cut; some archive formats and old disks do not take them.
constexpr std::size_t longest = 60;

/// Latin-1 letters from U+00C0 and Latin Extended-A from U+0100 as ASCII; `-` for what is no letter.
constexpr std::string_view latin_1 = "aaaaaaaceeeeiiiidnooooo-ouuuuytsaaaaaaaceeeeiiiidnooooo-ouuuuyty";
constexpr std::string_view latin_a =
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiiiiijjkkkllllllllllnnnnnnnnnoooooooorrrrrrssssssss"
    "ttttttuuuuuuuuuuuuwwyyyzzzzzzs";
static_assert(latin_1.size() == 64 && latin_a.size() == 128);

}  // namespace

std::string title_slug(std::string_view title) {
    std::string words;
    for (const char32_t c : decoded(title)) {
        char letter = '-';
        if (is_letter(c) || is_digit(c))
            letter = static_cast<char>(lowered(c));
        else if (c >= 0xC0 && c < 0x100)
            letter = latin_1[c - 0xC0];
        else if (c >= 0x100 && c < 0x180)
            letter = latin_a[c - 0x100];
        else if (c == U'\'' || c == U'’')
            continue;
        if (letter == '-' && (words.empty() || words.back() == '-')) continue;
        words += letter;
        if (c == U'ß') words += 's';
    }
    if (words.size() > longest) words.resize(longest);
    while (!words.empty() && words.back() == '-') words.pop_back();
    return words.empty() ? "lick" : words;
}

std::string file_slug(std::size_t number, std::string_view title) {
    return (number < 10 ? "0" : "") + std::to_string(number) + "-" + title_slug(title);
}

}  // namespace lw::text
