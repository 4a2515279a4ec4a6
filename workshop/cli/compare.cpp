// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/coach/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include "engine/lick/count.hpp"
#include "engine/text/text.hpp"
#include "workshop/cli/commands.hpp"
#include "workshop/cli/hearing.hpp"
#include "workshop/cli/interrupt.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/listen/picture.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::shared_ptr<HearingOptions> hearing = std::make_shared<HearingOptions>();
    std::string text;
    std::string house;
    std::string picture;
    std::string lick;
    double timing_ms = 1000.0 * coach::Tolerance{}.onset.value;
    double bend_cents = coach::Tolerance{}.bend.value;
    double blue_cents = coach::Tolerance{}.blue_third.value;
    bool json = false;
};

/// One take, heard and compared.
struct Compared {
    lick::Lick lick;
    listen::Listened heard;
    coach::Comparison c;
};

std::string place(const lick::Lick& lick, const lick::Unfolded& played, std::size_t note) {
    const lick::Stretch& s = played.notes[note].stretches.front();
    const std::string bar = lick.bars[s.bar].pickup
                                ? "pickup"
                                : fmt::format("bar {}", s.bar + (lick.bars.front().pickup ? 0 : 1));
    return bar + ", " + lick::say_place(lick, s.bar, lick.bars[s.bar].events[s.event].at);
}

/// A note is hit when its holes, its breath and, within half a semitone, its bend are what is written; it may still come
/// late, short or out of tune.
struct Count {
    std::size_t hit = 0;
    std::size_t to_work_on = 0;  // of these
};

Count count_of(const coach::Comparison& c) {
    Count n;
    for (const coach::NoteGrade& g : c.notes) {
        if (g.came != coach::Came::right) continue;
        ++n.hit;
        if (!coach::faults(g).empty()) ++n.to_work_on;
    }
    return n;
}

/// A number rounded to whole units of `unit`; never -0.
double rounded(double value, double unit) {
    // Divided by a whole number: 0.1 has no exact double, and 12.3 should be printed as 12.3.
    const double parts = std::round(1.0 / unit);
    return std::round(value * parts) / parts + 0.0;
}

std::string_view word(coach::Came came) {
    return came == coach::Came::right ? "hit" : came == coach::Came::wrong ? "wrong" : "missing";
}

Json note_json(const coach::NoteGrade& g, const Compared& all, const lick::Unfolded& played) {
    const lick::PlayedNote& written = played.notes[g.note];
    Json j{{"note", g.note},
           {"place", place(all.lick, played, g.note)},
           {"tab", text::to_text(written.tab)},
           {"came", word(g.came)}};
    if (g.came == coach::Came::missing) return j;
    j["heard"] = text::to_text(all.heard.heard.notes[*g.heard].tab);
    j["onset"] = rounded(g.onset.value, 1e-4);
    j["onset_error_ms"] = rounded(1000.0 * g.onset_error.value, 0.1);
    j["length"] = rounded(g.length, 0.01);
    if (g.bend_error) {
        j["bend_error_cents"] = rounded(g.bend_error->value, 0.1);
        j["bend_worst_cents"] = rounded(g.bend_worst->value, 0.1);
        Json path = Json::array();
        for (const hear::BendSample& s : all.heard.heard.notes[*g.heard].bend_path)
            if (s.at >= g.onset && s.at <= g.offset)
                path.push_back({rounded(s.at.value, 1e-3), rounded(s.depth.value, 1e-3)});
        j["bend_path"] = std::move(path);
    }
    j["faults"] = coach::faults(g);
    return j;
}

/// `+12`, `-3`, `0`: never `-0`.
std::string signed_whole(double value) {
    const long whole = std::lround(value);
    return whole == 0 ? "0" : fmt::format("{:+d}", whole);
}

std::string reed_name(std::size_t i) {
    return harp::to_text(
        harp::HoleNote{static_cast<int>(i / 2) + 1, i % 2 == 0 ? harp::Breath::blow : harp::Breath::draw});
}

void as_json(Report& report, const Compared& all) {
    const lick::Unfolded played = lick::unfold(all.lick);
    const coach::Comparison& c = all.c;
    report.set("title", all.lick.head.title);
    report.set("harp_key", harp::name(all.lick.head.harp));
    report.set("tuning_hz", rounded(all.heard.heard.a4.value, 0.01));
    const Count count = count_of(c);
    report.set("written", c.notes.size());
    report.set("hit", count.hit);
    report.set("to_work_on", count.to_work_on);
    report.set("likeness", rounded(c.likeness, 0.001));
    report.set("tempo", rounded(c.tempo.value, 0.01));
    report.set("drift", rounded(c.drift, 0.001));
    report.set("evenness_ms", rounded(1000.0 * c.evenness.value, 0.1));
    report.set("swing", c.swing ? Json(rounded(*c.swing, 0.01)) : Json());
    Json curve = Json::array();
    for (const coach::TempoPoint& p : c.tempo_curve)
        curve.push_back({rounded(p.beat, 0.001), rounded(p.at.value, 1e-4), rounded(p.tempo.value, 0.01)});
    report.set("tempo_curve", std::move(curve));
    Json notes = Json::array();
    for (const coach::NoteGrade& g : c.notes) notes.push_back(note_json(g, all, played));
    report.set("notes", std::move(notes));
    Json extras = Json::array();
    for (const coach::Extra& e : c.extras) {
        const hear::HeardNote& h = all.heard.heard.notes[e.heard];
        extras.push_back({{"onset", rounded(h.onset.value, 1e-4)},
                          {"tab", text::to_text(h.tab)},
                          {"before", e.before},
                          {"repeated", e.repeated}});
    }
    report.set("extras", std::move(extras));
    Json goes = Json::array();
    for (const coach::Go& g : c.goes) goes.push_back({{"from", g.from}, {"to", g.to}, {"hit", g.right}});
    report.set("goes", std::move(goes));
    Json stops = Json::array();
    for (const coach::Stall& s : c.stalls)
        stops.push_back({{"before", s.before}, {"seconds", rounded(s.length.value, 0.01)}});
    report.set("stops", std::move(stops));
    Json reeds = Json::object();
    for (std::size_t i = 0; i < c.reeds.size(); ++i)
        if (c.reeds[i]) reeds[reed_name(i)] = rounded(c.reeds[i]->value, 0.1);
    report.set("reeds_cents", std::move(reeds));
    Json work = Json::array();
    for (const coach::Advice& a : c.advice)
        work.push_back({{"about", coach::word(a.about)}, {"words", a.words}, {"notes", a.notes}});
    report.set("work_on", std::move(work));
}

/// How the off-beats swing; even ones of a straight lick are not news.
std::string off_beats(const Compared& all) {
    if (!all.c.swing || (all.lick.head.feel.straight() && std::abs(*all.c.swing - 1.0) < 0.15)) return "";
    return fmt::format("; off-beats long to short {:.1f} to 1", *all.c.swing);
}

void as_text(const Compared& all) {
    const lick::Unfolded played = lick::unfold(all.lick);
    const coach::Comparison& c = all.c;
    const Count count = count_of(c);
    fmt::print(
        "{}: {} of {} notes hit{}, {} extra\n",
        all.lick.head.title.empty() ? "The lick" : all.lick.head.title, count.hit, c.notes.size(),
        count.to_work_on == 0 ? "" : fmt::format(", {} of them with something to work on", count.to_work_on),
        c.extras.size());
    fmt::print(
        "{:.0f} beats a minute (written {:.0f}){}; onsets typically within {:.0f} ms{}\n", c.tempo.value,
        all.lick.head.tempo.value,
        std::abs(c.drift - 1.0) < 0.03 ? "" : fmt::format(", {:+.0f} % by the end", 100.0 * (c.drift - 1.0)),
        1000.0 * c.evenness.value, off_beats(all));
    if (!c.advice.empty()) {
        fmt::print("\nTo work on:\n");
        for (std::size_t i = 0; i < c.advice.size(); ++i) fmt::print("  {}. {}\n", i + 1, c.advice[i].words);
    }
    fmt::print("\n{:<26}{:<9}{:<9}{:>7}{:>8}{:>8}\n", "place", "written", "heard", "ms", "cents", "length");
    for (const coach::NoteGrade& g : c.notes) {
        const std::string tab = text::to_text(played.notes[g.note].tab);
        if (g.came == coach::Came::missing) {
            fmt::print("{:<26}{:<9}missing\n", place(all.lick, played, g.note), tab);
            continue;
        }
        fmt::print("{:<26}{:<9}{:<9}{:>7}{:>8}{:>7.0f}%\n", place(all.lick, played, g.note), tab,
                   text::to_text(all.heard.heard.notes[*g.heard].tab),
                   signed_whole(1000.0 * g.onset_error.value),
                   g.bend_error ? signed_whole(-g.bend_error->value) : "", 100.0 * g.length);
    }
}

/// Likeness from which a harp that was said is not doubted.
constexpr double fits_well = 0.75;

/// Heard with the lick's harp. When that is another phrase, perhaps it was played on another harp.
std::optional<Compared> hear_and_compare(Report& report, const Options& options, const lick::Lick& lick) {
    coach::Tolerance tolerance;
    tolerance.onset = Seconds{options.timing_ms / 1000.0};
    tolerance.bend = Cents{options.bend_cents};
    tolerance.blue_third = Cents{options.blue_cents};
    listen::Wishes wishes;
    wishes.must_be_a_harp = !options.hearing->anything;
    if (!read_harp(report, *options.hearing, wishes.harp)) return std::nullopt;
    Compared all{lick, {}, {}};
    const bool said = wishes.harp.has_value();
    if (said) {
        wishes.harp->tuning = lick.head.harp.tuning;
        all.lick.head.harp = *wishes.harp;
    } else {
        wishes.harp = lick.head.harp;
    }
    auto heard = hear_recording(report, *options.hearing, wishes);
    if (!heard) return std::nullopt;
    all.heard = std::move(*heard);
    all.c = coach::compare(all.lick, all.heard.heard.notes, tolerance, all.heard.heard.frames);
    if (all.c.same_lick && (!said || all.c.likeness >= fits_well)) return all;
    // By pitches alone, on every harp that is made: which one carries this tab?
    wishes.harp.reset();
    Report quiet{"compare", true};
    const auto pitches = hear_recording(quiet, *options.hearing, wishes);
    if (!pitches) return all;
    double best = 0.0;
    for (const coach::HarpGuess& g : pitches->harps) {
        lick::Lick moved = lick;
        moved.head.harp.key = g.harp.key;
        moved.head.harp.octave = g.harp.octave;
        const coach::Comparison c = coach::compare(moved, pitches->pitches, tolerance);
        if (!c.same_lick || c.likeness <= best) continue;
        best = c.likeness;
        wishes.harp = moved.head.harp;
    }
    if (!wishes.harp || *wishes.harp == all.lick.head.harp) return all;
    auto other = hear_recording(quiet, *options.hearing, wishes);
    if (!other) return all;
    Compared again{lick, std::move(*other), {}};
    again.lick.head.harp.key = again.heard.harp.key;
    again.lick.head.harp.octave = again.heard.harp.octave;
    again.c = coach::compare(again.lick, again.heard.heard.notes, tolerance, again.heard.heard.frames);
    if (!coach::surely_same(again.c)) return all;
    if (said) {
        if (again.c.likeness > all.c.likeness)
            fmt::print(
                stderr,
                "lickwright compare: note: {:.0f} % of the notes fit a harp in {}, {:.0f} % one in {}; "
                "without --harp the other is taken\n",
                100.0 * again.c.likeness, harp::name(again.lick.head.harp), 100.0 * all.c.likeness,
                harp::name(all.lick.head.harp));
        return all;
    }
    fmt::print(stderr, "lickwright compare: note: this take was played on a harp in {}, not {}\n",
               harp::name(again.lick.head.harp), harp::name(lick.head.harp));
    return again;
}

int run(const Options& options) {
    Report report{"compare", options.json};
    const files::Path take{options.hearing->sound};
    const bool take_is_a_text = take.extension() == ".lick" || take.extension() == ".md";
    const std::string order = "Name the lick first, then the take: lickwright compare porch.lick take.wav";
    if (listen::is_sound_file(options.text)) {
        report.trouble(
            {fmt::format("{} is a recording; the lick comes first", options.text),
             take_is_a_text ? fmt::format("lickwright compare {} {}", take.string(), options.text) : order});
        return report.finish();
    }
    if (!options.picture.empty() && !listen::is_picture_name(options.picture)) {
        report.trouble({fmt::format("cannot tell what {} should hold", options.picture),
                        "Name a picture that ends in .svg, .png or .pdf."});
        return report.finish();
    }
    if (take_is_a_text) {
        report.trouble({fmt::format("{} is no recording", options.hearing->sound), order});
        return report.finish();
    }
    if (!outputs_are_safe(report,
                          {{options.text, "the text itself"},
                           {options.hearing->sound, "the recording itself"},
                           {options.house, "the house file"}},
                          {options.picture}))
        return report.finish();
    auto loaded = load(report, options.text, options.house);
    if (!loaded) return report.finish();
    const auto licks = chosen_licks(report, *loaded, options.lick);
    if (!licks) return report.finish();
    if (licks->size() != 1) {
        report.trouble({fmt::format("{} holds {} licks", options.text, licks->size()),
                        "Say which was played with --lick NUMBER."});
        return report.finish();
    }
    const lick::Lick& lick = loaded->lesson.licks[licks->front()].lick;
    if (lick::unfold(lick).notes.empty()) {
        report.trouble({fmt::format("{} has no notes to compare with",
                                    lick.head.title.empty() ? options.text : lick.head.title),
                        "Write some into its tab lane."});
        return report.finish();
    }
    // Nothing is written before it is heard, so until then an interrupt may end us anywhere.
    std::optional<EndsAtOnce> interruptible{std::in_place, "compare", options.json};
    const auto all = hear_and_compare(report, options, lick);
    interruptible.reset();
    if (!all) return report.finish();
    for (const std::string& w : all->heard.warnings) fmt::print(stderr, "lickwright compare: note: {}\n", w);
    if (!all->c.same_lick) {
        const std::string name = all->lick.head.title.empty() ? options.text : all->lick.head.title;
        report.set("likeness", rounded(all->c.likeness, 0.001));
        report.trouble({fmt::format("{} does not sound like {}: {:.0f} % of the notes fit",
                                    options.hearing->sound, name, 100.0 * all->c.likeness),
                        "Check which lick it is; `lickwright listen` writes down what was played."});
        return report.finish();
    }
    if (!options.picture.empty()) {
        const auto picture =
            listen::picture_of(all->lick, all->heard.heard.notes, all->c, options.hearing->width);
        if (const auto written = listen::write_picture(options.picture, picture, all->lick.head.title);
            !written) {
            report.trouble(written.error());
            return report.finish();
        }
        report.made(options.picture);
    }
    as_json(report, *all);
    if (!options.json) as_text(*all);
    return report.finish();
}

}  // namespace

void add_compare(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "compare",
                    "Measure a take against its lick, note by note, and say what to work on");
    command.footer(
        "  lickwright compare porch.lick take.wav\n"
        "  lickwright compare lesson.md --lick 2 take.mp4 --from 0:40 --picture take.svg\n"
        "  lickwright compare porch.lick take.wav --harp A         the same tab, played on another harp\n\n"
        "The tempo is the player's own: a note is late against the take, not against a clock. Cents above 0 "
        "are too\n"
        "high, below 0 too low. Nothing under 6 ms or 10 cents is called a fault, whatever the tolerance.");
    command.option("text", options->text, "A lick or a lesson (.md)").required().type_name("LICK");
    command.option("take", options->hearing->sound, "A recording or a film").required().type_name("TAKE");
    command.lick_option(options->lick, "Which lick of a lesson, from 1");
    add_hearing_options(command, options->hearing, "Measure what sounds like no harmonica as well");
    command.option("--timing", options->timing_ms, "Early or late by this is let pass")
        .between(6.0, 500.0)
        .type_name("MS")
        .shows_default();
    command.option("--bend", options->bend_cents, "A bend off by this is let pass")
        .between(10.0, 100.0)
        .type_name("CENTS")
        .shows_default();
    command.option("--blue", options->blue_cents, "The same for notes written with `q`")
        .between(10.0, 100.0)
        .type_name("CENTS")
        .shows_default();
    command.option("--picture", options->picture, "The lick with the take drawn over it: .svg .png .pdf")
        .type_name("FILE");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] { work = [options] { return run(*options); }; });
}

}  // namespace lw::cli
