// SPDX-License-Identifier: GPL-3.0-or-later
//
// Any bytes as a lick: the reader survives, says the same twice, and points inside the text; a text without
// errors is tidied without changing what is read, tidied twice is tidied once, and what the writer makes of
// it reads back equal.
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "engine/text/text.hpp"

namespace {

void demand(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "broken promise: %s\n", what);
    std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace lw::text;
    const std::string text(data, data + size);
    const LickReading reading = read_lick(text);
    for (const Diagnostic& d : reading.diagnostics) {
        demand(d.place.line >= 1 && d.place.column >= 1 && d.place.length >= 0, "places count from 1");
        demand(!explain(d, "x.lick", text).empty(), "every fault is explained");
    }
    const std::string tidy = format_lick(text);
    if (!reading.ok()) {
        demand(tidy == text, "a text with errors comes back as it was");
        return 0;
    }
    const LickReading again = read_lick(tidy);
    demand(again.ok() && again.lick == reading.lick && again.clips == reading.clips,
           "tidying changes nothing");
    demand(format_lick(tidy) == tidy, "tidied twice is tidied once");
    const std::string written = write_lick(reading.lick);
    const LickReading back = read_lick(written);
    demand(back.ok(), "what is written can be read");
    demand(back.lick == reading.lick, "what is written reads back equal");
    return 0;
}
