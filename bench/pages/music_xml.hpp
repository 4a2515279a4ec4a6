// SPDX-License-Identifier: GPL-3.0-or-later
//
// A lick as MusicXML 4.0, for a contender that engraves: one part, the tab under the notes as lyrics. Bends, gestures and
// chords over the staff are left out, so that the contender has less to do than we have, not more.
#pragma once

#include <string>

#include "engine/lick/lick.hpp"

namespace lw::bench {

[[nodiscard]] std::string music_xml(const lick::Lick& lick);

}  // namespace lw::bench
