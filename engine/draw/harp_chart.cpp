// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/harp_chart.hpp"

#include <algorithm>

#include "engine/draw/staff_score.hpp"

namespace lw::draw {
namespace {

using harp::Breath;
using Way = ChartNote::Way;

constexpr std::size_t label_columns = 24;
constexpr std::size_t hole_columns = 5;  // `Bb4` and two spaces; eleven of them and the label stay under 80

// One line of the tables: the notes of one breath and one way, and for bends of one depth.
struct Row {
    Breath breath = Breath::blow;
    Way way = Way::plain;
    int half_steps = 0;
};

bool stands_in(const ChartNote& n, const Row& row) {
    return n.note.breath == row.breath && n.way == row.way &&
           (row.way != Way::bend || n.note.bend_quarter_steps == 2 * row.half_steps);
}

std::string label(const Row& row) {
    const std::string breath = row.breath == Breath::blow ? "blow" : "draw";
    switch (row.way) {
        case Way::plain:
            return breath;
        case Way::overbend:
            return row.breath == Breath::blow ? "overblow" : "overdraw";
        case Way::bend:
            break;
    }
    return breath + " bend, " + std::to_string(row.half_steps) +
           (row.half_steps == 1 ? " half step" : " half steps");
}

std::string padded(std::string text, std::size_t columns) {
    if (text.size() < columns) text.append(columns - text.size(), ' ');
    return text;
}

std::string without_end_spaces(std::string line) {
    while (!line.empty() && line.back() == ' ') line.pop_back();
    return line;
}

// From the farthest above the holes to the farthest below them.
std::vector<Row> rows_of(const HarpChart& chart) {
    std::vector<Row> all = {{Breath::blow, Way::overbend, 0}};
    for (int depth = harp::hole_count; depth > 0; --depth) all.push_back({Breath::blow, Way::bend, depth});
    all.push_back({Breath::blow, Way::plain, 0});
    all.push_back({Breath::draw, Way::plain, 0});
    for (int depth = 1; depth <= harp::hole_count; ++depth) all.push_back({Breath::draw, Way::bend, depth});
    all.push_back({Breath::draw, Way::overbend, 0});
    std::erase_if(all, [&](const Row& row) {
        return std::none_of(chart.notes.begin(), chart.notes.end(),
                            [&](const ChartNote& n) { return stands_in(n, row); });
    });
    return all;
}

template <class Say>
std::string table(const HarpChart& chart, const std::string& head, Say say) {
    std::string out = padded(head, label_columns);
    for (int hole = 1; hole <= harp::hole_count; ++hole) out += padded(std::to_string(hole), hole_columns);
    out = without_end_spaces(out) + '\n';
    for (const Row& row : rows_of(chart)) {
        std::string line = padded(label(row), label_columns);
        for (int hole = 1; hole <= harp::hole_count; ++hole) {
            std::string cell;
            for (const ChartNote& n : chart.notes)
                if (n.note.hole == hole && stands_in(n, row)) cell = say(n);
            line += padded(cell, hole_columns);
        }
        out += without_end_spaces(line) + '\n';
    }
    return out;
}

}  // namespace

HarpChart harp_chart(const harp::Harp& harp, int position) {
    HarpChart chart;
    chart.harp = harp;
    chart.position = std::clamp(position, 1, 12);
    chart.music = harp::key_of_music(harp.key, chart.position);
    for (const harp::HoleNote& note : harp::every_note(harp)) {
        const auto pitch = harp::pitch(harp, note);
        const auto frequency = harp::frequency(harp, note);
        if (!pitch || !frequency) continue;
        ChartNote n;
        n.note = note;
        n.way = note.overbend ? Way::overbend : note.bend_quarter_steps > 0 ? Way::bend : Way::plain;
        n.pitch = *pitch;
        n.frequency = *frequency;
        n.token = harp::to_text(note);
        n.name = spelled_name(*pitch, chart.music);
        n.degree = harp::degree(chart.music, *pitch);
        n.key_note = n.degree == "1";
        chart.notes.push_back(std::move(n));
    }
    for (const harp::Split& split : harp::splits(harp))
        if (split.octave()) chart.octaves.push_back(split);
    return chart;
}

std::string title(const HarpChart& chart) {
    return harp::name(chart.harp) + " harp, " + chart.harp.tuning.name + " tuning, " +
           harp::ordinal(chart.position) + " position: the music is in " +
           std::string(harp::name(chart.music));
}

std::string harp_chart_text(const HarpChart& chart) {
    std::string out = title(chart) + "\n\n";
    out += table(chart, "note in hole", [](const ChartNote& n) { return n.name; }) + '\n';
    out += table(chart, "degree in " + std::string(harp::name(chart.music)),
                 [](const ChartNote& n) { return std::string(n.degree); });
    for (const Breath breath : {Breath::blow, Breath::draw}) {
        std::string pairs;
        for (const harp::Split& s : chart.octaves)
            if (s.breath == breath) pairs += ' ' + std::to_string(s.low) + '+' + std::to_string(s.high);
        if (pairs.empty()) continue;
        out += breath == Breath::blow ? "\n" : "";
        out += padded(breath == Breath::blow ? "octaves, blow" : "octaves, draw", label_columns - 1) + pairs +
               '\n';
    }
    return out;
}

}  // namespace lw::draw
