// SPDX-License-Identifier: Apache-2.0
//
// Drawing commands as JSON, so that a page can paint them and a test can compare them.
#pragma once

#include <string>

#include "engine/draw/picture.hpp"

namespace lw::binding {

/// `{width, height, spoken, commands: [...], systems: [...], beats: [...], tokens: [...]}` in points. A command
/// is `{kind, part, owner, box: [x, y, w, h]}` and what its kind needs: a path `{verbs: "MLCZ", xy: [...],
/// fill, stroke, stroke_width, round_ends}` (M and L take one point, C three, Z none), words `{words, at, size,
/// face, anchor, fill}`, music `{glyph, at, size, fill}`, an image its box alone.
[[nodiscard]] std::string picture_json(const draw::Picture& picture);

}  // namespace lw::binding
