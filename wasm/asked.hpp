// SPDX-License-Identifier: Apache-2.0
//
// A question of a page: on which harp, then the lick. Private to the binding.
#pragma once

#include <string_view>
#include <utility>

#include "engine/lick/other_harp.hpp"
#include "engine/text/text.hpp"

namespace lw::binding {

/// The lick after the first line break, on the harp named before it (nothing: its own). A harp that is not made counts
/// as nothing: the page offers only harps that are. The tuning of the lick stays; its chords move.
[[nodiscard]] inline text::LickReading asked_lick(std::string_view question) {
    const std::size_t line = question.find('\n');
    if (line == std::string_view::npos) return text::read_lick({});
    text::LickReading reading = text::read_lick(question.substr(line + 1));
    if (line > 0)
        if (const auto harp = harp::harp_named(question.substr(0, line)))
            reading.lick = lick::on_harp(std::move(reading.lick), *harp);
    return reading;
}

}  // namespace lw::binding
