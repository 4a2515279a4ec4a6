// SPDX-License-Identifier: GPL-3.0-or-later
//
// PNG files as pixels, to compare what different painters made of one picture.
#pragma once

#include <cairo.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <string>
#include <vector>

namespace lw::test {

struct Pixels {
    int width = 0;
    int height = 0;
    std::vector<unsigned char> bgra;
    [[nodiscard]] const unsigned char* at(int x, int y) const {
        return &bgra[4 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                          static_cast<std::size_t>(x))];
    }
};

inline Pixels read_png(const std::string& file) {
    Pixels p;
    cairo_surface_t* image = cairo_image_surface_create_from_png(file.c_str());
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) {
        ADD_FAILURE() << file << " is no readable PNG";
    } else {
        p.width = cairo_image_surface_get_width(image);
        p.height = cairo_image_surface_get_height(image);
        const int stride = cairo_image_surface_get_stride(image);
        for (int y = 0; y < p.height; ++y) {
            const unsigned char* row = cairo_image_surface_get_data(image) + y * stride;
            p.bgra.insert(p.bgra.end(), row, row + 4 * p.width);
        }
    }
    cairo_surface_destroy(image);
    return p;
}

/// Part of the pixels, 0 to 1, in which some channel differs by more than 32 of 255. A pixel more or less at the right and
/// the lower edge is cut off; more than that counts as all different.
inline double different(const Pixels& a, const Pixels& b) {
    if (std::abs(a.width - b.width) > 1 || std::abs(a.height - b.height) > 1) return 1.0;
    const int width = std::min(a.width, b.width);
    const int height = std::min(a.height, b.height);
    if (width == 0 || height == 0) return 1.0;
    std::size_t count = 0;
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            int most = 0;
            for (int k = 0; k < 3; ++k) most = std::max(most, std::abs(a.at(x, y)[k] - b.at(x, y)[k]));
            count += most > 32 ? 1 : 0;
        }
    }
    return static_cast<double>(count) / (static_cast<double>(width) * height);
}

/// Part of the pixels that are not the one in the corner: a picture with nothing on it would agree with anything.
inline double inked(const Pixels& p) {
    if (p.bgra.empty()) return 0.0;
    std::size_t count = 0;
    for (std::size_t i = 0; i + 3 < p.bgra.size(); i += 4)
        count += std::memcmp(&p.bgra[i], p.bgra.data(), 3) != 0 ? 1 : 0;
    return static_cast<double>(count) / (static_cast<double>(p.width) * p.height);
}

}  // namespace lw::test
