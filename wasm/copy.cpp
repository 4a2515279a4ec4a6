// SPDX-License-Identifier: Apache-2.0
//
// memcpy for a picture, which is put together of pieces of a few bytes: in place of the C library's, which turns every
// copy over byte by byte up to the first aligned one. Sixteen bytes at a time, the last of them overlapping.
#include <cstddef>
#include <cstring>

namespace {

template <std::size_t n>
void block(unsigned char* to, const unsigned char* from) {
    struct Block {
        unsigned char bytes[n];
    } b;
    __builtin_memcpy_inline(&b, from, n);
    __builtin_memcpy_inline(to, &b, n);
}

/// Anything from n to 2n bytes as two blocks.
template <std::size_t n>
void ends(unsigned char* to, const unsigned char* from, std::size_t size) {
    block<n>(to, from);
    block<n>(to + size - n, from + size - n);
}

}  // namespace

extern "C" void* memcpy(void* __restrict to, const void* __restrict from, std::size_t size) {
    auto* t = static_cast<unsigned char*>(to);
    const auto* f = static_cast<const unsigned char*>(from);
    if (size >= 16) {
        std::size_t at = 0;
        for (; at + 16 <= size; at += 16) block<16>(t + at, f + at);
        if (at < size) block<16>(t + size - 16, f + size - 16);
    } else if (size >= 8) {
        ends<8>(t, f, size);
    } else if (size >= 4) {
        ends<4>(t, f, size);
    } else {
        for (std::size_t at = 0; at < size; ++at) t[at] = f[at];
    }
    return to;
}
