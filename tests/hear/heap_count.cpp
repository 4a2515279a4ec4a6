// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/heap_count.hpp"

#include <cstdlib>
#include <new>

namespace {
bool counting = false;
long taken = 0;
}  // namespace

void* operator new(std::size_t size) {
    if (counting) ++taken;
    if (void* p = std::malloc(size == 0 ? 1 : size)) return p;
    throw std::bad_alloc();
}
void operator delete(void* p) noexcept {
    std::free(p);
}
void operator delete(void* p, std::size_t) noexcept {
    std::free(p);
}

namespace lw::test {

HeapCount::HeapCount() noexcept {
    taken = 0;
    counting = true;
}
long HeapCount::stop() noexcept {
    counting = false;
    return taken;
}

}  // namespace lw::test
