// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <memory>

#include "engine/sound/mix.hpp"
#include "workshop/audio/encode.hpp"
#include "workshop/cli/commands.hpp"
#include "workshop/cli/interrupt.hpp"
#include "workshop/cli/load.hpp"
#include "workshop/pack/plan.hpp"

namespace lw::cli {
namespace {

struct Options {
    std::string text;
    std::string out;
    std::string into;
    std::string house;
    std::string lick;
    double tempo = 0.0;
    int repeats = 0;
    std::string format;
    bool no_click = false;
    bool click_only_before = false;
    bool no_harp = false;
    bool json = false;
};

struct Clip {
    const text::LessonLick* lick;
    BeatsPerMinute tempo;
    files::Path file;
    audio::Format format;
};

/// One clip into one file, or every step of every ladder into a folder.
std::optional<std::vector<Clip>> clips_of(Report& report, const Options& options, Loaded& loaded) {
    const auto licks = chosen_licks(report, loaded, options.lick);
    if (!licks) return std::nullopt;
    std::vector<Clip> clips;
    if (!options.out.empty()) {
        if (licks->size() != 1) {
            report.trouble({fmt::format("{} holds {} licks, and {} is one clip", options.text, licks->size(),
                                        options.out),
                            "Say which with --lick NUMBER, or name a folder with --into."});
            return std::nullopt;
        }
        const std::string ending = files::Path{options.out}.extension().string();
        const auto format = audio::format_named(ending.empty() ? ending : ending.substr(1));
        if (!format) {
            report.trouble({fmt::format("cannot tell what {} should hold", options.out),
                            "Name a file that ends in .wav, .flac, .mp3 or .ogg."});
            return std::nullopt;
        }
        const text::LessonLick& l = loaded.lesson.licks[licks->front()];
        const BeatsPerMinute tempo = options.tempo > 0.0 ? BeatsPerMinute{options.tempo} : l.lick.head.tempo;
        clips.push_back({&l, tempo, options.out, *format});
        return clips;
    }
    for (const std::size_t i : *licks) {
        const text::LessonLick& l = loaded.lesson.licks[i];
        const auto ladder =
            options.tempo > 0.0 ? std::vector{BeatsPerMinute{options.tempo}} : pack::ladder_of(l);
        const auto formats = options.format.empty() ? l.clips.formats : std::vector{options.format};
        for (const BeatsPerMinute tempo : ladder)
            for (const std::string& format : formats)
                clips.push_back({&l, tempo,
                                 files::Path{options.into} /
                                     fmt::format("{}-{}.{}", l.slug, pack::tempo_name(tempo), format),
                                 *audio::format_named(format)});
    }
    return clips;
}

int run(const Options& options) {
    Report report{"sound", options.json};
    if (would_replace_its_source(report, options.text, options.out)) return report.finish();
    auto loaded = load(report, options.text, options.house);
    if (!loaded) return report.finish();
    for (text::LessonLick& l : loaded->lesson.licks) {
        if (options.repeats > 0) l.clips.repeats = options.repeats;
        if (options.no_click || options.click_only_before) l.clips.click_through = false;
    }
    const auto clips = clips_of(report, options, *loaded);
    if (!clips) return report.finish();
    if (!options.into.empty()) {
        if (const auto made = files::real_disk().make_folders(options.into); !made) {
            report.trouble(made.error());
            return report.finish();
        }
    }
    const std::atomic<bool>& stop = stop_wanted();
    std::size_t done = 0;
    Progress progress{"sound", !options.json};
    for (const Clip& clip : *clips) {
        if (stop) {
            report.trouble({"stopped", "Clips that were finished stay."});
            break;
        }
        progress.at(done++, clips->size(), clip.file.filename().string());
        sound::MixChoices mix;
        mix.clicks = !options.no_click;
        mix.harp = !options.no_harp;
        const sound::Clip sounding = sound::render_clip(clip.lick->lick.head.harp,
                                                        pack::clip_performance(*clip.lick, clip.tempo), mix);
        const auto bytes = pack::encoded(
            sounding, clip.format, {clip.lick->lick.head.title, loaded->house.name, loaded->lesson.title});
        if (!bytes) {
            report.trouble(bytes.error());
            break;
        }
        if (const auto written = files::write_file_atomically(clip.file, *bytes); !written) {
            report.trouble(written.error());
            break;
        }
        report.made(clip.file);
    }
    return report.finish();
}

}  // namespace

void add_sound(CLI::App& program, Work& work) {
    auto options = std::make_shared<Options>();
    Command command(program, "sound", "Practice audio after a count-in, slow to fast: WAV, FLAC, MP3 or OGG");
    command.footer(
        "Tempos, repeats and formats come from the lesson or the house file (`ladder`, `repeats`, "
        "`formats`).\n\n"
        "  lickwright sound lesson.md --into audio               every step of every ladder\n"
        "  lickwright sound porch.lick -o porch.wav --tempo 60   one clip\n"
        "  lickwright sound porch.lick -o click.wav --no-harp    the click alone, to play to\n\n"
        "Clips stand at -16 LUFS with a true peak of at most -1 dBTP. Start quietly, above all in "
        "headphones.");
    command.option("text", options->text, "A lick or a lesson (.md)").required().type_name("FILE");
    const Setting out =
        command.option("-o,--out", options->out, "One clip: .wav, .flac, .mp3 or .ogg").type_name("FILE");
    const Setting into =
        command.option("--into", options->into, "A folder for the whole ladder").type_name("FOLDER");
    out.excludes(into);
    command.lick_option(options->lick, "Only one lick of a lesson, from 1");
    command.option("--tempo", options->tempo, "Beats a minute, instead of the ladder")
        .between(10.0, 400.0)
        .type_name("BPM");
    command.option("--repeats", options->repeats, "How often the phrase is played in a clip").from_to(1, 16);
    command.option("--format", options->format, "Format of the clips, with --into")
        .one_of({"wav", "flac", "mp3", "ogg"});
    command.flag("--no-click", options->no_click, "Neither count-in nor click to be heard");
    command.flag("--count-in-only", options->click_only_before, "The click stops when the phrase begins");
    command.flag("--no-harp", options->no_harp, "The click alone");
    command.house_option(options->house);
    command.json_flag(options->json);
    command.chosen([options, &work] {
        if (options->out.empty() && options->into.empty())
            refuse("sound", "say where: a file with -o or a folder with --into");
        work = [options] { return run(*options); };
    });
}

}  // namespace lw::cli
