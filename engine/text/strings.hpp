// SPDX-License-Identifier: Apache-2.0
//
// Small words about words: code points, trimming, whole and decimal numbers, the nearest known word. Private
// to the room. Only ASCII letters have a case here, so no locale can change what a file means.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lw::text {

[[nodiscard]] constexpr bool is_space(char32_t c) noexcept {
    return c == U' ' || c == U'\t';
}
[[nodiscard]] constexpr bool is_digit(char32_t c) noexcept {
    return c >= U'0' && c <= U'9';
}
[[nodiscard]] constexpr bool is_letter(char32_t c) noexcept {
    return (c >= U'a' && c <= U'z') || (c >= U'A' && c <= U'Z');
}
[[nodiscard]] constexpr char32_t lowered(char32_t c) noexcept {
    return c >= U'A' && c <= U'Z' ? c - U'A' + U'a' : c;
}

void append_utf8(std::string& to, char32_t c);
[[nodiscard]] std::string utf8(std::u32string_view text);
[[nodiscard]] std::string lowered(std::string_view text);
[[nodiscard]] std::u32string_view trimmed(std::u32string_view text) noexcept;
[[nodiscard]] std::string_view trimmed(std::string_view text) noexcept;
/// Parts at spaces, tabs and commas; no part is empty.
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

/// A whole number of digits only; nothing for an empty text, another sign or more than nine digits.
[[nodiscard]] std::optional<int> whole_number(std::string_view text) noexcept;
/// A decimal such as `92`, `92.5`, up to six digits before the point and three after it.
[[nodiscard]] std::optional<double> decimal_number(std::string_view text) noexcept;
/// The shortest such decimal for a number, rounded to thousandths.
[[nodiscard]] std::string decimal_text(double number);

/// How many letters must change, come or go (Levenshtein distance), case aside.
[[nodiscard]] int letters_apart(std::string_view a, std::string_view b);
/// The word of a list with the fewest changes; the first of equals. The list must not be empty.
[[nodiscard]] std::string nearest(std::string_view text, const std::vector<std::string_view>& known);

/// `a, b and c`.
[[nodiscard]] std::string listed(const std::vector<std::string_view>& words);
/// What a message repeats of a text: at most 40 code points, an ellipsis after that.
[[nodiscard]] std::string quoted(std::string_view text);
[[nodiscard]] std::string quoted(std::u32string_view text);

}  // namespace lw::text
