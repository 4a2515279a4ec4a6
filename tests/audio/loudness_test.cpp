// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rendered clips measured by others: ffmpeg's ebur128 filter and libebur128.
#include "engine/sound/loudness.hpp"

#include <ebur128.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <memory>

#include "tests/audio/clips.hpp"
#include "workshop/audio/encode.hpp"

namespace lw::audio {
namespace {

using test::clip_of;
using test::phrase;
using test::TempFile;

/// The number after the last `what` in ffmpeg's summary.
double reading(const std::string& output, const std::string& what) {
    const std::size_t at = output.rfind(what);
    return at == std::string::npos ? -999.0 : std::stod(output.substr(at + what.size()));
}

struct Measured {
    double integrated;
    double true_peak_db;
};

Measured by_libebur128(const sound::Clip& clip) {
    const auto closer = [](ebur128_state* s) { ebur128_destroy(&s); };
    const std::unique_ptr<ebur128_state, decltype(closer)> state{
        ebur128_init(static_cast<unsigned>(clip.channels), static_cast<unsigned long>(clip.rate.value),
                     EBUR128_MODE_I | EBUR128_MODE_TRUE_PEAK),
        closer};
    ebur128_add_frames_float(state.get(), clip.samples.data(), clip.frames());
    Measured m{};
    ebur128_loudness_global(state.get(), &m.integrated);
    double left = 0.0;
    double right = 0.0;
    ebur128_true_peak(state.get(), 0, &left);
    ebur128_true_peak(state.get(), 1, &right);
    m.true_peak_db = sound::to_decibels(std::max(left, right)).value;
    return m;
}

TEST(ClipLoudness, FfmpegAndLibebur128Agree) {
    for (const char* harp : {"low C", "A", "C", "F#", "high G"}) {
        const sound::Clip clip = clip_of(phrase(harp));
        sound::LoudnessMeter meter{2, clip.rate};
        meter.add(clip.samples);
        const double ours = meter.integrated().value;
        EXPECT_NEAR(ours, -16.0, 0.1) << harp;

        const Measured library = by_libebur128(clip);
        EXPECT_NEAR(library.integrated, ours, 0.1) << harp;
        EXPECT_LE(library.true_peak_db, -1.0) << harp;

        const TempFile file{"l.flac", encode(clip, Format::flac)};
        const test::Ran ran = test::run("ffmpeg -hide_banner -nostats -i " + file.path() +
                                        " -filter_complex ebur128=peak=true -f null -");
        ASSERT_EQ(ran.status, 0) << ran.output;
        EXPECT_NEAR(reading(ran.output, "I:"), ours, 0.3) << harp;
        EXPECT_LE(reading(ran.output, "Peak:"), -1.0) << harp;
    }
}

TEST(ClipLoudness, LossyFilesKeepThePeakToo) {
    // A clip that needs the limiter, through both lossy codecs and back.
    const lick::Lick sparse = test::lick_of(
        {test::bar({test::note(0, {1, 2}, test::tab(4, harp::Breath::draw)), test::rest({1, 2}, {7, 2})})},
        "C", 70);
    for (const sound::Clip& clip : {clip_of(phrase()), clip_of(sparse)}) {
        for (const Format f : {Format::mp3, Format::ogg}) {
            const Measured back = by_libebur128(decode(encode(clip, f)));
            EXPECT_LE(back.true_peak_db, -1.0) << name(f);
        }
    }
}

}  // namespace
}  // namespace lw::audio
