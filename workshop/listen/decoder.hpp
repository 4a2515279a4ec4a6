// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where samples come from, all channels in turn. Private to the room.
#pragma once

#include <atomic>
#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "engine/units/quantity.hpp"
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
    /// Goes to a frame, counted from the beginning. False when it cannot, and nothing has moved.
    [[nodiscard]] virtual bool go_to(std::size_t frame) = 0;
    /// What went wrong while reading, in words for the player; empty when nothing did.
    [[nodiscard]] virtual std::string complaint() = 0;
};

/// Nothing when libsndfile does not read it.
[[nodiscard]] std::unique_ptr<Decoder> sound_file(const files::Path& file);
/// A running ffmpeg: stereo at 48 kHz, beginning at `from`. Trouble when the program is missing. It is ended as soon as
/// nobody reads on, and reading ends when `stop` turns true.
[[nodiscard]] files::Result<std::unique_ptr<Decoder>> film_sound(const files::Path& file, Seconds from,
                                                                 const std::string& ffmpeg,
                                                                 const std::atomic<bool>* stop);

}  // namespace lw::listen
