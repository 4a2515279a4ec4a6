// SPDX-License-Identifier: Apache-2.0
#include "engine/text/lesson.hpp"

#include "engine/text/fences.hpp"
#include "engine/text/head.hpp"
#include "engine/text/reader.hpp"
#include "engine/text/slug.hpp"
#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

/// The head's lines, between two lines of `---`; nothing when the text does not begin with one.
struct HeadRange {
    bool present = false;
    bool closed = false;
    std::size_t body = 0;  // index of the first line after the head
};

bool rule(std::string_view line) {
    return trimmed(line) == "---" && line.front() == '-';
}

HeadRange head_of(const std::vector<std::string_view>& lines) {
    HeadRange range;
    if (lines.empty() || !rule(lines[0])) return range;
    range.present = true;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        if (rule(lines[i])) {
            range.closed = true;
            range.body = i + 1;
            return range;
        }
    }
    // Without an end the head is taken to reach to the first blank line, so that the rest is still read.
    range.body = 1;
    while (range.body < lines.size() && !trimmed(lines[range.body]).empty()) ++range.body;
    return range;
}

std::string joined(const std::vector<std::string_view>& lines, std::size_t begin, std::size_t end) {
    std::string out;
    for (std::size_t i = begin; i < end; ++i) {
        out += lines[i];
        out += '\n';
    }
    return out;
}

void shift(lick::Place& place, int first_line, const std::vector<std::size_t>& taken) {
    const auto index = static_cast<std::size_t>(place.line - first_line);
    if (place.line >= first_line && index < taken.size()) place.column += static_cast<int>(taken[index]);
}

/// Columns of a lick inside an indented fence are counted in the lesson.
void shift_places(LickReading& reading, int first_line, const std::vector<std::size_t>& taken) {
    for (Diagnostic& d : reading.diagnostics) shift(d.place, first_line, taken);
    for (lick::Bar& bar : reading.lick.bars) {
        shift(bar.place, first_line, taken);
        for (lick::Event& e : bar.events) shift(e.place, first_line, taken);
        for (lick::ChordSpan& c : bar.chords) shift(c.place, first_line, taken);
    }
}

class LessonReader {
  public:
    LessonReader(std::string_view source, const House& house) : source_(source) {
        words_.clips = house.clips;
        words_.sheet = house.sheet;
        words_.screens = house.screens;
        words_.tunings = house.tunings;
    }

    LessonReading read() {
        {
            // The whole text is looked at once: what cannot be read is told where it stands, licks and head
            // are then read quietly over it.
            Report encoding;
            const std::vector<Line> cleaned = lines_of(source_, 1, encoding);
            std::vector<Diagnostic> told = encoding.take();
            if (has_errors(told) && cleaned.empty()) {
                reading_.diagnostics = std::move(told);
                return std::move(reading_);
            }
            diagnostics_ = std::move(told);
        }
        lines_ = raw_lines(source_);
        const HeadRange range = head_of(lines_);
        head(range);
        body(range.body);
        finish();
        return std::move(reading_);
    }

  private:
    void head(const HeadRange& range) {
        Report report;
        if (range.present) {
            if (!range.closed) report.add(Fault::head_not_closed, {1, 1, 3});
            const std::size_t end = range.closed ? range.body - 1 : range.body;
            Report quiet;
            std::vector<LineSyntax> sorted;
            for (const Line& line : lines_of(joined(lines_, 1, end), 2, quiet))
                sorted.push_back(sort_line(line, Room::lesson, LaneName::tab, report));
            read_head(sorted, Room::lesson, words_, report);
        }
        settle_ladder(words_.clips, words_.head.tempo);
        if (words_.head.title.empty()) report.add(Fault::no_title, {1, 1, 1}, {{"what", "lesson"}});
        keep(report.take());
    }

    void body(std::size_t first) {
        std::size_t prose = first;
        for (const Fence& fence : find_fences(lines_, first)) {
            if (fence.inside) {
                Report report;
                report.add(Fault::fence_inside, {static_cast<int>(fence.first) + 1, 1,
                                                 static_cast<int>(decoded(lines_[fence.first]).size())});
                keep(report.take());
            }
            if (fence.inside || !fence.lick()) continue;
            add_prose(prose, fence.first);
            add_lick(fence);
            prose = fence.end;
        }
        add_prose(prose, lines_.size());
    }

    void add_prose(std::size_t begin, std::size_t end) {
        std::string prose = joined(lines_, begin, end);
        if (prose.find_first_not_of(" \t\n") == std::string::npos) return;
        reading_.lesson.passages.push_back({std::move(prose), std::nullopt});
    }

    void add_lick(const Fence& fence) {
        if (!fence.closed) {
            Report report;
            report.add(Fault::fence_not_closed,
                       {static_cast<int>(fence.first) + 1, static_cast<int>(fence.indent) + 1,
                        static_cast<int>(fence.mark.size())},
                       {{"fence", fence.mark}});
            keep(report.take());
        }
        LessonLick lick;
        std::vector<std::size_t> taken;
        for (std::size_t i = fence.content_begin(); i < fence.content_end(); ++i) {
            taken.push_back(0);
            lick.source += unindented(lines_[i], fence.indent, taken.back());
            lick.source += '\n';
        }
        lick.first_line = static_cast<int>(fence.first) + 2;
        LickReading reading = read_lick(lick.source, defaults(), lick.first_line);
        shift_places(reading, lick.first_line, taken);
        std::erase_if(reading.diagnostics, [](const Diagnostic& d) {
            return d.slug == row_of(Fault::not_utf8).slug || d.slug == row_of(Fault::control_character).slug;
        });
        keep(std::move(reading.diagnostics));
        lick.lick = std::move(reading.lick);
        lick.clips = reading.clips;
        const std::size_t number = reading_.lesson.licks.size() + 1;
        lick.slug = file_slug(number, lick.lick.head.title);
        reading_.lesson.licks.push_back(std::move(lick));
        reading_.lesson.passages.push_back({{}, number - 1});
    }

    [[nodiscard]] Defaults defaults() const {
        Defaults d;
        d.head = words_.head;
        d.head.title.clear();
        d.tunings = words_.tunings;
        d.clips = words_.clips;
        return d;
    }

    void keep(std::vector<Diagnostic> more) {
        for (Diagnostic& d : more) diagnostics_.push_back(std::move(d));
    }

    void finish() {
        Lesson& lesson = reading_.lesson;
        lesson.title = words_.head.title;
        lesson.date = words_.date;
        lesson.links = words_.links;
        lesson.clips = words_.clips;
        lesson.sheet = words_.sheet;
        lesson.screens = words_.screens;
        if (lesson.licks.empty()) {
            Report report;
            report.add(Fault::no_licks, {1, 1, 1});
            keep(report.take());
        }
        reading_.diagnostics = std::move(diagnostics_);
        sort_by_place(reading_.diagnostics);
        cut_short(reading_.diagnostics);
    }

    std::string_view source_;
    std::vector<std::string_view> lines_;
    HeadWords words_;
    std::vector<Diagnostic> diagnostics_;
    LessonReading reading_;
};

}  // namespace

LessonReading read_lesson(std::string_view source, const House& house) {
    return LessonReader{source, house}.read();
}

std::string format_lesson(std::string_view source, const House& house) {
    const LessonReading reading = read_lesson(source, house);
    const std::vector<std::string_view> lines = raw_lines(source);
    // Where reading gave up (a file that is no text), there is nothing to tidy: the fences it would find were not read.
    if (lines.empty() || reading.lesson.licks.empty()) return std::string{source};
    const HeadRange range = head_of(lines);
    Defaults defaults;
    {
        HeadWords words;
        words.tunings = house.tunings;
        Report quiet;
        const std::size_t end = range.closed ? range.body - 1 : range.body;
        if (range.present) {
            std::vector<LineSyntax> sorted;
            for (const Line& line : lines_of(joined(lines, 1, end), 2, quiet))
                sorted.push_back(sort_line(line, Room::lesson, LaneName::tab, quiet));
            read_head(sorted, Room::lesson, words, quiet);
        }
        defaults.head = words.head;
        defaults.head.title.clear();
        defaults.tunings = words.tunings;
    }
    std::string out;
    std::size_t at = 0;
    // Prose, its line ends included, is taken over byte by byte.
    const auto copy_to = [&](std::size_t line) {
        if (line <= at) return;
        const char* begin = lines[at].data();
        const char* end = line < lines.size() ? lines[line].data() : source.data() + source.size();
        out.append(begin, static_cast<std::size_t>(end - begin));
        at = line;
    };
    std::size_t number = 0;
    for (const Fence& fence : find_fences(lines, range.body)) {
        if (fence.inside || !fence.lick()) continue;
        const LessonLick& lick = reading.lesson.licks[number++];
        copy_to(fence.content_begin());
        const std::string tidy = format_lick(lick.source, defaults);
        if (tidy == lick.source) continue;
        for (const std::string_view line : raw_lines(tidy)) {
            if (!line.empty()) out.append(fence.indent, ' ');
            out += line;
            out += '\n';
        }
        at = fence.content_end();
    }
    copy_to(lines.size());
    return out;
}

}  // namespace lw::text
