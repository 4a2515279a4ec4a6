// SPDX-License-Identifier: Apache-2.0
//
// A part of what is played, to be looped: from one beat of the phrase to another.
#pragma once

#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/sound/performance.hpp"
#include "engine/sound/reed_tables.hpp"

namespace lw::sound {

/// When a straight beat of the unfolded line comes by in the first pass; the clip's time. Before the phrase begins and
/// after it ends, its tempo goes on.
[[nodiscard]] Seconds time_of(const Performance& performance, Beats beat) noexcept;

/// The notes that begin in [from, to), cut off at `to`, as a performance of its own that begins at 0 and lasts to - from.
/// A note that is joined to one outside begins with an attack here. Clicks and beats inside come along; phrase starts are
/// left out. Of the first pass only. Cost: linear.
[[nodiscard]] Performance excerpt(const Performance& performance, Seconds from, Seconds to);

/// The harp of an excerpt, mono, exactly as long as the excerpt (to the nearest sample). What still sounds after its
/// end is laid over its beginning, so that the samples can go round without a seam.
[[nodiscard]] std::vector<float> render_loop(const ReedTables& tables, const harp::Harp& harp,
                                             const Performance& excerpt, Hz rate);

}  // namespace lw::sound
