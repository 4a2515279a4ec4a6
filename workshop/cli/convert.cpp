// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <memory>

#include "engine/exchange/midi.hpp"
#include "engine/exchange/plain_tab.hpp"
#include "engine/exchange/webvtt.hpp"
#include "workshop/cli/commands.hpp"
#include "workshop/cli/harp_words.hpp"
#include "workshop/cli/load.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string out;
    std::string house;
    std::string lick;
    bool plain = false;
    std::string spelling = "signs";
    double tempo = 0.0;
    std::string title;
    std::string harp = "C";
    std::string bare;
    std::string letter_b;
    bool json = false;
};

void write(Report& report, const Options& options, std::string_view bytes) {
    if (options.out == "-") {
        if (!options.json)
            fmt::print("{}", bytes);
        else
            report.set("text", std::string{bytes});
        return;
    }
    if (const auto done = files::write_file_atomically(options.out, bytes); !done)
        report.trouble(done.error());
    else
        report.made(options.out);
}

/// Plain tab, as players mail it, into the draft of a lick. What cannot be told apart is asked, never guessed.
void draft_from_tab(Report& report, const Options& options, const std::string& source) {
    if (!named_harp(report, options.harp)) return;
    if (options.title.find_first_of("\r\n") != std::string::npos) {
        report.trouble({"a title is one line", "Leave the line break out of --title."});
        return;
    }
    exchange::TabMeanings meanings;
    if (!options.bare.empty())
        meanings.bare =
            options.bare == "blow" ? exchange::TabMeanings::Bare::blow : exchange::TabMeanings::Bare::draw;
    if (!options.letter_b.empty())
        meanings.letter_b = options.letter_b == "blow" ? exchange::TabMeanings::LetterB::blow
                                                       : exchange::TabMeanings::LetterB::bend;
    const auto draft = exchange::read_plain_tab(source, options.title, options.harp, meanings);
    if (draft) {
        write(report, options, *draft);
        return;
    }
    std::vector<text::Diagnostic> faults;
    for (const exchange::TabTrouble& t : draft.error())
        faults.push_back({t.meaning.empty() ? "not-plain-tab" : "which-meaning", text::Level::error, t.place,
                          t.words, t.remedy});
    report.faults(options.text, source, faults);
}

sound::Performance performance_of(const Options& options, const text::LessonLick& l) {
    sound::Choices choices;
    choices.tempo = BeatsPerMinute{options.tempo};
    return sound::perform(l.lick, choices);
}

int run(const Options& options) {
    Report report{"convert", options.json};
    if (would_replace_its_source(report, options.text, options.out)) return report.finish();
    const std::string kind = files::Path{options.out}.extension().string();
    const bool from_tab =
        files::Path{options.text}.extension() == ".txt" && (kind == ".lick" || options.out == "-");
    if (from_tab) {
        if (const auto source = files::read_file(options.text))
            draft_from_tab(report, options, *source);
        else
            report.trouble(source.error());
        return report.finish();
    }
    if (!options.bare.empty() || !options.letter_b.empty()) {
        report.trouble(
            {fmt::format("--bare and --letter-b tell how plain tab is meant, and {} is not read as plain tab",
                         options.text),
             "Plain tab is a .txt made into a .lick; leave these out otherwise."});
        return report.finish();
    }
    const auto loaded = load(report, options.text, options.house);
    if (!loaded) return report.finish();
    const auto licks = chosen_licks(report, *loaded, options.lick);
    if (!licks) return report.finish();
    if (licks->size() != 1) {
        report.trouble(
            {fmt::format("{} holds {} licks, and {} can hold one", options.text, licks->size(), options.out),
             "Say which with --lick NUMBER, or make everything with `lickwright pack`."});
        return report.finish();
    }
    const text::LessonLick& l = loaded->lesson.licks[licks->front()];
    if (kind == ".mid" || kind == ".midi") {
        const exchange::MidiScore score = options.plain
                                              ? exchange::plain_midi(l.lick)
                                              : exchange::played_midi(l.lick, performance_of(options, l));
        write(report, options, exchange::midi_bytes(score));
    } else if (kind == ".vtt") {
        write(report, options,
              exchange::webvtt(exchange::captions(l.lick, performance_of(options, l)), l.lick.head.title));
    } else if (kind == ".txt" || options.out == "-") {
        const text::Spelling spelling = options.spelling == "arrows"    ? text::Spelling::arrows
                                        : options.spelling == "letters" ? text::Spelling::letters
                                                                        : text::Spelling::signs;
        write(report, options, exchange::write_plain_tab(l.lick, spelling));
    } else if (kind == ".lick") {
        write(report, options, text::write_lick(l.lick));
    } else {
        report.trouble({fmt::format("cannot tell what {} should hold", options.out),
                        "Name a file that ends in .mid, .vtt, .txt or .lick; `sheet`, `sound` and `screen` "
                        "make the rest."});
    }
    return report.finish();
}

}  // namespace

void add_convert(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "convert", "One lick as MIDI, captions or plain tab; plain tab as a draft lick");
    command.footer(
        "The ending of the output says what to make.\n\n"
        "  lickwright convert porch.lick -o porch.mid            as it sounds, bends included\n"
        "  lickwright convert porch.lick -o porch.mid --plain    as it is written, on the straight grid\n"
        "  lickwright convert lesson.md --lick 2 -o gate.vtt     captions, timed like the on-screen layer\n"
        "  lickwright convert porch.lick -o - --spelling arrows  plain tab, on the screen\n"
        "  lickwright convert mail.txt -o draft.lick --harp A    plain tab into the draft of a lick\n\n"
        "Plain tab does not say how long a note is, so every note of a draft fills one beat. Where people "
        "write alike\n"
        "and mean different things, convert asks for --bare or --letter-b and never guesses.");
    command.option("text", options->text, "A lick, a lesson, or plain tab (.txt)")
        .required()
        .type_name("FILE");
    command.option("-o,--out", options->out, "Where to write: .mid .vtt .txt .lick, or - for the screen")
        .required()
        .type_name("FILE");
    command.lick_option(options->lick, "Which lick of a lesson, from 1");
    command.option("--tempo", options->tempo, "Beats a minute, instead of the lick's own")
        .between(20.0, 400.0)
        .type_name("BPM");
    command.flag("--plain", options->plain, "MIDI as written: notated pitches, straight, no bends");
    command.option("--spelling", options->spelling, "How plain tab is spelled")
        .one_of({"signs", "arrows", "letters"})
        .shows_default();
    command.option("--title", options->title, "Title of a draft").type_name("WORDS");
    command.option("--harp", options->harp, "Key of harp of a draft: C, `low D`")
        .type_name("KEY")
        .shows_default();
    command.option("--bare", options->bare, "In plain tab, what a number alone means")
        .one_of({"blow", "draw"});
    command.option("--letter-b", options->letter_b, "In plain tab, what a b after a number means")
        .one_of({"blow", "bend"});
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
