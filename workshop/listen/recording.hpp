// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sound of any file, one channel, block by block: what libsndfile reads, and the first sound track of what the
// ffmpeg program reads (films). Memory does not grow with the length. Channels that are silent, or the other one upside
// down, are left out, so that a recording with one dead side is as loud as it was.
#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/units/quantity.hpp"
#include "workshop/files/disk.hpp"

namespace lw::listen {

/// What is cut out of the file.
struct Cut {
    Seconds from{0.0};
    std::optional<Seconds> to;
};

class Recording {
  public:
    /// Opens a file; trouble says what is wrong with it in one line. `ffmpeg` is a program's name or path. When `stop`
    /// turns true, a film gives no more, whatever it is waiting for; it has to outlive the recording.
    [[nodiscard]] static files::Result<Recording> open(const files::Path& file, const Cut& cut = {},
                                                       const std::string& ffmpeg = "ffmpeg",
                                                       const std::atomic<bool>* stop = nullptr);
    Recording(Recording&&) noexcept;
    Recording& operator=(Recording&&) noexcept;
    ~Recording();

    /// Samples a second, 8000 to 192000.
    [[nodiscard]] double rate() const noexcept;
    /// As far as the file says so: of the cut, in samples.
    [[nodiscard]] std::optional<std::size_t> length() const noexcept;
    /// The next samples, all of them numbers; fewer than asked for only at the end.
    [[nodiscard]] std::size_t read(std::span<float> samples);
    /// After the end: samples that were no numbers, what the file promised and did not hold, parts that could not be
    /// read. Empty when all is well.
    [[nodiscard]] std::vector<std::string> complaints() const;

  private:
    struct Inside;
    explicit Recording(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

/// Is it a file that libsndfile reads, whatever its name?
[[nodiscard]] bool is_sound_file(const files::Path& file);

}  // namespace lw::listen
