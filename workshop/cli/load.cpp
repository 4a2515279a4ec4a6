// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/cli/load.hpp"

#include <fmt/format.h>

#include <charconv>
#include <iostream>
#include <iterator>
#include <numeric>

#include "engine/draw/font.hpp"

namespace lw::cli {
namespace {

files::Result<std::string> bytes_of(const files::Path& file) {
    if (file == "-") return std::string{std::istreambuf_iterator<char>{std::cin}, {}};
    return files::read_file(file);
}

files::Path house_beside(const files::Path& file) {
    if (file == "-") return files::real_disk().exists("house.txt") ? "house.txt" : files::Path{};
    const files::Path folder = file.parent_path();
    for (const files::Path& place : {folder / "house.txt", folder / ".." / "house.txt"})
        if (files::real_disk().exists(place)) return place;
    return {};
}

/// The house file's own faults are told with its own name; true when it can be used.
bool read_house(Report& report, const files::Path& file, Loaded& loaded) {
    const auto bytes = files::read_file(file);
    if (!bytes) {
        report.trouble(bytes.error());
        return false;
    }
    text::HouseReading reading = text::read_house(*bytes);
    report.faults(file, *bytes, reading.diagnostics);
    loaded.house = std::move(reading.house);
    loaded.house_folder = file.parent_path();
    return !text::has_errors(reading.diagnostics);
}

text::LessonReading lesson_of_one(std::string_view source, const text::House& house);

}  // namespace

namespace {

/// A house file under another name: no lane, and a line that only a house file has.
bool looks_like_a_house(std::string_view source) {
    bool house = false;
    for (std::size_t at = 0; at < source.size();) {
        const std::size_t end = std::min(source.find('\n', at), source.size());
        const std::string_view line = source.substr(at, end - at);
        if (line.rfind("tab", 0) == 0 || line.rfind("chords", 0) == 0) return false;
        for (const std::string_view key : {"name:", "site:", "logo:"})
            house = house || line.rfind(key, 0) == 0;
        at = end + 1;
    }
    return house;
}

}  // namespace

TextKind kind_of(const files::Path& file, std::string_view source) {
    if (file.filename() == "house.txt") return TextKind::house;
    if (file.extension() == ".md") return TextKind::lesson;
    if (file.extension() == ".lick") return TextKind::lick;
    if (looks_like_a_house(source)) return TextKind::house;
    return source.find("```lick") != std::string_view::npos ||
                   source.find("~~~lick") != std::string_view::npos
               ? TextKind::lesson
               : TextKind::lick;
}

std::optional<Loaded> load(Report& report, const files::Path& file, const files::Path& house_file,
                           Tell tell) {
    auto bytes = bytes_of(file);
    if (!bytes) {
        report.trouble(bytes.error());
        return std::nullopt;
    }
    Loaded loaded;
    loaded.file = file;
    loaded.source = *std::move(bytes);
    loaded.kind = kind_of(file, loaded.source);
    if (loaded.kind == TextKind::house) {
        if (!read_house(report, file, loaded)) return std::nullopt;
        return loaded;
    }
    const files::Path house = house_file.empty() ? house_beside(file) : house_file;
    bool ok = house.empty() || read_house(report, house, loaded);
    text::LessonReading reading = loaded.kind == TextKind::lesson
                                      ? text::read_lesson(loaded.source, loaded.house)
                                      : lesson_of_one(loaded.source, loaded.house);
    ok = ok && reading.ok();
    if (tell == Tell::errors) keep_errors(reading.diagnostics);
    report.faults(file, loaded.source, reading.diagnostics);
    if (!ok) return std::nullopt;
    loaded.lesson = std::move(reading.lesson);
    if (!report.json()) warn_of_missing_letters(loaded.lesson, loaded.house);
    return loaded;
}

void keep_errors(std::vector<text::Diagnostic>& diagnostics) {
    std::erase_if(diagnostics, [](const text::Diagnostic& d) { return d.level != text::Level::error; });
}

void warn_of_missing_letters(const text::Lesson& lesson, const text::House& house) {
    const auto look = [](std::string_view where, std::string_view words) {
        const auto missing = draw::first_missing(words);
        if (!missing) return;
        fmt::print(stderr,
                   "lickwright: the font has no `{}`, in {}: {}\n  It would be a box on the sheet; spell it "
                   "in Latin letters.\n",
                   words.substr(missing->at, missing->length), where, words);
    };
    look("the title of the lesson", lesson.title);
    look("the name of the house", house.name);
    for (const text::LessonLick& l : lesson.licks) {
        if (l.lick.head.title != lesson.title) look("the title of a lick", l.lick.head.title);
        look("a credit", l.lick.head.credit);
    }
}

bool has_licks(Report& report, const Loaded& loaded) {
    if (!loaded.lesson.licks.empty()) return true;
    report.trouble({loaded.file.string() + " holds no lick",
                    "A lick in a lesson stands between a line ```lick and a line ```."});
    return false;
}

bool would_replace_its_source(Report& report, const files::Path& source, const files::Path& out) {
    std::error_code none;
    if (out.empty() || out == "-" || !std::filesystem::equivalent(source, out, none)) return false;
    report.trouble({fmt::format("{} is the text itself, and would be lost", out.string()),
                    "Choose another name for what is made from it."});
    return true;
}

std::optional<std::vector<std::size_t>> chosen_licks(Report& report, const Loaded& loaded,
                                                     const std::string& number) {
    const std::size_t count = loaded.lesson.licks.size();
    if (!has_licks(report, loaded)) return std::nullopt;
    if (number.empty()) {
        std::vector<std::size_t> all(count);
        std::iota(all.begin(), all.end(), std::size_t{0});
        return all;
    }
    std::size_t lick = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), lick);
    if (error != std::errc{} || end != number.data() + number.size() || lick < 1 || lick > count) {
        report.trouble({fmt::format("{} has no lick number {}", loaded.file.string(), number),
                        fmt::format("It has {}; they are numbered from 1.", count)});
        return std::nullopt;
    }
    return std::vector<std::size_t>{lick - 1};
}

namespace {

text::LessonReading lesson_of_one(std::string_view source, const text::House& house) {
    text::Defaults defaults;
    defaults.tunings = house.tunings;
    text::LickReading reading = text::read_lick(source, defaults);
    text::LessonReading lesson;
    lesson.diagnostics = std::move(reading.diagnostics);
    lesson.lesson.title = reading.lick.head.title;
    lesson.lesson.clips = house.clips;
    lesson.lesson.sheet = house.sheet;
    lesson.lesson.screens = house.screens;
    text::LessonLick only;
    only.lick = std::move(reading.lick);
    only.source = source;
    only.slug = "lick";
    only.clips = house.clips;
    lesson.lesson.licks.push_back(std::move(only));
    lesson.lesson.passages.push_back({{}, 0});
    return lesson;
}

}  // namespace
}  // namespace lw::cli
