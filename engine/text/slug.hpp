// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lw::text {

/// A file name of small ASCII letters, digits and hyphens: `01-porch-light-walkdown`. The number of the lick
/// makes it unique in its lesson; letters with accents lose them, other signs become hyphens.
[[nodiscard]] std::string file_slug(std::size_t number, std::string_view title);

/// The same without a number: `porch-light-walkdown`.
[[nodiscard]] std::string title_slug(std::string_view title);

}  // namespace lw::text
