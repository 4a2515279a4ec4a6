// SPDX-License-Identifier: GPL-3.0-or-later
//
// A band behind the harp: drums, bass, guitar and organ of the same soundfont over the twelve bars of a blues in the key
// of the music, in the groove of the phrase. Plain on purpose: it is in the way, it is not the point.
//
// The twelve bars: I IV I I, IV IV I I, V IV I V (facts of the trade; Benward & Saker, Music in theory and practice,
// 2003, p. 186).
#pragma once

#include <string>
#include <vector>

#include "tests/hear/listening/phrase.hpp"

namespace lw::listening {

/// `beats` says when each felt beat falls. As long as `samples`.
/// Empty when the font is not there.
[[nodiscard]] std::vector<float> band(const Phrase& phrase, const std::vector<Seconds>& beats,
                                      std::size_t samples, const std::string& font, support::Dice& dice);

/// A click on every beat, and one bar of it before the first.
[[nodiscard]] std::vector<float> clicks(const Phrase& phrase, const std::vector<Seconds>& beats,
                                        std::size_t samples, const std::string& font);

}  // namespace lw::listening
