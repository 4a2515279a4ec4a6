// SPDX-License-Identifier: GPL-3.0-or-later
//
// A clip as the bytes of a sound file. Nothing is written to disk here (workshop/files does that), and the same
// clip gives the same bytes every time: no dated chunk in WAV, a fixed serial number in OGG, no clock anywhere.
//
// Settings are the usual ones: WAV and FLAC 16 bit (FLAC level 5), MP3 variable rate near 190 kbit/s (LAME's
// V2), OGG Vorbis quality 5 (about 160 kbit/s).
#pragma once

#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "engine/sound/mix.hpp"

namespace lw::audio {

enum class Format : std::uint8_t { wav, flac, mp3, ogg };

/// `wav`, `flac`, `mp3`, `ogg`; this is also the ending of the file's name.
[[nodiscard]] std::string_view name(Format format) noexcept;
[[nodiscard]] std::optional<Format> format_named(std::string_view text) noexcept;

/// What a player shows; an empty one is left out.
struct Tags {
    std::string title;
    std::string artist;
    std::string album;
};

/// The codec library refused; `what()` says which format and why.
class EncodingFailed : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// Encodes a clip. Memory: the file itself and a small buffer beside the clip. Throws EncodingFailed.
[[nodiscard]] std::vector<std::uint8_t> encode(const sound::Clip& clip, Format format, const Tags& tags = {});

/// What a sound file holds, for tests and for the teacher's own sounds. Throws EncodingFailed.
[[nodiscard]] sound::Clip decode(const std::vector<std::uint8_t>& bytes);

}  // namespace lw::audio
