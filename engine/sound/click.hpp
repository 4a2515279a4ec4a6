// SPDX-License-Identifier: Apache-2.0
//
// The click: a short knock of wood, higher and harder on the first beat of a bar.
#pragma once

#include <vector>

#include "engine/sound/performance.hpp"

namespace lw::sound {

/// One knock, mono. It starts from silence within its first samples (no pop), is at its highest within 0.5 ms
/// and is gone after 60 ms.
[[nodiscard]] std::vector<float> click_sound(bool first_of_bar, Hz rate);
/// How loud a click is against click_sound: in the count it leads, under the phrase it steps back.
[[nodiscard]] double click_level(const Click& click) noexcept;

}  // namespace lw::sound
