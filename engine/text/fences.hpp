// SPDX-License-Identifier: Apache-2.0
//
// Where the fenced blocks of a CommonMark text begin and end (CommonMark 0.31, section 4.5), and what would
// hide them: HTML blocks (section 4.6, start conditions 1 to 6) at the left margin. Lists and quotations are
// not taken apart: a fence inside one is only noticed, so that a teacher can be told. Private to the room.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lw::text {

struct Fence {
    std::size_t first = 0;  // index of the line that opens it
    std::size_t end = 0;    // index past its last line (the closing one, if there is one)
    bool closed = false;
    std::size_t indent = 0;  // spaces taken from every line inside
    std::string mark;        // as opened: ```` ``` ````, `~~~~`
    std::string info;        // trimmed
    bool inside = false;     // in a list or a quotation; `end` is then only the line after
    [[nodiscard]] bool lick() const;
    /// Lines between the fences.
    [[nodiscard]] std::size_t content_begin() const { return first + 1; }
    [[nodiscard]] std::size_t content_end() const { return closed ? end - 1 : end; }
};

/// `first`: the line to begin at (after a head).
[[nodiscard]] std::vector<Fence> find_fences(const std::vector<std::string_view>& lines, std::size_t first);

/// A line of a fence without the indentation of the fence; `taken` is how many spaces went.
[[nodiscard]] std::string_view unindented(std::string_view line, std::size_t indent, std::size_t& taken);

}  // namespace lw::text
