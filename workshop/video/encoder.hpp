// SPDX-License-Identifier: GPL-3.0-or-later
//
// Raw frames into a film file, through a pipe to the ffmpeg program: every codec, in a process of its own. The
// film is written aside and takes its name only when it is whole; until then, and after any trouble, the file of
// that name is what it was.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "engine/text/lesson.hpp"
#include "workshop/files/disk.hpp"

namespace lw::video {

struct Film {
    text::ScreenChoice::Kind kind = text::ScreenChoice::Kind::webm;
    int width = 1920;   // even, pixels
    int height = 1080;  // even
    int frames_per_second = 30;
};

/// The arguments after `ffmpeg` that make this film from BGRA frames on standard input. Colours are tagged and
/// converted as BT.709 (ITU-R BT.709, what editors expect of high definition), nothing in the file depends on
/// the clock or the machine.
[[nodiscard]] std::vector<std::string> encoder_arguments(const Film& film, const std::string& into);

/// The ending a film of that kind has: `webm`, `mov`, `mp4`.
[[nodiscard]] std::string_view ending(text::ScreenChoice::Kind kind) noexcept;

/// One running ffmpeg. Frames are BGRA, eight bits, not premultiplied, rows without padding.
class Encoder {
  public:
    /// Trouble when the program is missing or the folder cannot be written. `program` is a name or a path.
    [[nodiscard]] static files::Result<Encoder> start(files::Disk& disk, const Film& film,
                                                      const files::Path& target,
                                                      const std::string& program = "ffmpeg");
    Encoder(Encoder&& other) noexcept;
    Encoder& operator=(Encoder&&) = delete;
    /// Without `finish`, the program is ended and what it wrote is removed.
    ~Encoder();

    /// Waits until the pipe has room. Trouble when the program has gone; it carries ffmpeg's own last line.
    [[nodiscard]] files::Result<void> write(std::span<const std::uint8_t> frame);
    /// Ends the film, waits for the program, syncs and renames.
    [[nodiscard]] files::Result<void> finish();

  private:
    Encoder(files::Disk& disk, files::Path target, files::Path aside)
        : disk_(&disk), target_(std::move(target)), aside_(std::move(aside)) {}
    [[nodiscard]] files::Trouble what_went_wrong(int status) const;
    int wait() noexcept;
    void close_pipe() noexcept;

    files::Disk* disk_;
    files::Path target_;
    files::Path aside_;
    std::string program_;
    int pid_ = -1;
    int pipe_ = -1;
    int words_ = -1;  // what ffmpeg says, a file in memory
};

}  // namespace lw::video
