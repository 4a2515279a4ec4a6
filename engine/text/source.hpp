// SPDX-License-Identifier: Apache-2.0
//
// Bytes into lines of code points. What editors and word processors leave behind is dealt with here once: a
// byte order mark, CR LF, hard spaces, bytes that are no UTF-8, control characters. Private to the room.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/report.hpp"

namespace lw::text {

inline constexpr std::size_t longest_text = 1 << 20;  // bytes; a year of licks is a tenth of it

struct Line {
    int number = 1;       // in its file, from 1
    std::u32string text;  // without its line end; index + 1 is the column
};

/// The byte ranges of the lines: LF, CR LF and CR end a line. A text that ends in a line end has no empty
/// line after it.
[[nodiscard]] std::vector<std::string_view> raw_lines(std::string_view bytes);

/// One of them, counted from 1, found without listing them all; nothing past the last.
[[nodiscard]] std::optional<std::string_view> raw_line(std::string_view bytes, int number);

/// One line decoded, faults or not: what is no UTF-8 becomes U+FFFD, one for each stray byte. Of a longer line
/// only the first `most` code points.
[[nodiscard]] std::u32string decoded(std::string_view bytes, std::size_t most = std::u32string_view::npos);

/// Nothing (and one fault) when the bytes are no text at all; otherwise every line, cleaned of what cannot be
/// read. A wrong byte or a control character is one fault a line.
[[nodiscard]] std::vector<Line> lines_of(std::string_view bytes, int first_line, Report& report);

}  // namespace lw::text
