// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/plan.hpp"

#include <fmt/format.h>

#include <cmath>

#include "engine/draw/sheet.hpp"
#include "engine/exchange/midi.hpp"
#include "engine/exchange/plain_tab.hpp"
#include "engine/exchange/webvtt.hpp"
#include "engine/sound/mix.hpp"
#include "engine/text/text.hpp"
#include "workshop/files/digest.hpp"
#include "workshop/pack/description.hpp"
#include "workshop/pack/practice_page.hpp"
#include "workshop/pack/run_sheet.hpp"
#include "workshop/video/screen.hpp"

namespace lw::pack {
namespace {

using files::Path;
using files::Result;
using Bytes = std::vector<std::string>;
using Shared = std::shared_ptr<const Sources>;

// Rough seconds of work, only to start the longest first.
constexpr double weight_of_film = 100.0;
constexpr double weight_of_clip = 10.0;
constexpr double weight_of_picture = 1.0;
constexpr double weight_of_words = 0.1;

/// All of a harp that its name does not say.
std::string spelled(const harp::Harp& harp) {
    std::string text = fmt::format("{}|{}|{}|", harp::name(harp), harp.a4.value, harp.tuning.name);
    for (const int s : harp.tuning.semitones) text += fmt::format("{} ", s);
    for (const Cents& c : harp.temperament.offset) text += fmt::format("{} ", c.value);
    return text;
}

/// A lick as the part of a recipe: its text says all of it but the numbers behind a tuning's name.
std::string spelled(const lick::Lick& lick) {
    return text::write_lick(lick) + spelled(lick.head.harp);
}

/// The music alone: a changed title, link or credit makes no sound new.
std::string music_of(const lick::Lick& lick) {
    lick::Lick bare = lick;
    bare.head.tags.clear();
    bare.head.more.clear();
    bare.head.credit.clear();
    return spelled(bare);
}

std::string spelled(const text::SheetChoices& c) {
    return fmt::format("{} {} {} {}", static_cast<int>(c.paper), c.large_print, static_cast<int>(c.spelling),
                       c.staff);
}

std::string spelled(const text::House& house, const HouseLook& look) {
    std::string text = fmt::format("{}\n{}\n{}\n", house.name, house.site, house.colour);
    for (const std::string& l : house.links) text += l + "\n";
    if (look.logo) text += files::sha256(look.logo->png);
    return text;
}

/// A product that is bytes made by a function that cannot fail on its own account.
Batch words(std::string path, std::string what, std::string recipe, std::function<std::string()> make) {
    Batch batch;
    batch.products.push_back({std::move(path), std::move(what), std::move(recipe)});
    batch.make = [make = std::move(make)](const Path&, const std::atomic<bool>&) -> Result<Bytes> {
        return Bytes{make()};
    };
    batch.weight = weight_of_words;
    return batch;
}

Batch whole_sheet(const Shared& s, const std::string& lesson) {
    Batch batch;
    batch.products.push_back({"sheet.pdf", "the sheet of all licks", recipe_of({"sheet.pdf", lesson})});
    batch.weight = weight_of_picture * static_cast<double>(s->lesson.licks.size());
    batch.make = [s](const Path&, const std::atomic<bool>&) -> Result<Bytes> {
        const auto pages = pages_of(s->lesson, s->house, s->look);
        auto pdf = print::pdf(pages, s->look.theme, {s->lesson.title, s->house.name, s->lesson.date},
                              s->look.logo_or_null());
        if (!pdf) return tl::make_unexpected(pdf.error());
        return Bytes{*std::move(pdf)};
    };
    return batch;
}

/// One lick on its own, as it is sent to somebody.
draw::Picture picture_of(const Sources& s, std::size_t i) {
    const lick::Lick* const only = &s.lesson.licks[i].lick;
    draw::SheetHead head;
    head.house = s.house.name;
    head.site = s.house.site;
    return draw::cropped(draw::sheet({&only, 1}, head, s.lesson.sheet).front());
}

Batch pictures(const Shared& s, std::size_t i) {
    const text::LessonLick& l = s->lesson.licks[i];
    const std::string source =
        spelled(l.lick) + spelled(s->lesson.sheet) + spelled(s->house, {s->look.theme, {}});
    Batch batch;
    batch.products.push_back(
        {fmt::format("licks/{}.svg", l.slug), "picture of " + l.lick.head.title, recipe_of({"svg", source})});
    batch.products.push_back(
        {fmt::format("licks/{}.png", l.slug), "picture of " + l.lick.head.title, recipe_of({"png", source})});
    batch.weight = weight_of_picture;
    batch.make = [s, i](const Path&, const std::atomic<bool>&) -> Result<Bytes> {
        const draw::Picture picture = picture_of(*s, i);
        auto svg = as_svg(picture, s->look.theme, s->lesson.licks[i].lick.head.title, s->look);
        if (!svg) return tl::make_unexpected(svg.error());
        auto png = as_png(picture, s->look.theme, s->look);
        if (!png) return tl::make_unexpected(png.error());
        return Bytes{*std::move(svg), *std::move(png)};
    };
    return batch;
}

Batch clip(const Shared& s, std::size_t i, BeatsPerMinute tempo) {
    const text::LessonLick& l = s->lesson.licks[i];
    const std::string title =
        fmt::format("{}, {} beats a minute", l.lick.head.title, std::lround(tempo.value));
    const std::string source = fmt::format("{}{} {} {} {}", music_of(l.lick), tempo.value, l.clips.repeats,
                                           l.clips.click_through, s->house.name + s->lesson.title);
    Batch batch;
    for (const std::string& format : l.clips.formats) {
        batch.products.push_back({fmt::format("audio/{}-{}.{}", l.slug, tempo_name(tempo), format),
                                  "practice audio of " + title, recipe_of({"clip", format, source})});
    }
    batch.weight = weight_of_clip;
    batch.make = [s, i, tempo, title](const Path&, const std::atomic<bool>& stop) -> Result<Bytes> {
        const text::LessonLick& lick = s->lesson.licks[i];
        const sound::Clip sounding = sound::render_clip(lick.lick.head.harp, clip_performance(lick, tempo));
        Bytes all;
        for (const std::string& format : lick.clips.formats) {
            if (stop) return tl::make_unexpected(files::Trouble{"stopped before the pack was whole", {}});
            auto bytes =
                encoded(sounding, *audio::format_named(format), {title, s->house.name, s->lesson.title});
            if (!bytes) return tl::make_unexpected(bytes.error());
            all.push_back(*std::move(bytes));
        }
        return all;
    };
    return batch;
}

Batch film(const Shared& s, std::size_t i, const text::ScreenChoice& choice) {
    const text::LessonLick& l = s->lesson.licks[i];
    const std::string name = fmt::format("screen/{}-{}", l.slug, screen_name(choice));
    const std::string source = fmt::format("{}{} {}", music_of(l.lick), screen_name(choice), s->house.colour);
    const std::string path = name + std::string{screen_ending(choice.kind)};
    Batch batch;
    batch.products.push_back({path, "on-screen layer of " + l.lick.head.title,
                              recipe_of({"film", std::string{screen_ending(choice.kind)}, source})});
    batch.weight = weight_of_film;
    batch.make = [s, i, choice, path](const Path& folder, const std::atomic<bool>& stop) -> Result<Bytes> {
        const lick::Lick& lick = s->lesson.licks[i].lick;
        const Path file = folder / path;
        if (const auto made = files::real_disk().make_folders(file.parent_path()); !made)
            return tl::make_unexpected(made.error());
        video::Wishes wishes;
        wishes.choice = choice;
        wishes.colour = draw::colour_from(s->house.colour);
        const auto done =
            video::make_film(files::real_disk(), lick, screen_performance(lick), wishes, file, {}, stop);
        if (!done) return tl::make_unexpected(done.error());
        return Bytes{};
    };
    return batch;
}

Batch captions(const Shared& s, std::size_t i, const text::ScreenChoice& choice) {
    const text::LessonLick& l = s->lesson.licks[i];
    return words(fmt::format("screen/{}-{}.vtt", l.slug, screen_name(choice)),
                 "captions of " + l.lick.head.title, recipe_of({"captions", spelled(l.lick)}), [s, i] {
                     const lick::Lick& lick = s->lesson.licks[i].lick;
                     return exchange::webvtt(exchange::captions(lick, screen_performance(lick)),
                                             lick.head.title);
                 });
}

void add_lick(Plan& plan, const Shared& s, std::size_t i) {
    const text::LessonLick& l = s->lesson.licks[i];
    const std::string& title = l.lick.head.title;
    const std::string source = spelled(l.lick);
    const auto path = [&](std::string_view ending) { return fmt::format("licks/{}{}", l.slug, ending); };
    for (const text::ScreenChoice& choice : s->lesson.screens) {
        plan.batches.push_back(film(s, i, choice));
        plan.batches.push_back(captions(s, i, choice));
    }
    for (const BeatsPerMinute tempo : ladder_of(l)) plan.batches.push_back(clip(s, i, tempo));
    plan.batches.push_back(pictures(s, i));
    plan.batches.push_back(
        words(path(".mid"), "MIDI of " + title + ", as it sounds", recipe_of({"midi", source}), [s, i] {
            const lick::Lick& lick = s->lesson.licks[i].lick;
            return exchange::midi_bytes(exchange::played_midi(lick, screen_performance(lick)));
        }));
    plan.batches.push_back(words(
        path("-plain.mid"), "MIDI of " + title + ", as it is written", recipe_of({"plain midi", source}),
        [s, i] { return exchange::midi_bytes(exchange::plain_midi(s->lesson.licks[i].lick)); }));
    const text::Spelling spelling =
        s->lesson.sheet.spelling == text::Spelling::none ? text::Spelling::signs : s->lesson.sheet.spelling;
    plan.batches.push_back(
        words(path(".txt"), "plain tab of " + title,
              recipe_of({"tab", source, std::to_string(static_cast<int>(spelling))}),
              [s, i, spelling] { return exchange::write_plain_tab(s->lesson.licks[i].lick, spelling); }));
    plan.batches.push_back(words(path(".lick"), title + " as text", recipe_of({"lick", l.source}), [s, i] {
        return text::write_lick(s->lesson.licks[i].lick, s->house.tunings);
    }));
}

}  // namespace

std::vector<BeatsPerMinute> ladder_of(const text::LessonLick& l) {
    if (!l.clips.ladder_tempos.empty()) return l.clips.ladder_tempos;
    std::vector<BeatsPerMinute> ladder;
    for (const int percent : l.clips.ladder_percent)
        ladder.push_back(
            BeatsPerMinute{std::max(1.0, std::round(l.lick.head.tempo.value * percent / 100.0))});
    return ladder;
}

std::string tempo_name(BeatsPerMinute tempo) {
    // Three digits, so that a folder sorted by name goes from slow to fast.
    const double tenths = std::round(tempo.value * 10.0) / 10.0;
    return tenths == std::floor(tenths) ? fmt::format("{:03.0f}-bpm", tenths)
                                        : fmt::format("{:05.1f}-bpm", tenths);
}

std::string screen_name(const text::ScreenChoice& choice) {
    std::string_view shape = "landscape";
    if (choice.shape == text::ScreenChoice::Shape::portrait) shape = "portrait";
    if (choice.shape == text::ScreenChoice::Shape::lower_third) shape = "lower-third";
    return fmt::format("{}-{}p{}", shape, choice.lines, choice.frames_per_second);
}

std::string_view screen_ending(text::ScreenChoice::Kind kind) noexcept {
    switch (kind) {
        case text::ScreenChoice::Kind::webm:
            return ".webm";
        case text::ScreenChoice::Kind::prores:
            return ".mov";
        case text::ScreenChoice::Kind::mp4:
            return ".mp4";
    }
    return {};
}

Result<std::string> encoded(const sound::Clip& clip, audio::Format format, const audio::Tags& tags) {
    try {
        const std::vector<std::uint8_t> bytes = audio::encode(clip, format, tags);
        return std::string{bytes.begin(), bytes.end()};
    } catch (const audio::EncodingFailed& failed) {
        return tl::make_unexpected(
            files::Trouble{failed.what(), "Choose another format with `formats:`; wav always works."});
    }
}

sound::Performance clip_performance(const text::LessonLick& l, BeatsPerMinute tempo) {
    sound::Choices choices;
    choices.tempo = tempo;
    choices.repeats = l.clips.repeats;
    choices.click_through = l.clips.click_through;
    return sound::perform(l.lick, choices);
}

sound::Performance screen_performance(const lick::Lick& lick, BeatsPerMinute tempo) {
    sound::Choices choices;
    choices.tempo = tempo;
    return sound::perform(lick, choices);
}

Plan plan_of(std::shared_ptr<const Sources> s) {
    Plan plan;
    plan.lesson = s->lesson.title;
    std::string lesson = s->lesson.title + "\n" + s->lesson.date + "\n" + spelled(s->lesson.sheet) +
                         spelled(s->house, s->look);
    for (const std::string& link : s->lesson.links) lesson += link + "\n";
    std::string ladders;
    for (const text::LessonLick& l : s->lesson.licks) {
        lesson += spelled(l.lick);
        for (const BeatsPerMinute tempo : ladder_of(l)) ladders += fmt::format("{} ", tempo.value);
    }
    plan.batches.push_back(whole_sheet(s, lesson));
    for (std::size_t i = 0; i < s->lesson.licks.size(); ++i) add_lick(plan, s, i);
    plan.batches.push_back(words("run-sheet.md", "the run sheet for the shoot",
                                 recipe_of({"run sheet", lesson, ladders}),
                                 [s] { return run_sheet_markdown(s->lesson, s->house); }));
    plan.batches.push_back(words("run-sheet.html", "the run sheet as a page",
                                 recipe_of({"run sheet page", lesson, ladders}),
                                 [s] { return run_sheet_html(s->lesson, s->house); }));
    std::string prose;
    for (const text::Passage& p : s->lesson.passages) prose += p.prose + "\n";
    // The program itself is part of every recipe, and the page is part of the program.
    plan.batches.push_back(words("practice.html", "the practice page",
                                 recipe_of({"practice page", lesson, prose}),
                                 [s] { return practice_page(s->lesson, s->house); }));
    plan.batches.push_back(words("description.txt", "the text under the video",
                                 recipe_of({"description", lesson}),
                                 [s] { return description_text(s->lesson, s->house); }));
    return plan;
}

}  // namespace lw::pack
