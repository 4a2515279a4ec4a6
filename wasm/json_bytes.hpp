// SPDX-License-Identifier: Apache-2.0
//
// JSON as bytes, for the files of the binding only.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "engine/units/fraction.hpp"

namespace lw::binding {

/// Compact. Bytes that are no UTF-8 become U+FFFD; nothing here can fail.
[[nodiscard]] inline std::string json_bytes(const nlohmann::ordered_json& json) {
    return json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

/// `5/3`, `2`.
[[nodiscard]] inline std::string fraction_text(Fraction f) {
    return std::to_string(f.top()) + (f.whole() ? "" : "/" + std::to_string(f.bottom()));
}

}  // namespace lw::binding
