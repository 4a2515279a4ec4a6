// SPDX-License-Identifier: Apache-2.0
//
// Values of the head that are choices: clips, screens, dates, addresses, colours.
#include <algorithm>

#include "engine/text/head.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

constexpr std::size_t longest_ladder = 8;

/// `60%`, or a tempo `76`. Both may not be mixed.
struct Step {
    std::optional<int> percent;
    std::optional<double> tempo;
};
Step step_of(std::string_view word) {
    Step step;
    if (!word.empty() && word.back() == '%') {
        const std::optional<int> n = whole_number(word.substr(0, word.size() - 1));
        if (n && *n >= 10 && *n <= 200) step.percent = n;
    } else {
        const std::optional<double> n = decimal_number(word);
        if (n && *n >= lick::slowest_tempo.value && *n <= lick::fastest_tempo.value) step.tempo = n;
    }
    return step;
}

/// A word of a value with the place where it was typed.
struct Piece {
    std::string text;
    lick::Place place;
};

/// The words of a value; they are parted where words_of parts them.
std::vector<Piece> pieces_of(const Value& value) {
    std::vector<Piece> pieces;
    lick::Place at = value.place;
    at.length = 0;
    bool open = false;
    for (const char c : value.text) {
        const bool starts_point = (static_cast<unsigned char>(c) & 0xC0) != 0x80;
        if (c == ' ' || c == '\t' || c == ',') {
            open = false;
        } else {
            if (!open) pieces.push_back({"", at});
            open = true;
            pieces.back().text += c;
            if (starts_point) ++pieces.back().place.length;
        }
        if (starts_point) ++at.column;
    }
    return pieces;
}

int days_in_month(int year, int month) {
    constexpr std::array<int, 12> days = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[static_cast<std::size_t>(month - 1)];
}

bool plain_file_name(std::string_view text) {
    return text.find_first_of("/\\:*?\"<>|") == std::string_view::npos && text.front() != '.';
}

bool ends_with(std::string_view text, std::string_view end) {
    return text.size() > end.size() && text.substr(text.size() - end.size()) == end;
}

}  // namespace

std::optional<std::size_t> read_choice(const Value& value, const std::vector<std::string_view>& known,
                                       Report& report) {
    const std::string wanted = lowered(value.text);
    const auto found = std::find(known.begin(), known.end(), wanted);
    if (found != known.end()) return static_cast<std::size_t>(found - known.begin());
    report.add(Fault::choice_unknown, value.place,
               {{"text", quoted(value.text)},
                {"key", std::string{value.key}},
                {"known", listed(known)},
                {"nearest", nearest(wanted, known)}});
    return std::nullopt;
}

void read_ladder(const Value& value, ClipChoices& clips, Report& report) {
    std::vector<int> percents;
    std::vector<BeatsPerMinute> tempos;
    for (const Piece& piece : pieces_of(value)) {
        const Step step = step_of(piece.text);
        if (!step.percent && !step.tempo)
            return report.add(Fault::ladder_unknown, piece.place, {{"text", quoted(piece.text)}});
        if (step.percent ? !tempos.empty() : !percents.empty()) {
            return report.add(Fault::ladder_mixed, piece.place,
                              {{"text", quoted(piece.text)},
                               {"other", step.percent ? "a tempo" : "a percent"},
                               {"example", step.percent ? "60 76 92" : "60% 80% 100%"}});
        }
        if (percents.size() + tempos.size() == longest_ladder)
            return report.add(Fault::ladder_too_long, piece.place, {{"text", quoted(piece.text)}});
        if (step.percent) percents.push_back(*step.percent);
        if (step.tempo) tempos.push_back({*step.tempo});
    }
    if (percents.empty() && tempos.empty()) {
        report.add(Fault::ladder_unknown, value.place, {{"text", quoted(value.text)}});
        return;
    }
    if (!percents.empty()) clips.ladder_percent = percents;
    clips.ladder_tempos = tempos;
}

void settle_ladder(ClipChoices& clips, BeatsPerMinute tempo) {
    if (clips.ladder_tempos.empty()) return;
    clips.ladder_percent.clear();
    for (const BeatsPerMinute step : clips.ladder_tempos) {
        const int percent = static_cast<int>(100.0 * step.value / tempo.value + 0.5);
        clips.ladder_percent.push_back(std::clamp(percent, 10, 200));
    }
}

void read_repeats(const Value& value, ClipChoices& clips, Report& report) {
    const std::optional<int> number = whole_number(value.text);
    if (!number || *number < 1 || *number > 16) {
        report.add(Fault::repeats_range, value.place, {{"text", quoted(value.text)}});
        return;
    }
    clips.repeats = *number;
}

void read_formats(const Value& value, ClipChoices& clips, Report& report) {
    const std::vector<std::string_view> known = {"wav", "flac", "mp3", "ogg"};
    std::vector<std::string> formats;
    for (const Piece& piece : pieces_of(value)) {
        const auto i = read_choice({piece.text, piece.place, value.key}, known, report);
        if (!i) return;
        if (std::find(formats.begin(), formats.end(), known[*i]) == formats.end())
            formats.emplace_back(known[*i]);
    }
    if (!formats.empty()) clips.formats = formats;
}

void read_screen(const Value& value, std::vector<ScreenChoice>& screens, Report& report) {
    const std::vector<std::string_view> known = {"landscape", "portrait", "lower-third", "webm",
                                                 "prores",    "mp4",      "1080",        "2160",
                                                 "25",        "30",       "50",          "60"};
    ScreenChoice screen;
    for (const Piece& piece : pieces_of(value)) {
        const auto i = read_choice({piece.text, piece.place, value.key}, known, report);
        if (!i) return;
        if (*i < 3)
            screen.shape = static_cast<ScreenChoice::Shape>(*i);
        else if (*i < 6)
            screen.kind = static_cast<ScreenChoice::Kind>(*i - 3);
        else if (*i < 8)
            screen.lines = *i == 6 ? 1080 : 2160;
        else
            screen.frames_per_second = *whole_number(known[*i]);
    }
    if (std::find(screens.begin(), screens.end(), screen) == screens.end()) screens.push_back(screen);
}

void read_date(const Value& value, std::string& date, Report& report) {
    const std::string_view text = value.text;
    const bool shaped = text.size() == 10 && text[4] == '-' && text[7] == '-';
    const auto part = [&](std::size_t from, std::size_t length) {
        return shaped ? whole_number(text.substr(from, length)) : std::nullopt;
    };
    const auto year = part(0, 4);
    const auto month = part(5, 2);
    const auto day = part(8, 2);
    if (!year || !month || !day || *year < 1 || *month < 1 || *month > 12 || *day < 1 ||
        *day > days_in_month(*year, *month)) {
        report.add(Fault::date_unknown, value.place, {{"text", quoted(value.text)}});
        return;
    }
    date = value.text;
}

void read_colour(const Value& value, std::string& colour, Report& report) {
    const std::string text = lowered(value.text);
    const bool fits = text.size() == 7 && text[0] == '#' &&
                      text.find_first_not_of("0123456789abcdef", 1) == std::string::npos;
    if (!fits) {
        report.add(Fault::colour_unknown, value.place, {{"text", quoted(value.text)}});
        return;
    }
    colour = text;
}

void read_logo(const Value& value, std::string& logo, Report& report) {
    const std::string text = lowered(value.text);
    if (!plain_file_name(text) || !ends_with(text, ".png")) {
        report.add(Fault::logo_unknown, value.place, {{"text", quoted(value.text)}});
        return;
    }
    logo = value.text;
}

bool read_address(const Value& value, std::string_view address, Report& report) {
    bool fits = false;
    for (const std::string_view start : {"https://", "http://"}) {
        fits = fits || (address.size() > start.size() && address.substr(0, start.size()) == start);
    }
    fits = fits && address.find_first_of(" \t\"<>") == std::string_view::npos;
    if (!fits) {
        // The address is the end of the value, or all of it.
        lick::Place place = value.place;
        const auto points = static_cast<int>(decoded(address).size());
        if (points > 0) {
            place.column += place.length - points;
            place.length = points;
        }
        report.add(Fault::address_unknown, place, {{"text", quoted(address)}});
    }
    return fits;
}

}  // namespace lw::text
