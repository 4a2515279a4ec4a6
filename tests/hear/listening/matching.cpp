// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/matching.hpp"

namespace lw::listening {
namespace {

constexpr std::size_t nobody = static_cast<std::size_t>(-1);

struct Matcher {
    std::vector<std::vector<std::size_t>> fitting;  // of each note of the truth
    std::vector<std::size_t> partner;               // of each note of the answer
    std::vector<bool> asked;

    bool place(std::size_t t) {
        for (const std::size_t a : fitting[t]) {
            if (asked[a]) continue;
            asked[a] = true;
            if (partner[a] == nobody || place(partner[a])) {
                partner[a] = t;
                return true;
            }
        }
        return false;
    }
};

double ratio(std::size_t part, std::size_t whole) {
    return whole == 0 ? 0.0 : static_cast<double>(part) / static_cast<double>(whole);
}

}  // namespace

std::vector<std::pair<std::size_t, std::size_t>> match(
    std::size_t truth, std::size_t answer, const std::function<bool(std::size_t, std::size_t)>& fits) {
    Matcher m{.fitting = std::vector<std::vector<std::size_t>>(truth),
              .partner = std::vector<std::size_t>(answer, nobody),
              .asked = {}};
    for (std::size_t t = 0; t < truth; ++t)
        for (std::size_t a = 0; a < answer; ++a)
            if (fits(t, a)) m.fitting[t].push_back(a);
    for (std::size_t t = 0; t < truth; ++t) {
        m.asked.assign(answer, false);
        m.place(t);
    }
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    for (std::size_t a = 0; a < answer; ++a)
        if (m.partner[a] != nobody) pairs.emplace_back(m.partner[a], a);
    return pairs;
}

double Hits::precision() const noexcept {
    return ratio(matched, answered);
}
double Hits::recall() const noexcept {
    return ratio(matched, planted);
}
double Hits::f1() const noexcept {
    return ratio(2 * matched, answered + planted);
}
Hits& Hits::operator+=(const Hits& more) noexcept {
    matched += more.matched;
    answered += more.answered;
    planted += more.planted;
    return *this;
}

}  // namespace lw::listening
