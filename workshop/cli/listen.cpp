// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "engine/text/text.hpp"
#include "workshop/cli/commands.hpp"
#include "workshop/cli/hearing.hpp"
#include "workshop/cli/interrupt.hpp"
#include "workshop/listen/json.hpp"
#include "workshop/listen/picture.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::shared_ptr<HearingOptions> hearing = std::make_shared<HearingOptions>();
    int position = 0;
    double tempo = 0.0;
    std::string meter;
    std::string feel;
    std::string title;
    std::string out;
    std::string picture;
    bool json = false;
};

/// A head with these words, read by the reader of licks: what it takes, we take.
bool read_head(Report& report, const Options& options, listen::Wishes& wishes) {
    const auto asked = [&](const std::string& key, const std::string& value) -> std::optional<lick::Head> {
        // Its only line after the head is a rest, so that what is at fault in line 1 is what was asked.
        const auto reading = text::read_lick(key + ": " + value + "\ntab | - |\n");
        for (const text::Diagnostic& d : reading.diagnostics)
            if (d.level == text::Level::error && d.place.line == 1) {
                report.trouble({fmt::format("--{} {}: {}", key, value, d.words), d.remedy});
                return std::nullopt;
            }
        return reading.lick.head;
    };
    if (!options.meter.empty()) {
        const auto head = asked("meter", options.meter);
        if (!head) return false;
        wishes.beat.meter = head->meter;
    }
    if (!options.feel.empty()) {
        const auto head = asked("feel", options.feel);
        if (!head) return false;
        wishes.beat.feel = head->feel;
        if (wishes.beat.meter && wishes.beat.meter->compound() && !head->feel.straight()) {
            report.trouble({"12/8 is counted in threes, so swing changes nothing", "Take --feel away."});
            return false;
        }
    }
    if (options.tempo > 0.0) wishes.beat.tempo = BeatsPerMinute{options.tempo};
    if (options.position > 0) wishes.position = options.position;
    wishes.must_be_a_harp = !options.hearing->anything;
    wishes.title = options.title;
    if (wishes.title.empty()) wishes.title = files::Path{options.hearing->sound}.stem().string();
    return read_harp(report, *options.hearing, wishes.harp);
}

std::string time_text(Seconds at) {
    const auto minutes = static_cast<long>(at.value / 60.0);
    return fmt::format("{}:{:04.1f}", minutes, at.value - 60.0 * static_cast<double>(minutes));
}

void say_what(Report& report, const listen::Listened& l) {
    std::string harps;
    if (l.harps.size() > 1)
        for (const coach::HarpGuess& g : l.harps) {
            if (g.probability < 0.01 && !harps.empty()) break;
            harps += fmt::format("{}{} {:.0f} %", harps.empty() ? " (" : ", ", harp::name(g.harp),
                                 100.0 * g.probability);
        }
    if (!harps.empty()) harps += ")";
    const lick::Head& head = l.draft.lick.head;
    const std::string feel =
        head.meter.compound()  ? ""
        : head.feel.straight() ? ", straight"
        : head.feel.ratio == Fraction{2}
            ? ", swing"
            : fmt::format(", swing {}:{}", head.feel.ratio.top(), head.feel.ratio.bottom());
    report.say(fmt::format("harp in {}{}, {} position; A4 at {:.1f} Hz; {:.0f} beats a minute, {}/{}{}",
                           harp::name(l.harp), harps, harp::ordinal(l.position), l.heard.a4.value,
                           l.beat.tempo.value, head.meter.top, head.meter.bottom, feel));
}

void warn(const std::vector<std::string>& warnings) {
    for (const std::string& w : warnings) fmt::print(stderr, "lickwright listen: note: {}\n", w);
}

/// The first of what to listen to again; all of it stands in the draft.
void say_doubts(Report& report, const std::vector<coach::Check>& checks) {
    constexpr std::size_t most = 3;
    for (std::size_t i = 0; i < std::min(most, checks.size()); ++i) report.say("check: " + checks[i].words);
    if (checks.size() > most)
        report.say(fmt::format("check: and {} more, in the draft", checks.size() - most));
}

/// A draft, a picture, JSON: what was asked for, of a recording that was heard as a whole.
int tell_whole(Report& report, const Options& options, const listen::Listened& l) {
    const std::string draft = coach::write_draft(l.draft);
    if (!options.out.empty()) {
        if (const auto written = files::write_file_atomically(options.out, draft); !written) {
            report.trouble(written.error());
            return report.finish();
        }
    }
    if (!options.picture.empty()) {
        if (const auto written = listen::write_picture(
                options.picture, listen::picture_of(l, options.hearing->width), l.draft.lick.head.title);
            !written) {
            report.trouble(written.error());
            return report.finish();
        }
    }
    if (options.json) {
        listen::HearingJson json{stdout};
        json.begin(l);
        json.notes(l.heard.notes, l.beat);
        json.frames(l.heard.frames);
        for (const std::string& out : {options.out, options.picture})
            if (!out.empty()) json.made(out);
        return json.finish(&l) ? all_well : could_not;
    }
    warn(l.warnings);
    if (options.out.empty()) {
        fmt::print("{}", draft);
    } else {
        say_what(report, l);
        say_doubts(report, l.draft.checks);
        report.made(options.out);
    }
    if (!options.picture.empty()) report.made(options.picture);
    return report.finish();
}

/// Nothing that exists and is wanted may be lost, and what cannot be written is said before minutes of work.
bool outputs_are_fit(Report& report, const Options& options) {
    if (!options.picture.empty() && !listen::is_picture_name(options.picture)) {
        report.trouble({fmt::format("cannot tell what {} should hold", options.picture),
                        "Name a picture that ends in .svg, .png or .pdf."});
        return false;
    }
    const files::Path out = options.out;
    if (!out.empty() && out.extension() != ".lick" && out.extension() != ".txt") {
        report.trouble({fmt::format("{} is no name for a lick", options.out),
                        "Name a file that ends in .lick or .txt."});
        return false;
    }
    if (!outputs_are_safe(report, {{options.hearing->sound, "the recording itself"}},
                          {options.out, options.picture}))
        return false;
    if (out.empty() || !files::real_disk().exists(out)) return true;
    const auto there = files::read_file(out);
    if (!there) {
        report.trouble(there.error());
        return false;
    }
    const auto no_tab = [](const text::Diagnostic& d) { return d.slug == "no-tab"; };
    const auto reading = text::read_lick(*there);
    if (!there->empty() && std::any_of(reading.diagnostics.begin(), reading.diagnostics.end(), no_tab)) {
        report.trouble({fmt::format("{} is there and holds no lick; it is not replaced", options.out),
                        "Choose another name, or move that file."});
        return false;
    }
    return true;
}

int run(const Options& options) {
    Report report{"listen", options.json};
    listen::Wishes wishes;
    if (!read_head(report, options, wishes)) return report.finish();
    if (!outputs_are_fit(report, options)) return report.finish();
    // Nothing is written before it is heard, so until then an interrupt may end us anywhere.
    std::optional<EndsAtOnce> interruptible{std::in_place, "listen", options.json};
    // A long recording is told while it is heard; a draft or a picture of it would be a book.
    listen::HearingJson json{stdout};
    listen::Longer longer;
    longer.begin = [&](const listen::Listened& first) {
        interruptible.reset();
        if (options.json)
            json.begin(first);
        else
            say_what(report, first);
    };
    longer.frames = [&](std::span<const hear::Frame> frames) {
        if (options.json) json.frames(frames);
    };
    longer.phrase = [&](std::span<const hear::HeardNote> notes, const coach::BeatMap& map) {
        if (options.json)
            json.notes(notes, map);
        else
            report.say(fmt::format("{} to {}  {} notes, {:.0f} beats a minute",
                                   time_text(notes.front().onset), time_text(notes.back().offset),
                                   notes.size(), map.tempo.value));
    };
    const bool whole_wanted = !options.out.empty() || !options.picture.empty();
    auto heard = hear_recording(report, *options.hearing, wishes, whole_wanted ? nullptr : &longer);
    interruptible.reset();
    if (!heard) {
        // What was begun is ended, so that it can be read as far as it goes.
        if (json.begun()) return json.finish(nullptr, report.told()) ? report.status() : could_not;
        return report.finish();
    }
    if (heard->whole) return tell_whole(report, options, *heard);
    if (options.json) return json.finish(&*heard) ? all_well : could_not;
    warn(heard->warnings);
    report.say("`--from` and `--to` cut out a phrase and write it down.");
    return report.finish();
}

}  // namespace

void add_listen(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "listen",
                    "Write down what is played in a recording: a draft lick, and what to check first");
    command.footer(
        "  lickwright listen phrase.wav                           the draft on the screen\n"
        "  lickwright listen phrase.wav --harp C -o phrase.lick --picture phrase.svg\n"
        "  lickwright listen lesson.mp4 --from 1:02.5 --to 1:14 -o phrase.lick\n"
        "  lickwright listen phrase.wav --json > phrase.json      every note, with its bend and how sure the "
        "ear is\n\n"
        "Reads WAV, FLAC, OGG, MP3 and the sound of films. What is not said (harp, tempo, meter, feel) is "
        "guessed; a\n"
        "count with a click before the phrase helps most. A phrase from a recording may be protected: ask "
        "its owner.");
    command.option("sound", options->hearing->sound, "A recording or a film").required().type_name("FILE");
    add_hearing_options(command, options->hearing, "Write down what sounds like no harmonica as well");
    command.option("--position", options->position, "Position: 2 or 2nd").position();
    command.option("--tempo", options->tempo, "Beats a minute, if known")
        .between(lick::slowest_tempo.value, lick::fastest_tempo.value)
        .type_name("BPM");
    command.option("--meter", options->meter, "4/4, 3/4, 12/8 ...").type_name("METER");
    command.option("--feel", options->feel, "straight, swing, `swing 3:2`").type_name("FEEL");
    command.option("--title", options->title, "Title of the draft").type_name("WORDS");
    command.option("-o,--out", options->out, "The draft as a lick file: .lick or .txt").type_name("FILE");
    command.option("--picture", options->picture, "Breath line over pitch and waveform: .svg .png .pdf")
        .type_name("FILE");
    command.flag("--json", options->json, "Everything that was heard, as one JSON object");
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
