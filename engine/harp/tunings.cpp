// SPDX-License-Identifier: Apache-2.0
//
// Tunings as lists of twenty reeds. The standard layout: H. Skjerning, OEIS A291810 (2017). The others change
// a few of its reeds: "Richter-tuned harmonica", Wikipedia, section on specially tuned instruments; raised 3
// blow also in the folk encyclopedia page "Tuning" (banjolin.co.uk). Names are generic ones; two words that
// the trade uses for the first two ("paddy", "country") are understood too.
#include "engine/harp/harp.hpp"
#include "engine/harp/plain_words.hpp"

namespace lw::harp {
namespace {

using Semis = std::array<int, 2 * hole_count>;

constexpr Semis richter = {0, 2, 4, 7, 7, 11, 12, 14, 16, 17, 19, 21, 24, 23, 28, 26, 31, 29, 36, 33};

constexpr std::size_t index_of(Reed reed) noexcept {
    return static_cast<std::size_t>(2 * (reed.hole - 1) + (reed.breath == Breath::draw ? 1 : 0));
}

struct Change {
    Reed reed;
    int semitones;
};

Tuning changed(std::string name, int label_position, std::initializer_list<Change> changes) {
    Tuning t{std::move(name), richter, label_position};
    for (const Change& c : changes) t.semitones[index_of(c.reed)] += c.semitones;
    return t;
}

std::vector<Tuning> make_known() {
    constexpr Breath blow = Breath::blow;
    constexpr Breath draw = Breath::draw;
    return {
        changed("standard", 1, {}),
        changed("raised 3 blow", 1, {{{3, blow}, 2}}),
        changed("raised 5 draw", 1, {{{5, draw}, 1}}),
        changed("raised 5 and 9 draw", 1, {{{5, draw}, 1}, {{9, draw}, 1}}),
        changed("second-position major", 2, {{{3, blow}, 2}, {{5, draw}, 1}, {{9, draw}, 1}}),
        changed("natural minor", 2,
                {{{2, blow}, -1}, {{5, blow}, -1}, {{8, blow}, -1}, {{3, draw}, -1}, {{7, draw}, -1}}),
        changed("harmonic minor", 1,
                {{{2, blow}, -1}, {{5, blow}, -1}, {{8, blow}, -1}, {{6, draw}, -1}, {{10, draw}, -1}}),
    };
}

struct Alias {
    std::string_view heard;
    std::string_view name;
};
constexpr std::array<Alias, 3> aliases = {{
    {"richter", "standard"},
    {"paddy", "raised 3 blow"},
    {"country", "raised 5 draw"},
}};

/// One word of changes: hole, breath, sign, semitones.
tl::expected<Change, std::string> read_change(std::string_view word) {
    const std::string quoted = "`" + std::string{word} + "`";
    const std::string how = " Write the hole, b or d, and the semitones up or down, such as 3b+2.";
    std::size_t i = 0;
    const auto number = [&]() -> std::optional<int> {
        int value = 0;
        std::size_t digits = 0;
        for (; i < word.size() && word[i] >= '0' && word[i] <= '9'; ++i, ++digits) {
            if (digits == 3) return std::nullopt;
            value = 10 * value + (word[i] - '0');
        }
        if (digits == 0) return std::nullopt;
        return value;
    };
    const auto wrong = [&] { return tl::unexpected(quoted + " is not a change of a reed." + how); };
    const std::optional<int> hole = number();
    if (!hole || i >= word.size()) return wrong();
    if (*hole < 1 || *hole > hole_count) {
        return tl::unexpected(quoted + " names hole " + std::to_string(*hole) + "; holes run from 1 to 10.");
    }
    const char breath = word[i++];
    if ((breath != 'b' && breath != 'd') || i >= word.size()) return wrong();
    const char sign = word[i++];
    if (sign != '+' && sign != '-') return wrong();
    const std::optional<int> steps = number();
    if (!steps || i != word.size()) return wrong();
    if (*steps < 1 || *steps > 12) {
        return tl::unexpected(quoted + " moves a reed by " + std::to_string(*steps) +
                              " semitones; 1 to 12 can be written.");
    }
    return Change{{*hole, breath == 'b' ? Breath::blow : Breath::draw}, sign == '+' ? *steps : -*steps};
}

}  // namespace

const std::vector<Tuning>& known_tunings() {
    static const std::vector<Tuning> known = make_known();
    return known;
}

const Tuning& standard_tuning() {
    return known_tunings().front();
}

std::optional<Tuning> tuning_named(std::string_view text) {
    std::string wanted = detail::plain_words(text);
    for (const Alias& alias : aliases) {
        if (wanted == alias.heard) wanted = alias.name;
    }
    for (const Tuning& t : known_tunings()) {
        if (detail::plain_words(t.name) == wanted) return t;
    }
    return std::nullopt;
}

tl::expected<Tuning, std::string> tuning_from_changes(std::string_view name, std::string_view changes) {
    Tuning tuning{std::string{name}, richter, 1};
    std::array<bool, 2 * hole_count> seen{};
    bool any = false;
    std::size_t i = 0;
    const auto parts_words = [](char c) { return c == ' ' || c == '\t' || c == ','; };
    while (i < changes.size()) {
        if (parts_words(changes[i])) {
            ++i;
            continue;
        }
        const std::size_t begin = i;
        while (i < changes.size() && !parts_words(changes[i])) ++i;
        const std::string_view word = changes.substr(begin, i - begin);
        const tl::expected<Change, std::string> change = read_change(word);
        if (!change) return tl::unexpected(change.error());
        const std::size_t reed = index_of(change->reed);
        if (seen[reed]) {
            return tl::unexpected("`" + std::string{word} + "` changes a reed that was changed before it.");
        }
        seen[reed] = true;
        any = true;
        tuning.semitones[reed] += change->semitones;
    }
    if (!any) return tl::unexpected(std::string{"A tuning needs at least one change, such as 3b+2."});
    return tuning;
}

}  // namespace lw::harp
