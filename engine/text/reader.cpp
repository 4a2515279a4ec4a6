// SPDX-License-Identifier: Apache-2.0
//
// One lick from its text: lines, head, lanes, bars, chords, warnings. Each step tells its own faults and hands
// on what it could make of the rest.
#include "engine/text/reader.hpp"

#include "engine/text/build.hpp"
#include "engine/text/head.hpp"

namespace lw::text {

std::vector<LineSyntax> sort_lines(std::string_view source, int first_line, Room room, Report& report) {
    std::vector<LineSyntax> sorted;
    LaneName last_lane = LaneName::tab;
    for (const Line& line : lines_of(source, first_line, report)) {
        sorted.push_back(sort_line(line, room, last_lane, report));
        if (sorted.back().kind == LineSyntax::Kind::lane) last_lane = sorted.back().lane;
    }
    return sorted;
}

namespace {

/// The last line that says something, for what is missing at the end.
lick::Place last_place(const std::vector<LineSyntax>& lines) {
    for (auto line = lines.rbegin(); line != lines.rend(); ++line) {
        if (line->kind != LineSyntax::Kind::blank && line->kind != LineSyntax::Kind::comment)
            return {line->number, 1, 1};
    }
    return {lines.empty() ? 1 : lines.front().number, 1, 1};
}

bool all_blank(const std::vector<LineSyntax>& lines) {
    for (const LineSyntax& line : lines) {
        if (line.kind != LineSyntax::Kind::blank && line.kind != LineSyntax::Kind::comment) return false;
    }
    return true;
}

}  // namespace

LickReading read_lick(std::string_view source, const Defaults& defaults, int first_line) {
    LickReading reading;
    Report report;
    HeadWords words;
    words.head = defaults.head;
    words.clips = defaults.clips;
    words.tunings = defaults.tunings;

    const std::vector<LineSyntax> lines = sort_lines(source, first_line, Room::lick, report);
    if (all_blank(lines)) {
        if (!report.errors()) report.add(Fault::empty_text, {first_line, 1, 1});
        reading.lick.head = words.head;
        reading.clips = words.clips;
        reading.diagnostics = report.take();
        return reading;
    }
    read_head(lines, Room::lick, words, report);
    settle_ladder(words.clips, words.head.tempo);
    reading.lick.head = words.head;
    reading.clips = words.clips;
    if (words.head.title.empty()) report.add(Fault::no_title, {first_line, 1, 1}, {{"what", "lick"}});
    if (words.feel_place && words.head.meter.compound() && !words.head.feel.straight()) {
        report.add(Fault::swing_in_compound, *words.feel_place,
                   {{"meter",
                     std::to_string(words.head.meter.top) + "/" + std::to_string(words.head.meter.bottom)}});
    }

    const LaneSyntax tab = read_lane(lines, LaneName::tab, words.head.harp, report);
    const LaneSyntax chords = read_lane(lines, LaneName::chords, words.head.harp, report);
    if (!tab.present || (tab.bars.empty() && !report.errors())) {
        report.add(Fault::no_tab, tab.present ? tab.place : last_place(lines));
    }
    reading.lick.bars = build_bars(tab, words.head.meter, report);
    check_form(tab, report);
    if (tab.present) add_chords(chords, tab, words.head.meter, reading.lick.bars, report);
    if (!report.errors()) check_played(reading.lick, report);
    reading.diagnostics = report.take();
    return reading;
}

}  // namespace lw::text
