// SPDX-License-Identifier: Apache-2.0
//
// Where faults are gathered. A reader only says which row of the table, where, and what to put into its
// words. Private to the room.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/faults.hpp"

namespace lw::text {

struct Fill {
    std::string_view name;
    std::string text;
};

/// By line, then column; faults of one place stay in the order in which they were found.
void sort_by_place(std::vector<Diagnostic>& diagnostics);

/// Leaves the first 500, in order, and says that there were more; a text with more is of another kind.
void cut_short(std::vector<Diagnostic>& diagnostics);

class Report {
  public:
    void add(Fault fault, lick::Place place, std::initializer_list<Fill> fills = {});
    /// By place; faults of one place stay in the order in which they were found.
    [[nodiscard]] std::vector<Diagnostic> take();
    [[nodiscard]] bool errors() const noexcept { return has_errors(diagnostics_); }

  private:
    std::vector<Diagnostic> diagnostics_;
    bool full_ = false;
};

}  // namespace lw::text
