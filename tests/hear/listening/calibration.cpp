// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/calibration.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace lw::listening {

std::array<Reliability, reliability_rows> reliability(std::span<const Judged> judged) {
    std::array<Reliability, reliability_rows> rows{};
    for (const Judged& j : judged) {
        const double place = std::clamp(j.confidence, 0.0, 1.0) * reliability_rows;
        Reliability& row = rows[std::min(static_cast<std::size_t>(place), reliability_rows - 1)];
        ++row.notes;
        row.said += j.confidence;
        row.found += j.right ? 1.0 : 0.0;
    }
    for (Reliability& row : rows) {
        if (row.notes == 0) continue;
        row.said /= static_cast<double>(row.notes);
        row.found /= static_cast<double>(row.notes);
    }
    return rows;
}

double expected_calibration_error(std::span<const Judged> judged) {
    if (judged.empty()) return 0.0;
    double sum = 0.0;
    for (const Reliability& row : reliability(judged))
        sum += static_cast<double>(row.notes) * std::abs(row.said - row.found);
    return sum / static_cast<double>(judged.size());
}

std::optional<double> area_under_curve(std::span<const Judged> judged) {
    std::vector<double> right;
    std::vector<double> wrong;
    for (const Judged& j : judged) (j.right ? right : wrong).push_back(j.confidence);
    if (right.empty() || wrong.empty()) return std::nullopt;
    std::sort(right.begin(), right.end());
    double sum = 0.0;
    for (const double w : wrong) {
        const auto [low, high] = std::equal_range(right.begin(), right.end(), w);
        sum += static_cast<double>(right.end() - high) + 0.5 * static_cast<double>(high - low);
    }
    return sum / static_cast<double>(right.size()) / static_cast<double>(wrong.size());
}

}  // namespace lw::listening
