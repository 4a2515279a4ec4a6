// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "workshop/cli/commands.hpp"

namespace lw::cli {

CLI::Validator between(double low, double high) {
    const std::string wanted = fmt::format("from {} to {}", low, high);
    return CLI::Validator{[low, high, wanted](std::string& text) -> std::string {
                              char* end = nullptr;
                              const double value = std::strtod(text.c_str(), &end);
                              const bool number = end != text.c_str() && *end == '\0' && std::isfinite(value);
                              return number && value >= low && value <= high
                                         ? std::string{}
                                         : fmt::format("`{}` is not a number {}", text, wanted);
                          },
                          wanted};
}

}  // namespace lw::cli
