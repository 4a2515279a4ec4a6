// SPDX-License-Identifier: Apache-2.0
//
// The same loop in wider registers, where the processor has them. Private to the room.
//
// A function marked LICKWRIGHT_WIDE is compiled twice, for any x86-64 and for those with AVX2 (2013), and the program picks
// one when it is loaded. For loops over whole numbers only, or over floats whose order of adding is written out: they give
// the same result either way. Elsewhere (WebAssembly, other processors and compilers, sanitizers, which come
// to life after the choice) the mark means nothing.
#pragma once

#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__)
#define LICKWRIGHT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define LICKWRIGHT_WIDE
#endif
