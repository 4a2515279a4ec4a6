// SPDX-License-Identifier: GPL-3.0-or-later
// Films as others read them: ffprobe (size, rate, alpha, tags, frames) and ffmpeg's decoders, libvpx-vp9 for
// alpha (frames back).
#include <sys/wait.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <thread>

#include "tests/video/some_licks.hpp"
#include "workshop/video/encoder.hpp"

namespace lw::video {
namespace {

using Shape = text::ScreenChoice::Shape;
using Kind = text::ScreenChoice::Kind;
namespace fs = std::filesystem;

fs::path fresh_folder(const std::string& name) {
    const fs::path folder = fs::path{LICKWRIGHT_BUILD_DIR} / "test-files" / ("video-" + name);
    fs::remove_all(folder);
    fs::create_directories(folder);
    return folder;
}

std::string run(const std::string& command) {
    std::FILE* pipe = ::popen(command.c_str(), "r");
    std::string out;
    std::array<char, 1 << 16> block{};
    while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe))
        out.append(block.data(), got);
    EXPECT_EQ(::pclose(pipe), 0) << command;
    return out;
}

std::string bytes_of(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

/// `key=value` lines of ffprobe about the one stream, its tags and the file.
std::string probe(const fs::path& file) {
    return run("ffprobe -v error -count_frames -show_streams -show_format -of default=nw=1 '" +
               file.string() + "'");
}

bool says(const std::string& probed, const std::string& line) {
    return ("\n" + probed).find("\n" + line + "\n") != std::string::npos;
}

files::Result<void> make(const lick::Lick& lick, const sound::Performance& p, const Wishes& w,
                         const fs::path& to, const std::string& ffmpeg = "ffmpeg") {
    const std::atomic<bool> go_on{false};
    return make_film(files::real_disk(), lick, p, w, to, {}, go_on, ffmpeg);
}

/// Nothing of ours is left beside the film.
std::size_t files_in(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator{folder}, fs::directory_iterator{}));
}

struct Case {
    Shape shape;
    Kind kind;
    int lines, rate, width, height;
};

TEST(Film, FfprobeConfirmsEveryKind) {
    const lick::Lick lick = read(short_lick);
    sound::Choices choices;
    choices.tempo = BeatsPerMinute{400.0};
    choices.count_in = false;
    const auto p = sound::perform(lick, choices);
    const fs::path folder = fresh_folder("kinds");
    for (const Case& c : {Case{Shape::landscape, Kind::webm, 1080, 30, 1920, 1080},
                          Case{Shape::portrait, Kind::webm, 360, 50, 360, 640},
                          Case{Shape::lower_third, Kind::prores, 360, 25, 640, 360},
                          Case{Shape::landscape, Kind::mp4, 360, 60, 640, 360}}) {
        const fs::path film = folder / ("film." + std::string{ending(c.kind)});
        const auto made = make(lick, p, wishes(c.shape, c.kind, c.lines, c.rate), film);
        ASSERT_TRUE(made) << made.error().words;
        const std::string probed = probe(film);
        EXPECT_TRUE(says(probed, "width=" + std::to_string(c.width))) << probed;
        EXPECT_TRUE(says(probed, "height=" + std::to_string(c.height))) << probed;
        EXPECT_TRUE(says(probed, "r_frame_rate=" + std::to_string(c.rate) + "/1")) << probed;
        const int frames = static_cast<int>(std::ceil(p.length.value * c.rate - 1e-6));
        EXPECT_TRUE(says(probed, "nb_read_frames=" + std::to_string(frames))) << probed;
        const auto at = probed.rfind("\nduration=");
        ASSERT_NE(at, std::string::npos);
        // WebM keeps whole milliseconds.
        EXPECT_NEAR(std::stod(probed.substr(at + 10)), static_cast<double>(frames) / c.rate, 0.0011);
        EXPECT_TRUE(says(probed, "color_space=bt709")) << probed;
        EXPECT_TRUE(says(probed, "color_range=tv")) << probed;
        switch (c.kind) {
            case Kind::webm:
                EXPECT_TRUE(says(probed, "codec_name=vp9")) << probed;
                EXPECT_TRUE(says(probed, "TAG:alpha_mode=1") || says(probed, "TAG:ALPHA_MODE=1")) << probed;
                break;
            case Kind::prores:
                EXPECT_TRUE(says(probed, "codec_name=prores")) << probed;
                EXPECT_TRUE(says(probed, "profile=4444") || says(probed, "profile=4")) << probed;
                EXPECT_NE(probed.find("pix_fmt=yuva444p1"), std::string::npos) << probed;
                break;
            case Kind::mp4:
                EXPECT_TRUE(says(probed, "codec_name=h264")) << probed;
                EXPECT_TRUE(says(probed, "pix_fmt=yuv420p")) << probed;
                EXPECT_TRUE(says(probed, "color_primaries=bt709")) << probed;
                EXPECT_TRUE(says(probed, "color_transfer=bt709")) << probed;
                break;
        }
        const std::string again_name = "again." + std::string{ending(c.kind)};
        if (c.lines < 1080) {  // the same bytes, run after run
            ASSERT_TRUE(make(lick, p, wishes(c.shape, c.kind, c.lines, c.rate), folder / again_name));
            EXPECT_EQ(bytes_of(film), bytes_of(folder / again_name));
        }
    }
}

/// Mean of accent-likeness inside a box of an RGBA frame: how near its pixels are to a colour, 0 to 1.
double likeness(const std::string& rgba, std::size_t frame, int width, int height, const draw::Box& b,
                draw::Colour colour) {
    const std::size_t start = frame * static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 4;
    int hits = 0;
    int all = 0;
    for (int y = static_cast<int>(b.y); y < b.bottom(); ++y)
        for (int x = static_cast<int>(b.x); x < b.right(); ++x) {
            const std::size_t i = start + (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                                           static_cast<std::size_t>(x)) *
                                              4;
            const auto at = [&](std::size_t k) {
                return static_cast<int>(static_cast<unsigned char>(rgba[i + k]));
            };
            const int away =
                std::abs(at(0) - colour.red) + std::abs(at(1) - colour.green) + std::abs(at(2) - colour.blue);
            hits += away < 90 ? 1 : 0;
            ++all;
        }
    return all == 0 ? 0.0 : static_cast<double>(hits) / all;
}

// The film itself, decoded, shows the lit note of the model at 50 times, and no other note lit; between notes none.
TEST(Film, FramesReadBackShowTheLitNoteAtFiftyTimes) {
    const lick::Lick lick = read(long_lick);
    const auto p = sound::perform(lick);
    const fs::path folder = fresh_folder("lit");
    const Wishes w = wishes(Shape::landscape, Kind::webm, 540, 25);
    const fs::path film = folder / "film.webm";
    const auto made = make(lick, p, w, film);
    ASSERT_TRUE(made) << made.error().words;
    OnScreen screen{lick, p, w};
    const draw::Colour accent = draw::theme(draw::Look::overlay)[draw::Ink::accent];
    const std::size_t size =
        static_cast<std::size_t>(screen.width()) * static_cast<std::size_t>(screen.height()) * 4;
    // Fifty notes spread over the lick, each in the middle of its sounding.
    std::vector<int> frames;
    std::string select;
    for (std::size_t k = 0; k < 50; ++k) {
        const sound::SoundedNote& note = p.notes[k * (p.notes.size() - 1) / 49];
        frames.push_back(static_cast<int>((note.onset.value + note.offset.value) / 2.0 * 25.0));
        select += (k > 0 ? "+" : "") + std::string{"eq(n\\,"} + std::to_string(frames.back()) + ")";
    }
    const std::string rgba = run("ffmpeg -v error -c:v libvpx-vp9 -i '" + film.string() +
                                 "' -vf 'select=" + select + "' -vsync 0 -f rawvideo -pix_fmt rgba -");
    ASSERT_EQ(rgba.size(), size * frames.size());
    for (std::size_t k = 0; k < frames.size(); ++k) {
        const auto sight = screen.sight(frames[k]);
        ASSERT_TRUE(sight.note.has_value());
        ASSERT_FALSE(sight.lit.empty()) << k;
        const double lit = likeness(rgba, k, screen.width(), screen.height(), sight.lit[0], accent);
        // A lit number is accent but for the digit on it and its edges; an unlit one has little, where
        // the mark or a lit tail passes by.
        EXPECT_GT(lit, 0.2) << k;
        // Notes of other times that are in view now are not lit.
        for (const int other : frames) {
            const auto there = screen.sight(other);
            if (there.note == sight.note || there.lit.empty()) continue;
            const draw::Box &a = there.lit[0], &b = sight.lit[0];
            // Lines turn: what stood there then may be the lit note itself now, or under its ring.
            if (a.x < b.right() + 14 && b.x < a.right() + 14 && a.y < b.bottom() + 14 &&
                b.y < a.bottom() + 14)
                continue;
            EXPECT_LT(likeness(rgba, k, screen.width(), screen.height(), a, accent), 0.16) << k;
        }
        // The film shows through outside the panel: alpha is 0 in the corner, the veil's in the panel.
        EXPECT_LE(static_cast<unsigned char>(rgba[k * size + 3]), 2U);
        const draw::Box panel = screen.panel();
        const std::size_t inside =
            (static_cast<std::size_t>(panel.bottom() - 6) * static_cast<std::size_t>(screen.width()) +
             static_cast<std::size_t>(panel.x + panel.width / 2)) *
            4;
        EXPECT_NEAR(static_cast<unsigned char>(rgba[k * size + inside + 3]), 209, 6);
    }
}

// ProRes and MP4 hold the drawn frame within what their coding loses.
TEST(Film, DecodedFramesAreTheDrawnOnes) {
    const lick::Lick lick = read(short_lick);
    const auto p = sound::perform(lick);
    const fs::path folder = fresh_folder("decoded");
    for (const Kind kind : {Kind::prores, Kind::mp4}) {
        const Wishes w = wishes(Shape::landscape, kind, 360, 25);
        const fs::path film = folder / ("film." + std::string{ending(kind)});
        ASSERT_TRUE(make(lick, p, w, film));
        OnScreen screen{lick, p, w};
        const std::string rgba =
            run("ffmpeg -v error -i '" + film.string() +
                "' -vf 'select=eq(n\\,40),scale=in_color_matrix=bt709' -vsync 0 -f rawvideo -pix_fmt rgba -");
        const std::vector<std::uint8_t> drawn = rgba_frame(screen, 40);
        ASSERT_EQ(rgba.size(), drawn.size());
        double sum = 0.0;
        double alpha = 0.0;
        std::size_t counted = 0;
        for (std::size_t i = 0; i < drawn.size(); i += 4) {
            alpha += std::abs(static_cast<unsigned char>(rgba[i + 3]) - static_cast<int>(drawn[i + 3]));
            if (drawn[i + 3] < 200) continue;
            for (std::size_t c = 0; c < 3; ++c)
                sum += std::abs(static_cast<unsigned char>(rgba[i + c]) - static_cast<int>(drawn[i + c]));
            counted += 3;
        }
        EXPECT_LT(sum / static_cast<double>(counted), 3.0) << "mean of 255";
        EXPECT_LT(alpha / static_cast<double>(drawn.size() / 4), 1.0);
    }
}

TEST(Film, StoppedLeavesThePreviousFile) {
    const lick::Lick lick = read(short_lick);
    const auto p = sound::perform(lick);
    const fs::path folder = fresh_folder("stopped");
    const fs::path film = folder / "film.mp4";
    std::ofstream{film} << "the one before";
    std::atomic<bool> stop{false};
    int last = 0;
    const auto made = make_film(
        files::real_disk(), lick, p, wishes(Shape::landscape, Kind::mp4, 240), film,
        [&](int done, int all) {
            EXPECT_EQ(done, last + 1);
            EXPECT_LE(done, all);
            last = done;
            if (done == 20) stop = true;
        },
        stop);
    ASSERT_FALSE(made);
    EXPECT_EQ(last, 20);
    EXPECT_NE(made.error().words.find("stopped"), std::string::npos);
    EXPECT_EQ(bytes_of(film), "the one before");
    EXPECT_EQ(files_in(folder), 1U);
}

TEST(Film, AMissingProgramIsOneClearLine) {
    const lick::Lick lick = read(short_lick);
    const fs::path folder = fresh_folder("missing");
    const auto made = make(lick, sound::perform(lick), wishes(Shape::landscape, Kind::mp4, 240),
                           folder / "film.mp4", "no-such-program");
    ASSERT_FALSE(made);
    EXPECT_EQ(made.error().words,
              "cannot make " + (folder / "film.mp4").string() +
                  ": the program no-such-program is not here (No such file or directory)");
    EXPECT_EQ(made.error().remedy, "Install it (on Debian: apt-get install ffmpeg) and run this again.");
    EXPECT_EQ(files_in(folder), 0U);
}

/// A stand-in for ffmpeg that misbehaves on cue.
std::string program(const fs::path& folder, const std::string& body) {
    const fs::path file = folder / "program.sh";
    std::ofstream{file} << "#!/bin/sh\n" << body << "\n";
    fs::permissions(file, fs::perms::owner_all);
    return file.string();
}

TEST(Film, AProgramThatFailsDiesOrFillsTheDiskLeavesThePreviousFile) {
    const lick::Lick lick = read(short_lick);
    const auto p = sound::perform(lick);
    const fs::path folder = fresh_folder("failing");
    const fs::path scripts = fresh_folder("failing-programs");
    const fs::path film = folder / "film.mp4";
    std::ofstream{film} << "the one before";
    const Wishes w = wishes(Shape::landscape, Kind::mp4, 240);
    const std::vector<std::pair<std::string, std::string>> cases = {
        {"echo Unknown encoder >&2; exit 1", "gave up with status 1: Unknown encoder"},
        {"head -c 100000 >/dev/null; kill -9 $$", "was ended by signal 9"},
        {"cat >/dev/null; echo 'av_write: No space left on device' >&2; exit 1", "No space left on device"},
        {"ulimit -f 1; exec ffmpeg \"$@\"", "cannot "},
    };
    for (const auto& [body, words] : cases) {
        const auto made = make(lick, p, w, film, program(scripts, body));
        ASSERT_FALSE(made) << body;
        EXPECT_NE(made.error().words.find(words), std::string::npos) << made.error().words;
        EXPECT_EQ(made.error().words.find('\n'), std::string::npos);
        EXPECT_FALSE(made.error().remedy.empty());
        EXPECT_EQ(bytes_of(film), "the one before");
        EXPECT_EQ(files_in(folder), 1U) << body;
    }
}

TEST(Film, AFolderThatIsNotThereIsSaid) {
    const lick::Lick lick = read(short_lick);
    const fs::path folder = fresh_folder("nowhere");
    const auto made = make(lick, sound::perform(lick), wishes(Shape::landscape, Kind::mp4, 240),
                           folder / "no" / "film.mp4");
    ASSERT_FALSE(made);
    EXPECT_NE(made.error().words.find("there is no folder"), std::string::npos) << made.error().words;
    const auto onto = make(lick, sound::perform(lick), wishes(Shape::landscape, Kind::mp4, 240), folder);
    ASSERT_FALSE(onto);
    EXPECT_NE(onto.error().words.find("it is a folder"), std::string::npos);
}

// A run that was killed could not tidy up; the next one does. One that still runs is left alone.
TEST(Film, LeftoversOfAKilledRunGo) {
    const lick::Lick lick = read(short_lick);
    const fs::path folder = fresh_folder("leftovers");
    std::ofstream{folder / ".film.mp4.999999999.part"} << "half";
    std::ofstream{folder / ".film.mp4.1.part"} << "of a process that lives";
    std::ofstream{folder / ".film.mp4.notes.part"} << "not ours";
    ASSERT_TRUE(
        make(lick, sound::perform(lick), wishes(Shape::landscape, Kind::mp4, 240), folder / "film.mp4"));
    EXPECT_FALSE(fs::exists(folder / ".film.mp4.999999999.part"));
    EXPECT_TRUE(fs::exists(folder / ".film.mp4.1.part"));
    EXPECT_TRUE(fs::exists(folder / ".film.mp4.notes.part"));
    EXPECT_TRUE(fs::exists(folder / "film.mp4"));
}

}  // namespace
}  // namespace lw::video
