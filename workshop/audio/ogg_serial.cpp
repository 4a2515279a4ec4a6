// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/audio/ogg_serial.hpp"

#include <array>
#include <cstring>

namespace lw::audio {
namespace {

// RFC 3533, section 6: places in a page's header.
constexpr std::size_t serial_at = 14;
constexpr std::size_t checksum_at = 22;
constexpr std::size_t segments_at = 26;
constexpr std::size_t header_size = 27;

/// CRC-32 with polynomial 04c11db7, neither reflected nor inverted, starting at 0.
constexpr std::array<std::uint32_t, 256> crc_table = [] {
    std::array<std::uint32_t, 256> table{};
    for (std::uint32_t i = 0; i < 256; ++i) {
        std::uint32_t r = i << 24;
        for (int bit = 0; bit < 8; ++bit) r = (r & 0x80000000U) != 0 ? (r << 1) ^ 0x04c11db7U : r << 1;
        table[i] = r;
    }
    return table;
}();

void put(std::uint8_t* at, std::uint32_t value) noexcept {
    for (int i = 0; i < 4; ++i) at[i] = static_cast<std::uint8_t>(value >> (8 * i));
}

/// The size of the page that begins here; 0 when none does.
std::size_t page_size(const std::vector<std::uint8_t>& bytes, std::size_t at) noexcept {
    if (bytes.size() - at < header_size || std::memcmp(&bytes[at], "OggS", 4) != 0) return 0;
    const std::size_t segments = bytes[at + segments_at];
    if (bytes.size() - at < header_size + segments) return 0;
    std::size_t size = header_size + segments;
    for (std::size_t i = 0; i < segments; ++i) size += bytes[at + header_size + i];
    return bytes.size() - at < size ? 0 : size;
}

}  // namespace

bool set_ogg_serial(std::vector<std::uint8_t>& bytes, std::uint32_t serial) {
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t size = page_size(bytes, at);
        if (size == 0) return false;
        at += size;
    }
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t size = page_size(bytes, at);
        put(&bytes[at + serial_at], serial);
        put(&bytes[at + checksum_at], 0);
        std::uint32_t crc = 0;
        for (std::size_t i = at; i < at + size; ++i)
            crc = (crc << 8) ^ crc_table[((crc >> 24) ^ bytes[i]) & 0xFFU];
        put(&bytes[at + checksum_at], crc);
        at += size;
    }
    return true;
}

}  // namespace lw::audio
