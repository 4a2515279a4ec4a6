// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/heap_count.hpp"

#include <cstdlib>
#include <new>

namespace {
bool counting = false;
long taken = 0;
}  // namespace

// Every form that the standard library may ask for, so that what one of them took another of them gives back.
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    if (counting) ++taken;
    return std::malloc(size == 0 ? 1 : size);
}
void* operator new(std::size_t size) {
    if (void* p = operator new(size, std::nothrow)) return p;
    throw std::bad_alloc();
}
void* operator new[](std::size_t size) {
    return operator new(size);
}
void* operator new[](std::size_t size, const std::nothrow_t&) noexcept {
    return operator new(size, std::nothrow);
}
void operator delete(void* p) noexcept {
    std::free(p);
}
void operator delete(void* p, std::size_t) noexcept {
    std::free(p);
}
void operator delete(void* p, const std::nothrow_t&) noexcept {
    std::free(p);
}
void operator delete[](void* p) noexcept {
    std::free(p);
}
void operator delete[](void* p, std::size_t) noexcept {
    std::free(p);
}
void operator delete[](void* p, const std::nothrow_t&) noexcept {
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
