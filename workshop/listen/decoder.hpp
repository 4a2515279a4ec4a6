// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where samples come from, all channels in turn. Private to the room.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "workshop/files/disk.hpp"

namespace lw::listen {

class Decoder {
  public:
    Decoder() = default;
    Decoder(const Decoder&) = delete;
    Decoder& operator=(const Decoder&) = delete;
    virtual ~Decoder() = default;
    [[nodiscard]] virtual int rate() const noexcept = 0;
    [[nodiscard]] virtual int channels() const noexcept = 0;
    /// Frames in all, when the file says so.
    [[nodiscard]] virtual std::optional<std::size_t> frames() const noexcept = 0;
    /// Whole frames into `samples`; the number of frames. 0 at the end.
    [[nodiscard]] virtual std::size_t read(std::span<float> samples) = 0;
    /// What went wrong while reading; empty when nothing did.
    [[nodiscard]] virtual std::string complaint() = 0;
};

/// Nothing when libsndfile does not read it.
[[nodiscard]] std::unique_ptr<Decoder> sound_file(const files::Path& file);
/// A running ffmpeg: stereo at 48 kHz. Trouble when the program is missing or finds no sound.
[[nodiscard]] files::Result<std::unique_ptr<Decoder>> film_sound(const files::Path& file,
                                                                 const std::string& ffmpeg);

}  // namespace lw::listen
