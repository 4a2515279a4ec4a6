// SPDX-License-Identifier: Apache-2.0
#include "engine/exchange/webvtt.hpp"

#include <algorithm>
#include <cmath>

#include "engine/lick/count.hpp"
#include "engine/lick/say.hpp"
#include "engine/lick/unfold.hpp"

namespace lw::exchange {
namespace {

/// Shorter and a viewer has not finished reading when the next cue comes; common practice in subtitling, no
/// source.
constexpr Seconds shortest_cue{1.0};
constexpr std::size_t most_lines = 2;
/// A cue stands this long after its last note, when nothing follows.
constexpr Seconds linger{0.3};

/// The notes that start inside one beat, told in one line.
struct BeatLine {
    Seconds from;
    Seconds to;  // where the last of them ends
    int pass = 1;
    std::int64_t beat = 0;
    std::string words;
};

std::vector<BeatLine> beat_lines(const lick::Lick& lick, const sound::Performance& performance) {
    const lick::Unfolded played = lick::unfold(lick);
    std::vector<BeatLine> lines;
    for (const sound::SoundedNote& sounded : performance.notes) {
        const lick::PlayedNote& note = played.notes[sounded.note];
        const lick::Stretch& written = note.stretches.front();
        std::string words = lick::say(note.tab);
        for (const lick::PlayedOrnament& o : note.ornaments) words += ' ' + lick::say(o.ornament);
        const std::int64_t beat = note.start.value.floor();
        if (!lines.empty() && lines.back().pass == sounded.pass && lines.back().beat == beat) {
            lines.back().words += ", " + words;
            lines.back().to = sounded.offset;
            continue;
        }
        const lick::Event& event = lick.bars[written.bar].events[written.event];
        lines.push_back({sounded.onset, sounded.offset, sounded.pass, beat,
                         lick::say_place(lick, written.bar, event.at) + ": " + words});
    }
    return lines;
}

void put_two(std::string& text, long long value) {
    if (value < 10) text += '0';
    text += std::to_string(value);
}

std::string escaped(std::string_view words) {
    std::string text;
    for (const char c : words) {
        if (c == '&') {
            text += "&amp;";
        } else if (c == '<') {
            text += "&lt;";
        } else if (c == '>') {
            text += "&gt;";
        } else {
            text += c == '\n' || c == '\r' ? ' ' : c;
        }
    }
    return text;
}

/// Comments know no escapes: an arrow would end the comment's meaning, so its dashes are parted.
std::string in_comment(std::string_view words) {
    std::string text;
    for (const char c : words) {
        if (c == '>' && text.size() >= 2 && text.compare(text.size() - 2, 2, "--") == 0) text += ' ';
        text += c == '\n' || c == '\r' ? ' ' : c;
    }
    return text;
}

}  // namespace

std::vector<Cue> captions(const lick::Lick& lick, const sound::Performance& performance) {
    const std::vector<BeatLine> lines = beat_lines(lick, performance);
    std::vector<Cue> cues;
    const Seconds first = lines.empty() ? performance.length : lines.front().from;
    const bool counted = std::any_of(performance.clicks.begin(), performance.clicks.end(),
                                     [](const sound::Click& c) { return c.count_in; });
    if (counted && first > Seconds{0.0})
        cues.push_back({Seconds{0.0}, first, {"count: " + lick::say_count_in(lick)}});
    for (std::size_t i = 0; i < lines.size();) {
        Cue cue{lines[i].from, lines[i].to, {lines[i].words}};
        std::size_t next = i + 1;
        const auto starts = [&](std::size_t k) { return lines[k].from; };
        while (next < lines.size() && cue.lines.size() < most_lines && lines[next].pass == lines[i].pass &&
               starts(next) - cue.from < shortest_cue) {
            cue.lines.push_back(lines[next].words);
            cue.to = lines[next].to;
            ++next;
        }
        cue.to = cue.to + linger;
        if (next < lines.size()) cue.to = std::min(cue.to, lines[next].from);
        cue.to = std::max(cue.to, cue.from + Seconds{0.001});
        cues.push_back(std::move(cue));
        i = next;
    }
    return cues;
}

std::string webvtt_time(Seconds at) {
    const long long ms = std::max(std::llround(at.value * 1000.0), 0LL);
    std::string text;
    put_two(text, ms / 3'600'000);
    text += ':';
    put_two(text, ms / 60'000 % 60);
    text += ':';
    put_two(text, ms / 1000 % 60);
    text += '.';
    if (ms % 1000 < 100) text += '0';
    put_two(text, ms % 1000);
    return text;
}

std::string webvtt(const std::vector<Cue>& cues, std::string_view title) {
    std::string text = "WEBVTT\n";
    if (!title.empty()) text += "\nNOTE " + in_comment(title) + "\n";
    for (std::size_t i = 0; i < cues.size(); ++i) {
        // Rounding to milliseconds must not make an empty cue.
        const Seconds to = std::max(cues[i].to, cues[i].from + Seconds{0.001});
        text += "\n" + std::to_string(i + 1) + "\n" + webvtt_time(cues[i].from) + " --> " + webvtt_time(to) +
                "\n";
        for (const std::string& line : cues[i].lines)
            if (!line.empty()) text += escaped(line) + "\n";
    }
    return text;
}

}  // namespace lw::exchange
