// SPDX-License-Identifier: Apache-2.0
//
// Debian's compiler-rt for WebAssembly is built with stack protection, WASI's C library brings none. Its 128-bit
// division, which exact fractions use, therefore asks for these two. A smashed stack is a trap; the value only
// has to be one that does not come about by chance.
#include <cstdint>

extern "C" {
std::uintptr_t __stack_chk_guard = 0x57AC6A2DU;
[[noreturn]] void __stack_chk_fail() {
    __builtin_trap();
}
}
