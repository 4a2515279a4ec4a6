// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace lw::files {

/// SHA-256 (FIPS 180-4) of some bytes, as 64 hexadecimal digits; what `sha256sum` prints.
[[nodiscard]] std::string sha256(std::string_view bytes);

}  // namespace lw::files
