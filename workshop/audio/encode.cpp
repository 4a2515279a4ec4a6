// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/audio/encode.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "workshop/audio/memory_file.hpp"
#include "workshop/audio/ogg_serial.hpp"

namespace lw::audio {
namespace {

constexpr std::array<std::string_view, 4> names = {"wav", "flac", "mp3", "ogg"};

/// Any fixed number will do: these files hold one stream each. It spells `lick`.
constexpr std::uint32_t our_serial = 0x6b63696cU;

struct Closer {
    void operator()(SNDFILE* file) const noexcept { sf_close(file); }
};
using Handle = std::unique_ptr<SNDFILE, Closer>;

int library_format(Format format) noexcept {
    switch (format) {
        case Format::wav:
            return SF_FORMAT_WAV | SF_FORMAT_PCM_16;
        case Format::flac:
            return SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
        case Format::mp3:
            return SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III;
        case Format::ogg:
            return SF_FORMAT_OGG | SF_FORMAT_VORBIS;
    }
    return 0;
}

/// The usual settings. The library counts compression from 0 (best) to 1.
void choose_settings(SNDFILE* file, Format format) {
    double level = 0.0;
    int mode = SF_BITRATE_MODE_VARIABLE;
    switch (format) {
        case Format::wav:
            sf_command(file, SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
            return;
        case Format::flac:
            level = 5.0 / 8.0;
            break;
        case Format::mp3:
            sf_command(file, SFC_SET_BITRATE_MODE, &mode, sizeof mode);
            level = 0.2;
            break;
        case Format::ogg:
            level = 0.5;
            break;
    }
    sf_command(file, SFC_SET_COMPRESSION_LEVEL, &level, sizeof level);
}

[[noreturn]] void refuse(std::string_view format, SNDFILE* file) {
    throw EncodingFailed{std::string{format} + ": " + sf_strerror(file)};
}

/// Whole numbers are ours to round, so that the rounding is the same wherever the library was built. Rounding
/// errors lie 98 dB under full scale and some 30 dB under the voice's own breath noise: no dither is needed.
void write_whole_numbers(SNDFILE* file, const sound::Clip& clip, std::string_view format) {
    std::vector<short> part;
    constexpr std::size_t frames_at_once = 16384;
    const std::size_t step = frames_at_once * static_cast<std::size_t>(clip.channels);
    for (std::size_t at = 0; at < clip.samples.size(); at += step) {
        const std::size_t n = std::min(step, clip.samples.size() - at);
        part.resize(n);
        for (std::size_t i = 0; i < n; ++i) {
            const float x = std::clamp(clip.samples[at + i] * 32768.0F, -32768.0F, 32767.0F);
            part[i] = static_cast<short>(std::lrint(x));
        }
        if (sf_write_short(file, part.data(), static_cast<sf_count_t>(n)) != static_cast<sf_count_t>(n)) {
            refuse(format, file);
        }
    }
}

void write_floats(SNDFILE* file, const sound::Clip& clip, std::string_view format) {
    // In parts: the codecs keep a buffer as large as what they are handed at once.
    constexpr std::size_t frames_at_once = 16384;
    const std::size_t step = frames_at_once * static_cast<std::size_t>(clip.channels);
    for (std::size_t at = 0; at < clip.samples.size(); at += step) {
        const auto n = static_cast<sf_count_t>(std::min(step, clip.samples.size() - at));
        if (sf_write_float(file, clip.samples.data() + at, n) != n) refuse(format, file);
    }
}

}  // namespace

std::string_view name(Format format) noexcept {
    return names[static_cast<std::size_t>(format)];
}

std::optional<Format> format_named(std::string_view text) noexcept {
    const auto found = std::find(names.begin(), names.end(), text);
    if (found == names.end()) return std::nullopt;
    return static_cast<Format>(found - names.begin());
}

std::vector<std::uint8_t> encode(const sound::Clip& clip, Format format, const Tags& tags) {
    const int rate = static_cast<int>(std::lround(clip.rate.value));
    // Asked here, as libsndfile 1.2.0 leaks the encoder when it refuses the rate itself.
    static constexpr std::array mp3_rates = {8000, 11025, 12000, 16000, 22050, 24000, 32000, 44100, 48000};
    if (format == Format::mp3 && std::find(mp3_rates.begin(), mp3_rates.end(), rate) == mp3_rates.end())
        throw EncodingFailed{"mp3: there is no such file at " + std::to_string(rate) + " samples a second"};
    MemoryFile memory;
    SF_VIRTUAL_IO io = MemoryFile::calls();
    SF_INFO info{};
    info.samplerate = rate;
    info.channels = clip.channels;
    info.format = library_format(format);
    Handle file{sf_open_virtual(&io, SFM_WRITE, &info, &memory)};
    if (!file) refuse(name(format), nullptr);
    choose_settings(file.get(), format);
    const auto tag = [&](int which, const std::string& text) {
        if (!text.empty() && sf_set_string(file.get(), which, text.c_str()) != 0)
            refuse(name(format), file.get());
    };
    tag(SF_STR_TITLE, tags.title);
    tag(SF_STR_ARTIST, tags.artist);
    tag(SF_STR_ALBUM, tags.album);
    if (format == Format::wav || format == Format::flac) {
        write_whole_numbers(file.get(), clip, name(format));
    } else {
        write_floats(file.get(), clip, name(format));
    }
    if (const int error = sf_close(file.release()); error != 0) {
        throw EncodingFailed{std::string{name(format)} + ": " + sf_error_number(error)};
    }
    std::vector<std::uint8_t> bytes = memory.take();
    if (format == Format::ogg && !set_ogg_serial(bytes, our_serial)) {
        throw EncodingFailed{"ogg: the library wrote pages that do not add up"};
    }
    return bytes;
}

sound::Clip decode(const std::vector<std::uint8_t>& bytes) {
    MemoryFile memory{bytes};
    SF_VIRTUAL_IO io = MemoryFile::calls();
    SF_INFO info{};
    const Handle file{sf_open_virtual(&io, SFM_READ, &info, &memory)};
    if (!file) refuse("sound file", nullptr);
    sound::Clip clip;
    clip.rate = Hz{static_cast<double>(info.samplerate)};
    clip.channels = info.channels;
    std::vector<float> part(static_cast<std::size_t>(info.channels) * 16384);
    // In order and to the end: the library cannot seek in every format, nor always knows the length before.
    for (;;) {
        const sf_count_t n = sf_read_float(file.get(), part.data(), static_cast<sf_count_t>(part.size()));
        if (n <= 0) break;
        clip.samples.insert(clip.samples.end(), part.begin(), part.begin() + n);
    }
    return clip;
}

}  // namespace lw::audio
