// SPDX-License-Identifier: Apache-2.0
#include "engine/text/strings.hpp"

#include <algorithm>

namespace lw::text {

void append_utf8(std::string& to, char32_t c) {
    const auto byte = [&](std::uint32_t b) { to += static_cast<char>(b); };
    if (c < 0x80) {
        byte(c);
    } else if (c < 0x800) {
        byte(0xC0 | (c >> 6));
        byte(0x80 | (c & 0x3F));
    } else if (c < 0x10000) {
        byte(0xE0 | (c >> 12));
        byte(0x80 | ((c >> 6) & 0x3F));
        byte(0x80 | (c & 0x3F));
    } else {
        byte(0xF0 | (c >> 18));
        byte(0x80 | ((c >> 12) & 0x3F));
        byte(0x80 | ((c >> 6) & 0x3F));
        byte(0x80 | (c & 0x3F));
    }
}

std::string utf8(std::u32string_view text) {
    std::string out;
    out.reserve(text.size());
    for (const char32_t c : text) append_utf8(out, c);
    return out;
}

std::string lowered(std::string_view text) {
    std::string out{text};
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return out;
}

std::u32string_view trimmed(std::u32string_view text) noexcept {
    while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
    return text;
}

std::string_view trimmed(std::string_view text) noexcept {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    for (const char c : text) {
        if (c == ' ' || c == '\t' || c == ',') {
            if (!word.empty()) words.push_back(std::move(word));
            word.clear();
        } else {
            word += c;
        }
    }
    if (!word.empty()) words.push_back(std::move(word));
    return words;
}

std::optional<int> whole_number(std::string_view text) noexcept {
    if (text.empty() || text.size() > 9) return std::nullopt;
    int value = 0;
    for (const char c : text) {
        if (c < '0' || c > '9') return std::nullopt;
        value = 10 * value + (c - '0');
    }
    return value;
}

std::optional<double> decimal_number(std::string_view text) noexcept {
    const std::size_t point = text.find('.');
    const std::string_view before = text.substr(0, point);
    const std::string_view after =
        point == std::string_view::npos ? std::string_view{} : text.substr(point + 1);
    if (before.size() > 6 || after.size() > 3) return std::nullopt;
    if (point != std::string_view::npos && after.empty()) return std::nullopt;
    const std::optional<int> whole = whole_number(before);
    if (!whole) return std::nullopt;
    if (after.empty()) return *whole;
    std::optional<int> part = whole_number(after);
    if (!part) return std::nullopt;
    for (std::size_t i = after.size(); i < 3; ++i) *part *= 10;
    return (*whole * 1000.0 + *part) / 1000.0;
}

std::string decimal_text(double number) {
    const auto thousandths = static_cast<std::int64_t>(number * 1000.0 + 0.5);
    std::string text = std::to_string(thousandths / 1000);
    if (thousandths % 1000 == 0) return text;
    std::string part = std::to_string(1000 + thousandths % 1000).substr(1);
    while (part.back() == '0') part.pop_back();
    return text + "." + part;
}

int letters_apart(std::string_view a, std::string_view b) {
    // Words longer than this are not typing slips of a known word.
    constexpr std::size_t longest = 40;
    a = a.substr(0, longest);
    b = b.substr(0, longest);
    std::vector<int> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = static_cast<int>(j);
    for (std::size_t i = 1; i <= a.size(); ++i) {
        int diagonal = row[0];
        row[0] = static_cast<int>(i);
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = lowered(static_cast<char32_t>(static_cast<unsigned char>(a[i - 1]))) ==
                              lowered(static_cast<char32_t>(static_cast<unsigned char>(b[j - 1])));
            const int best = std::min({row[j] + 1, row[j - 1] + 1, diagonal + (same ? 0 : 1)});
            diagonal = row[j];
            row[j] = best;
        }
    }
    return row[b.size()];
}

std::string nearest(std::string_view text, const std::vector<std::string_view>& known) {
    std::string_view best = known.front();
    int fewest = letters_apart(text, best);
    for (const std::string_view word : known) {
        const int apart = letters_apart(text, word);
        if (apart < fewest) {
            fewest = apart;
            best = word;
        }
    }
    return std::string{best};
}

std::string listed(const std::vector<std::string_view>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? " and " : ", ";
        out += words[i];
    }
    return out;
}

std::string quoted(std::string_view text) {
    constexpr int longest = 40;
    std::string out;
    int points = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool starts_point = (static_cast<unsigned char>(text[i]) & 0xC0) != 0x80;
        if (starts_point && ++points > longest) return out + "…";
        out += text[i];
    }
    return out;
}

std::string quoted(std::u32string_view text) {
    return quoted(utf8(text));
}

}  // namespace lw::text
