// SPDX-License-Identifier: Apache-2.0
#include "engine/text/head.hpp"

#include <algorithm>
#include <map>

#include "engine/text/meant.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

constexpr unsigned in_lick = 1;
constexpr unsigned in_lesson = 2;
constexpr unsigned in_house = 4;

struct KeyRow {
    std::string_view key;
    unsigned rooms;
    bool repeats;  // may be said more than once
    std::string_view example;
};

constexpr std::array key_table = {
    KeyRow{"title", in_lick | in_lesson, false, "title: Porch Light"},
    KeyRow{"harp", in_lick | in_lesson, false, "harp: C"},
    KeyRow{"position", in_lick | in_lesson, false, "position: 2"},
    KeyRow{"meter", in_lick | in_lesson, false, "meter: 4/4"},
    KeyRow{"tempo", in_lick | in_lesson, false, "tempo: 92"},
    KeyRow{"feel", in_lick | in_lesson, false, "feel: swing"},
    KeyRow{"tuning", in_lick | in_lesson, false, "tuning: natural minor"},
    KeyRow{"temperament", in_lick | in_lesson, false, "temperament: equal"},
    KeyRow{"a4", in_lick | in_lesson, false, "a4: 442"},
    KeyRow{"tags", in_lick | in_lesson, false, "tags: turnaround, slow"},
    KeyRow{"more", in_lick, true, "more: https://example.org/lesson"},
    KeyRow{"credit", in_lick | in_lesson, false, "credit: our own"},
    KeyRow{"ladder", in_lick | in_lesson | in_house, false, "ladder: 60% 80% 100%"},
    KeyRow{"repeats", in_lick | in_lesson | in_house, false, "repeats: 2"},
    KeyRow{"click", in_lick | in_lesson | in_house, false, "click: throughout"},
    KeyRow{"formats", in_lick | in_lesson | in_house, false, "formats: mp3 flac"},
    KeyRow{"date", in_lesson, false, "date: 2026-03-06"},
    KeyRow{"screen", in_lesson | in_house, true, "screen: landscape 1080 30 webm"},
    KeyRow{"paper", in_lesson | in_house, false, "paper: a4"},
    KeyRow{"print", in_lesson | in_house, false, "print: large"},
    KeyRow{"spelling", in_lesson | in_house, false, "spelling: arrows"},
    KeyRow{"staff", in_lesson | in_house, false, "staff: yes"},
    KeyRow{"link", in_lesson | in_house, true, "link: All lessons: https://example.org"},
    KeyRow{"name", in_house, false, "name: The Towpath Harp Class"},
    KeyRow{"site", in_house, false, "site: https://example.org"},
    KeyRow{"logo", in_house, false, "logo: logo.png"},
    KeyRow{"colour", in_house, false, "colour: #b3770f"},
    KeyRow{"tuning NAME", in_house, true, "tuning evening: 3b+2"},
};

unsigned bit(Room room) {
    return room == Room::lick ? in_lick : room == Room::lesson ? in_lesson : in_house;
}
std::string_view name(Room room) {
    return room == Room::lick ? "lick" : room == Room::lesson ? "lesson" : "house file";
}

bool own_tuning(std::string_view key) {
    return key.substr(0, 7) == "tuning " || key == "tuning name";
}

const KeyRow* row_named(std::string_view key) {
    if (own_tuning(key)) return &key_table.back();
    const auto row =
        std::find_if(key_table.begin(), key_table.end(), [&](const KeyRow& r) { return r.key == key; });
    return row == key_table.end() ? nullptr : &*row;
}

class HeadReader {
  public:
    HeadReader(Room room, HeadWords& words, Report& report) : room_(room), words_(words), report_(report) {}

    void read(const std::vector<LineSyntax>& lines) {
        bool lanes_began = false;
        for (const LineSyntax& line : lines) {
            if (line.kind == LineSyntax::Kind::lane) lanes_began = true;
            if (line.kind != LineSyntax::Kind::head) continue;
            if (lanes_began && known_here(line)) report_.add(Fault::key_misplaced, line.key_place);
            one(line);
        }
        if (position_ != nullptr) tell_position(*position_);
    }

  private:
    bool known_here(const LineSyntax& line) const {
        const KeyRow* row = row_named(line.key);
        return row != nullptr && (row->rooms & bit(room_)) != 0;
    }

    void one(const LineSyntax& line) {
        const KeyRow* row = row_named(line.key);
        // In a house file a bare `tuning` lacks the name that `tuning NAME` has.
        if (room_ == Room::house && line.key == "tuning") {
            report_.add(Fault::tuning_name, line.key_place);
            return;
        }
        if (row == nullptr) {
            std::vector<std::string_view> here;
            for (const KeyRow& r : key_table) {
                if ((r.rooms & bit(room_)) != 0) here.push_back(r.key);
            }
            const std::string_view ours = key_meant(line.key);
            const bool fits = std::find(here.begin(), here.end(), ours) != here.end();
            report_.add(Fault::unknown_key, line.key_place,
                        {{"key", quoted(line.key)},
                         {"what", fits ? key_remedy(ours, line.value)
                                       : "The nearest one is " + nearest(line.key, here) + "."}});
            return;
        }
        if ((row->rooms & bit(room_)) == 0) {
            const Room there = (row->rooms & in_lick) != 0     ? Room::lick
                               : (row->rooms & in_lesson) != 0 ? Room::lesson
                                                               : Room::house;
            report_.add(Fault::key_not_here, line.key_place,
                        {{"key", quoted(line.key)},
                         {"here", std::string{name(room_)}},
                         {"there", std::string{name(there)}}});
            return;
        }
        if (line.value.empty()) {
            report_.add(Fault::value_missing, line.key_place,
                        {{"key", line.key}, {"example", std::string{row->example}}});
            return;
        }
        const auto [said, fresh] = said_.emplace(row->key, line.number);
        if (!fresh && !row->repeats) {
            report_.add(Fault::key_twice, line.key_place,
                        {{"key", line.key}, {"first", std::to_string(said->second)}});
            return;
        }
        value(row->key, {line.value, line.value_place, row->key}, fresh, line);
    }

    void tell(Fault fault, const Value& v, std::initializer_list<Fill> fills) {
        report_.add(fault, v.place, fills);
    }
    void tell(Fault fault, const Value& v) { report_.add(fault, v.place, {{"text", quoted(v.text)}}); }

    void value(std::string_view key, const Value& v, bool first, const LineSyntax& line) {
        lick::Head& head = words_.head;
        if (key == "title")
            head.title = v.text;
        else if (key == "credit")
            head.credit = v.text;
        else if (key == "name")
            words_.name = v.text;
        else if (key == "harp")
            harp_key(v);
        else if (key == "position")
            position(v, line);
        else if (key == "meter")
            meter(v);
        else if (key == "tempo")
            tempo(v);
        else if (key == "feel")
            feel(v);
        else if (key == "tuning")
            tuning(v);
        else if (key == "tuning NAME")
            house_tuning(v, line);
        else if (key == "temperament")
            temperament(v);
        else if (key == "a4")
            a4(v);
        else if (key == "tags")
            tags(v);
        else if (key == "more")
            address_list(v, first, head.more);
        else if (key == "site") {
            if (read_address(v, v.text, report_)) words_.site = v.text;
        } else if (key == "link")
            link(v, first);
        else if (key == "ladder")
            read_ladder(v, words_.clips, report_);
        else if (key == "repeats")
            read_repeats(v, words_.clips, report_);
        else if (key == "formats")
            read_formats(v, words_.clips, report_);
        else if (key == "screen") {
            if (first) words_.screens.clear();
            read_screen(v, words_.screens, report_);
        } else if (key == "date")
            read_date(v, words_.date, report_);
        else if (key == "colour")
            read_colour(v, words_.colour, report_);
        else if (key == "logo")
            read_logo(v, words_.logo, report_);
        else
            choice(key, v);
    }

    void choice(std::string_view key, const Value& v) {
        if (key == "click") {
            if (const auto i = read_choice(v, {"throughout", "count-in"}, report_))
                words_.clips.click_through = *i == 0;
        } else if (key == "paper") {
            if (const auto i = read_choice(v, {"a4", "letter"}, report_))
                words_.sheet.paper = static_cast<Paper>(*i);
        } else if (key == "print") {
            if (const auto i = read_choice(v, {"normal", "large"}, report_))
                words_.sheet.large_print = *i == 1;
        } else if (key == "spelling") {
            if (const auto i = read_choice(v, {"none", "signs", "arrows", "letters"}, report_))
                words_.sheet.spelling = static_cast<Spelling>(*i);
        } else if (key == "staff") {
            if (const auto i = read_choice(v, {"no", "yes"}, report_)) words_.sheet.staff = *i == 1;
        }
    }

    void harp_key(const Value& v) {
        const auto harp = harp::harp_named(v.text);
        if (!harp) return tell(Fault::harp_unknown, v, {{"why", quoted_why(harp.error())}});
        words_.head.harp.key = harp->key;
        words_.head.harp.octave = harp->octave;
    }

    /// The harp's own sentence, kept to one line of sensible length.
    static std::string quoted_why(const std::string& why) {
        constexpr std::size_t longest = 160;
        return why.size() <= longest ? why : "This is not a name that is known here.";
    }

    void position(const Value& v, const LineSyntax& line) {
        std::string text = lowered(v.text);
        for (const std::string_view ending : {"st", "nd", "rd", "th"}) {
            if (text.size() > 2 && text.substr(text.size() - 2) == ending) {
                text.resize(text.size() - 2);
                break;
            }
        }
        const std::optional<int> number = whole_number(text);
        if (!number || *number < 1 || *number > 12)
            position_ = &line;
        else
            words_.head.position = *number;
    }

    /// At the end of the head, when the harp is known.
    void tell_position(const LineSyntax& line) {
        report_.add(
            Fault::position_range, line.value_place,
            {{"text", quoted(line.value)}, {"what", position_remedy(line.value, words_.head.harp.key)}});
    }

    void meter(const Value& v) {
        constexpr std::array<lick::Meter, 7> known = {lick::Meter{2, 4}, lick::Meter{3, 4}, lick::Meter{4, 4},
                                                      lick::Meter{5, 4}, lick::Meter{6, 8}, lick::Meter{9, 8},
                                                      lick::Meter{12, 8}};
        for (const lick::Meter& m : known) {
            if (v.text == std::to_string(m.top) + "/" + std::to_string(m.bottom)) {
                words_.head.meter = m;
                return;
            }
        }
        tell(Fault::meter_unknown, v);
    }

    void tempo(const Value& v) {
        const std::optional<double> number = decimal_number(v.text);
        if (!number || *number < lick::slowest_tempo.value || *number > lick::fastest_tempo.value)
            return tell(Fault::tempo_range, v, {{"text", quoted(v.text)}, {"what", tempo_remedy(v.text)}});
        words_.head.tempo = {*number};
    }

    void feel(const Value& v) {
        words_.feel_place = v.place;
        const std::vector<std::string> words = words_of(lowered(v.text));
        if (words.size() == 1 && words[0] == "straight") {
            words_.head.feel = {Fraction{1}};
        } else if (words.size() == 1 && (words[0] == "swing" || words[0] == "shuffle")) {
            words_.head.feel = {Fraction{2}};
        } else if (words.size() == 2 && words[0] == "swing") {
            ratio(v, words[1]);
        } else {
            tell(Fault::feel_unknown, v);
        }
    }

    void ratio(const Value& v, std::string_view text) {
        constexpr int longest_part = 99;
        constexpr int steepest = 9;  // nine to one is a grace note; the steepest measured swing is 3.5 to 1
        const std::size_t colon = text.find(':');
        if (colon == std::string_view::npos) return tell(Fault::feel_unknown, v);
        const std::optional<int> first = whole_number(text.substr(0, colon));
        const std::optional<int> second = whole_number(text.substr(colon + 1));
        if (!first || !second || *first < 1 || *second < 1 || *first > longest_part ||
            *second > longest_part || *first < *second || *first > steepest * *second)
            return tell(Fault::feel_unknown, v);
        words_.head.feel = {Fraction{*first, *second}};
    }

    void tuning(const Value& v) {
        const std::string wanted = lowered(v.text);
        for (const harp::Tuning& t : words_.tunings) {
            if (lowered(t.name) == wanted) {
                words_.head.harp.tuning = t;
                return;
            }
        }
        if (const auto known = harp::tuning_named(v.text)) {
            words_.head.harp.tuning = *known;
            return;
        }
        if (v.text.find_first_of("+-") != std::string::npos &&
            is_digit(static_cast<char32_t>(v.text.front()))) {
            auto own = harp::tuning_from_changes("", v.text);
            if (!own) return tell(Fault::tuning_change, v, {{"why", quoted_why(own.error())}});
            own->name = changes_text(*own);
            words_.head.harp.tuning = *own;
            return;
        }
        std::vector<std::string_view> names;
        for (const harp::Tuning& t : harp::known_tunings()) names.push_back(t.name);
        for (const harp::Tuning& t : words_.tunings) names.push_back(t.name);
        tell(Fault::tuning_unknown, v, {{"text", quoted(v.text)}, {"known", listed(names)}});
    }

    void house_tuning(const Value& v, const LineSyntax& line) {
        const std::string name{trimmed(std::string_view{line.key}.substr(6))};
        const bool taken = harp::tuning_named(name).has_value() ||
                           std::any_of(words_.tunings.begin(), words_.tunings.end(),
                                       [&](const harp::Tuning& t) { return t.name == name; });
        const bool like_changes = name.find_first_of("+") != std::string::npos;
        if (name.empty() || taken || like_changes) {
            report_.add(Fault::tuning_name, line.key_place);
            return;
        }
        auto own = harp::tuning_from_changes(name, v.text);
        if (!own) return tell(Fault::tuning_change, v, {{"why", quoted_why(own.error())}});
        words_.tunings.push_back(*own);
    }

    void temperament(const Value& v) {
        if (const auto known = harp::temperament_named(v.text)) {
            words_.head.harp.temperament = *known;
            return;
        }
        std::vector<std::string_view> names;
        for (const harp::Temperament& t : harp::known_temperaments()) names.push_back(t.name);
        tell(Fault::temperament_unknown, v, {{"text", quoted(v.text)}, {"known", listed(names)}});
    }

    void a4(const Value& v) {
        std::string text = lowered(v.text);
        if (text.size() > 2 && text.substr(text.size() - 2) == "hz")
            text = std::string{trimmed(std::string_view{text}.substr(0, text.size() - 2))};
        const std::optional<double> number = decimal_number(text);
        if (!number || *number < harp::lowest_a4.value || *number > harp::highest_a4.value)
            return tell(Fault::a4_range, v);
        words_.head.harp.a4 = Hz{*number};
    }

    void tags(const Value& v) {
        words_.head.tags.clear();
        std::string_view rest = v.text;
        while (!rest.empty()) {
            const std::size_t comma = rest.find(',');
            const std::string_view tag = trimmed(rest.substr(0, comma));
            if (!tag.empty()) words_.head.tags.emplace_back(tag);
            if (comma == std::string_view::npos) break;
            rest.remove_prefix(comma + 1);
        }
    }

    void address_list(const Value& v, bool first, std::vector<std::string>& list) {
        if (!read_address(v, v.text, report_)) return;
        if (first) list.clear();
        list.push_back(v.text);
    }

    /// `words: address`, or an address by itself.
    void link(const Value& v, bool first) {
        const std::size_t address = v.text.rfind(' ');
        const std::string_view text = v.text;
        if (!read_address(v, address == std::string::npos ? text : text.substr(address + 1), report_)) return;
        if (first && room_ == Room::lesson) words_.links.clear();
        words_.links.push_back(v.text);
    }

    Room room_;
    HeadWords& words_;
    Report& report_;
    std::map<std::string_view, int> said_;  // key and the line it was said on first
    const LineSyntax* position_ = nullptr;  // a position that is none; what to type depends on the harp
};

}  // namespace

void read_head(const std::vector<LineSyntax>& lines, Room room, HeadWords& words, Report& report) {
    HeadReader{room, words, report}.read(lines);
}

std::string changes_text(const harp::Tuning& tuning) {
    std::string out;
    for (int hole = 1; hole <= harp::hole_count; ++hole) {
        for (const harp::Breath breath : {harp::Breath::blow, harp::Breath::draw}) {
            const int change = tuning.at({hole, breath}) - harp::standard_tuning().at({hole, breath});
            if (change == 0) continue;
            if (!out.empty()) out += ' ';
            out += std::to_string(hole) + (breath == harp::Breath::blow ? 'b' : 'd');
            out += change > 0 ? '+' : '-';
            out += std::to_string(change > 0 ? change : -change);
        }
    }
    return out;
}

}  // namespace lw::text
