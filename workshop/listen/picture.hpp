// SPDX-License-Identifier: GPL-3.0-or-later
//
// Two pictures of a take. What was heard: the breath line of the draft, and under every line of it the pitch that was
// heard and the waveform, on the same time. And a take against its lick: the breath line as written, with the take drawn
// over it in its own colour.
#pragma once

#include "engine/coach/compare.hpp"
#include "engine/draw/picture.hpp"
#include "workshop/files/disk.hpp"
#include "workshop/listen/listening.hpp"

namespace lw::listen {

/// `width` in points.
[[nodiscard]] draw::Picture picture_of(const Listened& listened, double width = 760.0);

/// The lick as written, and behind its numbers a broad line in the colour of the take: from where each note began to
/// where it ended, as deep as it was bent; a bar under the number where it began. What is a fault is said beside it:
/// milliseconds, cents, the tab that came instead. A number that did not come is struck through.
[[nodiscard]] draw::Picture picture_of(const lick::Lick& lick, std::span<const hear::HeardNote> take,
                                       const coach::Comparison& comparison, double width = 760.0);

/// As the file's ending says: .svg, .png or .pdf.
[[nodiscard]] files::Result<void> write_picture(const files::Path& file, const draw::Picture& picture,
                                                const std::string& title);
[[nodiscard]] bool is_picture_name(const files::Path& file);

}  // namespace lw::listen
