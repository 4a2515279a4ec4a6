// SPDX-License-Identifier: Apache-2.0
#include "engine/text/meant.hpp"

#include <algorithm>
#include <array>
#include <optional>

#include "engine/lick/lick.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

struct Pair {
    std::string_view word;
    std::string_view meaning;
};

template <std::size_t n>
std::string_view looked_up(const std::array<Pair, n>& pairs, std::string_view word) noexcept {
    for (const Pair& pair : pairs) {
        if (pair.word == word) return pair.meaning;
    }
    return {};
}

std::optional<double> tempo_of(std::string_view text) {
    const std::optional<double> number = decimal_number(text);
    const bool fits = number && *number >= lick::slowest_tempo.value && *number <= lick::fastest_tempo.value;
    return fits ? number : std::nullopt;
}

/// Runs of digits and points that are tempos, the first few.
std::vector<double> tempos_in(std::string_view text) {
    constexpr std::size_t enough = 8;  // a ladder has no more
    std::vector<double> tempos;
    for (std::size_t i = 0; i < text.size() && tempos.size() < enough;) {
        const std::size_t end = std::min(text.find_first_not_of("0123456789.", i), text.size());
        if (const std::optional<double> tempo = tempo_of(text.substr(i, end - i))) tempos.push_back(*tempo);
        i = std::max(end, i + 1);
    }
    return tempos;
}

/// 1 to 12 for a word that counts, or for a name of a position (common practice, no source).
int number_word(std::string_view word) noexcept {
    constexpr std::array<std::array<std::string_view, 3>, 12> words = {{{"first", "one", "straight"},
                                                                        {"second", "two", "cross"},
                                                                        {"third", "three", "slant"},
                                                                        {"fourth", "four", ""},
                                                                        {"fifth", "five", ""},
                                                                        {"sixth", "six", ""},
                                                                        {"seventh", "seven", ""},
                                                                        {"eighth", "eight", ""},
                                                                        {"ninth", "nine", ""},
                                                                        {"tenth", "ten", ""},
                                                                        {"eleventh", "eleven", ""},
                                                                        {"twelfth", "twelve", ""}}};
    for (std::size_t i = 0; i < words.size(); ++i) {
        for (const std::string_view known : words[i])
            if (!word.empty() && word == known) return static_cast<int>(i) + 1;
    }
    for (int n = 1; n <= 12; ++n)
        if (word == std::to_string(n) || word == harp::ordinal(n)) return n;
    return 0;
}

}  // namespace

std::string_view key_meant(std::string_view word) noexcept {
    constexpr std::array<Pair, 10> words = {{{"key", "harp"},
                                             {"harmonica", "harp"},
                                             {"color", "colour"},
                                             {"bpm", "tempo"},
                                             {"speed", "tempo"},
                                             {"time", "meter"},
                                             {"pos", "position"},
                                             {"page", "paper"},
                                             {"author", "credit"},
                                             {"url", "more"}}};
    return looked_up(words, word);
}

std::string key_remedy(std::string_view key, std::string_view value) {
    std::string told = "Write it as " + std::string{key} + ":";
    if (!value.empty()) told += " " + quoted(value);
    if (key == "harp") told += " (the key of the harp; the key of the music follows from the position)";
    return told + ".";
}

std::string tempo_remedy(std::string_view text) {
    if (const std::size_t comma = text.find(',');
        comma != std::string_view::npos && comma + 3 >= text.size()) {
        std::string pointed{text};
        pointed[comma] = '.';
        if (tempo_of(pointed)) return "Write a point in the number: tempo: " + pointed + ".";
    }
    const std::vector<double> tempos = tempos_in(text);
    if (tempos.empty()) return "Write beats a minute, a number from 20 to 400: tempo: 92.";
    if (tempos.size() == 1) return "Write the number alone: tempo: " + decimal_text(tempos.front()) + ".";
    std::string steps;
    for (const double tempo : tempos) steps += " " + decimal_text(tempo);
    return "Write one tempo, tempo: " + decimal_text(tempos.back()) +
           ", and the steps from slow to fast as ladder:" + steps + ".";
}

std::string position_remedy(std::string_view text, harp::Key harp) {
    const std::vector<std::string> words = words_of(text);
    if (!words.empty()) {
        if (const int number = number_word(lowered(words.front())); number > 0)
            return "Write the number alone: position: " + std::to_string(number) + ".";
        if (const std::optional<harp::Key> music = harp::key_named(words.front()))
            return "Write a number; music in " + std::string{harp::name(*music)} + " on a harp in " +
                   std::string{harp::name(harp)} +
                   " is position: " + std::to_string(harp::position(harp, *music)) + ".";
    }
    return "Positions run from 1 to 12: position: 2.";
}

std::string token_remedy(std::string_view text) {
    if (text.find('/') != std::string_view::npos)
        return "Only a group takes a /, as in (2d 3d)/2; a longer note is held with -, one a slot: 2d -.";
    return "A note is a hole and its breath, 4b or 4d; a rest is . and a hold is -.";
}

std::string gesture_remedy(std::string_view name, const std::vector<std::string_view>& known) {
    constexpr std::string_view bend = "A bend stands right behind the letter, one ' for each half step: 3d'.";
    constexpr std::string_view overbend = "Overblow and overdraw are an o behind the letter: 6bo, 7do.";
    constexpr std::string_view slide = "A slide is a > before the note it goes to, a glide >>: 4d >3d.";
    constexpr std::string_view shake = "It is called {shake 5} here, with the other hole.";
    constexpr std::array<Pair, 14> words = {{{"bend", bend},
                                             {"bent", bend},
                                             {"bends", bend},
                                             {"overblow", overbend},
                                             {"overdraw", overbend},
                                             {"ob", overbend},
                                             {"od", overbend},
                                             {"slide", slide},
                                             {"glide", slide},
                                             {"gliss", slide},
                                             {"warble", shake},
                                             {"trill", shake},
                                             {"staccato", "It is called {short} here."},
                                             {"hand", "It is called {wah} here."}}};
    const std::string_view told = looked_up(words, name);
    return told.empty() ? "The nearest is {" + nearest(name, known) + "}." : std::string{told};
}

}  // namespace lw::text
