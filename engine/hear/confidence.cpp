// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/confidence.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {

double confidence_of(const OpenNote& note, const Way& way, const Ways&) noexcept {
    const double n = std::max(1, note.frames);
    const double sounding = note.sounding / n;
    const double margin = note.margin / n;
    const double length = std::min(0.3, n * frame_step.value);
    const double onset = note.joined ? 0.0 : std::clamp(static_cast<double>(note.onset_odds), -4.0, 6.0);
    const double z = -1.0 + 0.35 * sounding + 0.4 * std::clamp(margin, -2.0, 3.0) + 0.25 * onset +
                     4.0 * length - 0.5 * (way.reeds - 1) - (way.overbend ? 1.0 : 0.0);
    return 1.0 / (1.0 + std::exp(-z));
}

}  // namespace lw::hear
