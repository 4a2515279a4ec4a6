// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/video/canvas.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <new>

namespace lw::video {
namespace {

Surface image(int width, int height) {
    Surface surface{cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height)};
    if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) throw std::bad_alloc{};
    return surface;
}

/// 255 / alpha in 16.16 fixed point, rounded: straight = (premultiplied * this + half) >> 16 is the nearest value
/// for every pair (tests walk all of them).
constexpr std::array<std::uint32_t, 256> over_alpha = [] {
    std::array<std::uint32_t, 256> table{};
    for (std::uint32_t a = 1; a < 256; ++a) table[a] = ((255U << 16) + a / 2) / a;
    return table;
}();

}  // namespace

Pixels pixels_of(const draw::Box& box) noexcept {
    const int left = static_cast<int>(std::floor(box.x));
    const int top = static_cast<int>(std::floor(box.y));
    return {left, top, static_cast<int>(std::ceil(box.right())) - left,
            static_cast<int>(std::ceil(box.bottom())) - top};
}

Pixels around(const Pixels& a, const Pixels& b) noexcept {
    if (a.empty()) return b;
    if (b.empty()) return a;
    const int left = std::min(a.x, b.x);
    const int top = std::min(a.y, b.y);
    return {left, top, std::max(a.x + a.width, b.x + b.width) - left,
            std::max(a.y + a.height, b.y + b.height) - top};
}

Canvas::Canvas(int width, int height, bool opaque)
    : width_(width),
      height_(height),
      opaque_(opaque),
      ground_surface_(image(width, height)),
      ink_surface_(image(width, height)),
      frame_surface_(image(width, height)),
      ground_(cairo_create(ground_surface_.get())),
      ink_(cairo_create(ink_surface_.get())),
      frame_(cairo_create(frame_surface_.get())) {
    if (!opaque_) straight_.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 4);
}

void Canvas::clear(const Pixels& where) noexcept {
    for (cairo_t* layer : {ground_.get(), ink_.get()}) {
        cairo_save(layer);
        cairo_identity_matrix(layer);
        cairo_rectangle(layer, where.x, where.y, where.width, where.height);
        cairo_set_operator(layer, CAIRO_OPERATOR_CLEAR);
        cairo_fill(layer);
        cairo_restore(layer);
    }
}

void Canvas::compose(Pixels where, const Paint& between, const Paint& above) {
    const int right = std::min(where.x + where.width, width_);
    const int bottom = std::min(where.y + where.height, height_);
    where.x = std::max(where.x, 0);
    where.y = std::max(where.y, 0);
    where.width = right - where.x;
    where.height = bottom - where.y;
    if (where.empty()) return;
    cairo_t* const f = frame_.get();
    cairo_save(f);
    cairo_rectangle(f, where.x, where.y, where.width, where.height);
    cairo_clip(f);
    cairo_set_operator(f, CAIRO_OPERATOR_SOURCE);
    cairo_set_source_surface(f, ground_surface_.get(), 0, 0);
    cairo_paint(f);
    cairo_set_operator(f, CAIRO_OPERATOR_OVER);
    if (between) between(f);
    cairo_set_source_surface(f, ink_surface_.get(), 0, 0);
    cairo_paint(f);
    if (above) above(f);
    cairo_restore(f);
    straighten(where);
    painted_ += static_cast<std::size_t>(where.width) * static_cast<std::size_t>(where.height);
}

void Canvas::straighten(const Pixels& where) noexcept {
    if (opaque_) return;
    cairo_surface_flush(frame_surface_.get());
    const std::uint8_t* const from = cairo_image_surface_get_data(frame_surface_.get());
    const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(frame_surface_.get()));
    for (int y = where.y; y < where.y + where.height; ++y) {
        const std::uint8_t* row = from + static_cast<std::size_t>(y) * stride;
        std::uint8_t* out =
            straight_.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) * 4;
        for (int x = where.x; x < where.x + where.width; ++x) {
            std::uint32_t pixel = 0;  // native ARGB32: alpha in the high byte
            std::memcpy(&pixel, row + static_cast<std::size_t>(x) * 4, 4);
            const std::uint32_t alpha = pixel >> 24;
            std::uint8_t* const p = out + static_cast<std::size_t>(x) * 4;
            if (alpha != 0 && alpha != 255) {
                const std::uint32_t k = over_alpha[alpha];
                const auto straight = [&](std::uint32_t c) {
                    return std::min<std::uint32_t>((c * k + 0x8000U) >> 16, 255U);
                };
                pixel = alpha << 24 | straight(pixel >> 16 & 255U) << 16 | straight(pixel >> 8 & 255U) << 8 |
                        straight(pixel & 255U);
            }
            std::memcpy(p, &pixel, 4);
        }
    }
}

std::span<const std::uint8_t> Canvas::bgra() const noexcept {
    if (!opaque_) return straight_;
    cairo_surface_flush(frame_surface_.get());
    return {cairo_image_surface_get_data(frame_surface_.get()),
            static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_) * 4};
}

}  // namespace lw::video
