// SPDX-License-Identifier: GPL-3.0-or-later
//
// The frame as layers that are put together only where something changed: a ground (panel, bands, grid), over it
// what the caller paints (the mark), over it the ink, over it again what the caller paints (the lit note). The
// frame is kept twice: premultiplied, as Cairo paints, and straight, as encoders with alpha want it. Private to
// the room.
#pragma once

#include <cairo.h>

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "engine/draw/picture.hpp"

namespace lw::video {

struct SurfaceGone {
    void operator()(cairo_surface_t* s) const noexcept { cairo_surface_destroy(s); }
};
struct ContextGone {
    void operator()(cairo_t* c) const noexcept { cairo_destroy(c); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceGone>;
using Context = std::unique_ptr<cairo_t, ContextGone>;

/// Whole pixels; empty when it has no width or height.
struct Pixels {
    int x = 0;
    int y = 0;
    int width = 0;
    int height = 0;
    [[nodiscard]] bool empty() const noexcept { return width <= 0 || height <= 0; }
    friend bool operator==(const Pixels&, const Pixels&) = default;
};
/// The pixels that a box touches.
[[nodiscard]] Pixels pixels_of(const draw::Box& box) noexcept;
/// The smallest rectangle around both.
[[nodiscard]] Pixels around(const Pixels& a, const Pixels& b) noexcept;

class Canvas {
  public:
    /// `opaque`: alpha is 255 everywhere and the premultiplied frame is the straight one.
    Canvas(int width, int height, bool opaque);

    /// To paint the layers that stay.
    [[nodiscard]] cairo_t* ground() noexcept { return ground_.get(); }
    [[nodiscard]] cairo_t* ink() noexcept { return ink_.get(); }
    /// Makes both layers clear inside a rectangle.
    void clear(const Pixels& where) noexcept;

    using Paint = std::function<void(cairo_t*)>;
    /// Puts the layers together inside a rectangle; both painters are clipped to it.
    void compose(Pixels where, const Paint& between, const Paint& above);

    [[nodiscard]] std::span<const std::uint8_t> bgra() const noexcept;
    [[nodiscard]] std::size_t painted() const noexcept { return painted_; }
    void count_from_zero() noexcept { painted_ = 0; }

  private:
    void straighten(const Pixels& where) noexcept;

    int width_;
    int height_;
    bool opaque_;
    Surface ground_surface_, ink_surface_, frame_surface_;
    Context ground_, ink_, frame_;
    std::vector<std::uint8_t> straight_;
    std::size_t painted_ = 0;
};

}  // namespace lw::video
