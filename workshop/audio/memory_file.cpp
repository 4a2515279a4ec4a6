// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/audio/memory_file.hpp"

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <new>

namespace lw::audio {

// Called from C: an exception must not pass through the library, so running out of memory is a short write.
SF_VIRTUAL_IO MemoryFile::calls() noexcept {
    SF_VIRTUAL_IO io{};
    io.get_filelen = [](void* file) -> sf_count_t {
        return static_cast<sf_count_t>(static_cast<MemoryFile*>(file)->bytes_.size());
    };
    io.seek = [](sf_count_t offset, int whence, void* file) -> sf_count_t {
        auto& f = *static_cast<MemoryFile*>(file);
        const auto size = static_cast<sf_count_t>(f.bytes_.size());
        const sf_count_t base = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? f.at_ : size;
        f.at_ = std::clamp<sf_count_t>(base + offset, 0, size);
        return f.at_;
    };
    io.read = [](void* into, sf_count_t count, void* file) -> sf_count_t {
        auto& f = *static_cast<MemoryFile*>(file);
        const sf_count_t n = std::min(count, static_cast<sf_count_t>(f.bytes_.size()) - f.at_);
        if (n > 0) std::memcpy(into, f.bytes_.data() + f.at_, static_cast<std::size_t>(n));
        f.at_ += std::max<sf_count_t>(n, 0);
        return std::max<sf_count_t>(n, 0);
    };
    io.write = [](const void* from, sf_count_t count, void* file) -> sf_count_t {
        auto& f = *static_cast<MemoryFile*>(file);
        const auto end = static_cast<std::size_t>(f.at_ + count);
        try {
            if (end > f.bytes_.size()) f.bytes_.resize(end);
        } catch (const std::bad_alloc&) {
            return 0;
        }
        std::memcpy(f.bytes_.data() + f.at_, from, static_cast<std::size_t>(count));
        f.at_ += count;
        return count;
    };
    io.tell = [](void* file) -> sf_count_t { return static_cast<MemoryFile*>(file)->at_; };
    return io;
}

}  // namespace lw::audio
