// SPDX-License-Identifier: Apache-2.0
//
// From grades to the few things worth saying. Private to the room. A teacher does not read out every slip: what comes
// back on the same hole or the same kind of place is one remark, what costs the phrase most comes first, and every
// remark says what to do.
#pragma once

#include <span>
#include <vector>

#include "engine/coach/compare.hpp"

namespace lw::coach {

[[nodiscard]] std::vector<Advice> advise(const lick::Lick& lick, const lick::Unfolded& played,
                                         const Comparison& comparison, std::span<const hear::HeardNote> take);

}  // namespace lw::coach
