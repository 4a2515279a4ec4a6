// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/labels.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "engine/lick/unfold.hpp"
#include "engine/text/text.hpp"

namespace lw::listening {
namespace {

struct Label {
    int line = 0;
    double onset = 0.0;
    double offset = 0.0;
    std::string words;
};

std::optional<double> seconds(std::string_view text) {
    const std::string word{text};
    char* end = nullptr;
    const double value = std::strtod(word.c_str(), &end);
    if (word.empty() || *end != '\0' || !std::isfinite(value) || value < 0.0) return std::nullopt;
    return value;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.back() == '\r' || text.back() == ' ')) text.remove_suffix(1);
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    return text;
}

tl::unexpected<std::string> at_line(int line, const std::string& what) {
    return tl::unexpected("line " + std::to_string(line) + ": " + what);
}

tl::expected<std::vector<Label>, std::string> lines_of(std::string_view text) {
    std::vector<Label> labels;
    int number = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = trimmed(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
        ++number;
        if (line.empty() || line.front() == '#') continue;
        const std::size_t first = line.find('\t');
        const std::size_t second = first == line.npos ? line.npos : line.find('\t', first + 1);
        if (second == line.npos) return at_line(number, "a label is onset, tab key, offset, tab key, words");
        const auto onset = seconds(line.substr(0, first));
        const auto offset = seconds(line.substr(first + 1, second - first - 1));
        if (!onset || !offset) return at_line(number, "onset and offset are seconds, such as 1.25");
        labels.push_back({number, *onset, *offset, std::string{trimmed(line.substr(second + 1))}});
    }
    return labels;
}

std::string first_error(const text::LickReading& reading) {
    for (const text::Diagnostic& d : reading.diagnostics)
        if (d.level == text::Level::error) return d.words + (d.remedy.empty() ? "" : " " + d.remedy);
    return "cannot be read";
}

TruthNote truth_of(const harp::Harp& harp, const lick::Tab& tab,
                   const std::vector<lick::Ornament>& ornaments) {
    TruthNote truth;
    truth.note.tab = tab;
    truth.note.bend = truth.note.bend_start = tab.bend();
    truth.note.confidence = 1.0;
    const auto pitch_of = [&](const harp::HoleNote& note) {
        return harp::pitch(harp, note).value_or(Pitch{});
    };
    for (const int hole : tab.holes) truth.pitches.push_back(pitch_of(tab.note_of(hole)));
    truth.note.pitch = pitch_of(tab.note_of(tab.lead_hole()));
    for (const lick::Ornament& o : ornaments) {
        truth.note.gestures.push_back({.gesture = o.gesture, .other_hole = o.other_hole, .at = {}});
        if (o.gesture == lick::Gesture::shake) truth.pitches.push_back(pitch_of({o.other_hole, tab.breath}));
    }
    return truth;
}

/// A token by the reader of the lick language, in a bar of its own.
tl::expected<TruthNote, std::string> read_token(const harp::Harp& harp, std::string_view words) {
    bool joined = false;
    while (!words.empty() && words.front() == '>') {
        joined = true;
        words.remove_prefix(1);
    }
    const std::string source =
        "title: label\nharp: " + harp::name(harp) + "\ntab | " + std::string{words} + " . . . |\n";
    const text::LickReading reading = text::read_lick(source);
    if (!reading.ok()) return tl::unexpected(first_error(reading));
    const auto& events = reading.lick.bars.front().events;
    if (events.empty() || events.front().kind != lick::Event::Kind::note)
        return tl::unexpected("\"" + std::string{words} + "\" is no note");
    TruthNote truth = truth_of(harp, events.front().tab, events.front().ornaments);
    truth.note.joined = joined;
    return truth;
}

}  // namespace

tl::expected<Labelled, std::string> read_labels(std::string_view text) {
    const auto labels = lines_of(text);
    if (!labels) return tl::unexpected(labels.error());
    Labelled all;
    bool has_harp = false;
    constexpr std::string_view key = "harp:";
    for (const Label& label : *labels) {
        if (!label.words.starts_with(key)) continue;
        if (has_harp) return at_line(label.line, "a second harp; one take is played on one harp");
        const auto harp = harp::harp_named(trimmed(std::string_view{label.words}.substr(key.size())));
        if (!harp) return at_line(label.line, harp.error());
        all.harp = *harp;
        has_harp = true;
    }
    if (!has_harp) return at_line(1, "no label names the harp; add one with the words \"harp: C\"");
    for (const Label& label : *labels) {
        if (label.words.starts_with(key)) continue;
        auto truth = read_token(all.harp, label.words);
        if (!truth) return at_line(label.line, truth.error());
        if (label.offset <= label.onset) return at_line(label.line, "the note ends before it begins");
        truth->note.onset = {label.onset};
        truth->note.offset = {label.offset};
        all.truth.push_back(std::move(*truth));
    }
    std::stable_sort(all.truth.begin(), all.truth.end(),
                     [](const TruthNote& a, const TruthNote& b) { return a.note.onset < b.note.onset; });
    return all;
}

tl::expected<Labelled, std::string> truth_of_lick(std::string_view text) {
    const text::LickReading reading = text::read_lick(text);
    if (!reading.ok()) return tl::unexpected(first_error(reading) + " (`lickwright check` shows the place)");
    Labelled all{.harp = reading.lick.head.harp, .truth = {}};
    for (const lick::PlayedNote& note : lick::unfold(reading.lick).notes) {
        std::vector<lick::Ornament> ornaments;
        for (const lick::PlayedOrnament& o : note.ornaments) ornaments.push_back(o.ornament);
        all.truth.push_back(truth_of(all.harp, note.tab, ornaments));
        all.truth.back().at = note.start;
        all.truth.back().length = note.length;
        all.truth.back().note.joined = note.how != lick::Start::attack;
    }
    return all;
}

}  // namespace lw::listening
