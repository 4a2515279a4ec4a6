// SPDX-License-Identifier: GPL-3.0-or-later
//
// The on-screen layer: the breath line over the film while the lick sounds. A still page: the sounding note is
// lit (a ring around it and the accent colour), a mark moves along the line, the count-in is counted in the
// head. A lick too long for the frame turns line by line: while a line is played, the one before it gives its
// place to the next that comes, so the player can always read ahead.
//
// The picture is the sheet's own (engine/draw), the times are the sound's own (engine/sound): nothing here can
// disagree with either.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/draw/theme.hpp"
#include "engine/lick/lick.hpp"
#include "engine/sound/performance.hpp"
#include "engine/text/lesson.hpp"
#include "workshop/files/disk.hpp"

namespace lw::video {

struct Wishes {
    /// `lines` is the shorter side of the frame, 240 to 4320; 16:9, upright for portrait.
    text::ScreenChoice choice;
    /// Without one: `overlay` where the film shows through, `light` where it does not.
    std::optional<draw::Look> look;
    std::optional<draw::Colour> colour;  // the house's, for the accent
};

/// One lick, ready to be drawn frame by frame. Frames may be asked for in any order; in order is cheap: only
/// what changed since the last one is drawn. Not for two threads at once.
class OnScreen {
  public:
    OnScreen(const lick::Lick& lick, const sound::Performance& performance, const Wishes& wishes);
    OnScreen(OnScreen&&) noexcept;
    ~OnScreen();

    [[nodiscard]] int width() const noexcept;
    [[nodiscard]] int height() const noexcept;
    /// The performance's length, rounded up to whole frames. Frame n shows the middle of its own time,
    /// (n + 1/2) / rate, so that picture and sound are never more than half a frame apart.
    [[nodiscard]] int frames() const noexcept;

    /// BGRA, eight bits, not premultiplied, rows from the top without padding; valid until the next call.
    [[nodiscard]] std::span<const std::uint8_t> frame(int number);

    /// What a frame must show, for tests and for pages that show a preview.
    struct Sight {
        std::optional<std::size_t> note;  // index into Performance::notes
        std::vector<draw::Box> lit;       // in pixels: the shapes of its number that are in the frame
        std::optional<draw::Point> mark;  // in pixels: middle of the moving mark
        int count = 0;                    // the number counted in the head, 0 for none
    };
    [[nodiscard]] Sight sight(int number) const;
    /// Where everything is drawn, in pixels.
    [[nodiscard]] draw::Box panel() const noexcept;
    /// Pixels that were painted again for the last frame: how well "only what changes" is kept.
    [[nodiscard]] std::size_t painted() const noexcept;

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// Called after every frame, from the calling thread.
using Progress = std::function<void(int done, int all)>;

/// The layer of a lick as a film file. The file at `target` is replaced only by a whole one. `stop` is looked at
/// before every frame; a stopped film is Trouble and leaves nothing behind. `ffmpeg` is a program's name or path.
[[nodiscard]] files::Result<void> make_film(files::Disk& disk, const lick::Lick& lick,
                                            const sound::Performance& performance, const Wishes& wishes,
                                            const files::Path& target, const Progress& progress,
                                            const std::atomic<bool>& stop,
                                            const std::string& ffmpeg = "ffmpeg");

/// One frame as RGBA, not premultiplied, for previews. Width and height are those of OnScreen.
[[nodiscard]] std::vector<std::uint8_t> rgba_frame(OnScreen& screen, int number);

}  // namespace lw::video
