// SPDX-License-Identifier: Apache-2.0
//
// JSON as bytes, for the files of the binding only.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "engine/units/fraction.hpp"

namespace lw::binding {

/// Compact. Bytes that are no UTF-8 become U+FFFD; nothing here can fail.
[[nodiscard]] inline std::string json_bytes(const nlohmann::ordered_json& json) {
    return json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

/// Puts `text`, which is UTF-8, behind `out` as a JSON string with its quotes: what json_bytes makes of it.
void append_json_text(std::string& out, std::string_view text);

/// What json_bytes makes of {`name`: `text`, ...`rest`}, where `rest` is an object that is not empty. For a long text, a
/// picture's SVG: the library reads a text byte by byte for faults in its UTF-8, which took a quarter of a picture's time.
[[nodiscard]] std::string json_bytes(std::string_view name, std::string_view text,
                                     const nlohmann::ordered_json& rest);

/// `5/3`, `2`.
[[nodiscard]] inline std::string fraction_text(Fraction f) {
    return std::to_string(f.top()) + (f.whole() ? "" : "/" + std::to_string(f.bottom()));
}

}  // namespace lw::binding
