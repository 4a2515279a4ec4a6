// SPDX-License-Identifier: GPL-3.0-or-later
//
// Truth written by hand for the take of a real player, as a label track: lines of `onset<TAB>offset<TAB>words`, in
// seconds, as sound editors save them. The words are a token of the lick language: `4d`, `3d''`, `>4d`, `2+3d`,
// `4d{shake 5}`. One label says `harp: low D`; its times do not matter. Lines that begin with # are comments.
#pragma once

#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "tests/hear/listening/playing.hpp"

namespace lw::listening {

struct Labelled {
    harp::Harp harp;
    std::vector<TruthNote> truth;  // by onset; without bend paths, the bends as deep as written
};

/// The error is `line N: what is wrong and what to do`.
[[nodiscard]] tl::expected<Labelled, std::string> read_labels(std::string_view text);

/// The same of a lick, which says what is played but not when: all times are 0.
/// The error is the first one of the reader.
[[nodiscard]] tl::expected<Labelled, std::string> truth_of_lick(std::string_view text);

}  // namespace lw::listening
