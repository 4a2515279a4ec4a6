// SPDX-License-Identifier: Apache-2.0
//
// Temperaments as ratios to the 1 blow. Chords of a just harp do not beat, at the price of notes that are off
// elsewhere; the four just schemes differ in the fourth and the sixth of the scale (5 and 9 draw, 6 and 10
// draw), which decide in which position the harp is sweet.
//
// Ratios: O. Hansson, Theory of harmonica tuning (2004), scale files for 1st, 2nd and 3rd position and the
// combined 19-limit one. The half-tempered compromise (roots 0, fifths +1, major thirds about -7.5 cents, as
// members of the blow and of the draw chord): P. Missin, Compromise temperaments; he gives nothing for 5, 6,
// 9 and 10 draw, which stay equal here.
//
// Reeds that a tuning moves to a note the standard layout does not have take the 5-limit ratio that makes
// their usual chord pure (Db 16/15, Eb 6/5, F# 45/32, Ab 8/5, Bb 9/5 on a C harp). That is our own choice:
// the source covers the standard layout only.
#include <cmath>

#include "engine/harp/harp.hpp"
#include "engine/harp/plain_words.hpp"

namespace lw::harp {
namespace {

constexpr std::array<int, 2 * hole_count> layout = {0,  2,  4,  7,  7,  11, 12, 14, 16, 17,
                                                    19, 21, 24, 23, 28, 26, 31, 29, 36, 33};

struct Ratio {
    int top;
    int bottom;
};

/// How far a ratio stands from the nearest-named equal-tempered note `semitones` above the same root.
Cents off_equal(Ratio ratio, int semitones) noexcept {
    return {1200.0 * std::log2(static_cast<double>(ratio.top) / ratio.bottom) - 100.0 * semitones};
}

Temperament just(std::string name, Ratio fourth, Ratio sixth) {
    const std::array<Ratio, 12> scale = {
        {{1, 1}, {16, 15}, {9, 8}, {6, 5}, {5, 4}, fourth, {45, 32}, {3, 2}, {8, 5}, sixth, {9, 5}, {15, 8}}};
    Temperament t;
    t.name = std::move(name);
    for (std::size_t step = 0; step < scale.size(); ++step)
        t.moved[step] = off_equal(scale[step], static_cast<int>(step));
    for (std::size_t reed = 0; reed < layout.size(); ++reed)
        t.offset[reed] = t.moved[static_cast<std::size_t>(layout[reed] % 12)];
    return t;
}

Temperament half_tempered() {
    constexpr Cents root{0.0};
    constexpr Cents third{-7.5};
    constexpr Cents fifth{1.0};
    constexpr Cents left_equal{0.0};
    Temperament t;
    t.name = "half-tempered compromise";
    //            blow 1, draw 1, ...
    t.offset = {root,  fifth,      third, root,  fifth, third, root,  fifth,      third, left_equal,
                fifth, left_equal, root,  third, third, fifth, fifth, left_equal, root,  left_equal};
    return t;
}

std::vector<Temperament> make_known() {
    Temperament equal;
    equal.name = "equal";
    return {
        equal,
        just("just 1st position", {4, 3}, {5, 3}),
        just("just 2nd position", {21, 16}, {27, 16}),
        just("just 3rd position", {27, 20}, {27, 16}),
        just("just 19-limit", {171, 128}, {27, 16}),
        half_tempered(),
    };
}

struct Alias {
    std::string_view heard;
    std::string_view name;
};
/// `5-limit` is left out on purpose: the trade uses it for two different schemes.
constexpr std::array<Alias, 5> aliases = {{
    {"equal temperament", "equal"},
    {"12 tet", "equal"},
    {"7 limit", "just 2nd position"},
    {"19 limit", "just 19 limit"},
    {"half tempered", "half tempered compromise"},
}};

}  // namespace

const std::vector<Temperament>& known_temperaments() {
    static const std::vector<Temperament> known = make_known();
    return known;
}

const Temperament& equal_temperament() {
    return known_temperaments().front();
}

std::optional<Temperament> temperament_named(std::string_view text) {
    std::string wanted = detail::plain_words(text);
    for (const Alias& alias : aliases) {
        if (wanted == alias.heard) wanted = alias.name;
    }
    for (const Temperament& t : known_temperaments()) {
        if (detail::plain_words(t.name) == wanted) return t;
    }
    return std::nullopt;
}

}  // namespace lw::harp
