// SPDX-License-Identifier: GPL-3.0-or-later
//
// Counts what the program takes from the heap: heap_count.cpp replaces the global operator new.
#pragma once

namespace lw::test {

/// Counts from its construction until `stop`. One at a time.
class HeapCount {
  public:
    HeapCount() noexcept;
    long stop() noexcept;
};

}  // namespace lw::test
