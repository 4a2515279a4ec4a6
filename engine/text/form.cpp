// SPDX-License-Identifier: Apache-2.0
//
// Repeats and endings: `|: ... :|`, `|1 ... :|2 ... |`. A `:|` without `|:` goes back to the first full bar,
// once; after that it must be said where a repeat begins.
#include "engine/text/build.hpp"

namespace lw::text {

void check_form(const LaneSyntax& tab, Report& report) {
    const std::vector<BarSyntax>& bars = tab.bars;
    const BarSyntax* open = nullptr;
    const BarSyntax* first_ending = nullptr;
    bool repeated_before = false;
    int ending = 0;
    for (std::size_t i = 0; i < bars.size(); ++i) {
        const BarSyntax& bar = bars[i];
        if (bar.opens_repeat) {
            if (open != nullptr) report.add(Fault::repeat_not_closed, open->left);
            if (first_ending != nullptr) report.add(Fault::ending_not_closed, first_ending->left);
            open = &bar;
            first_ending = nullptr;
            ending = 0;
        }
        if (bar.opens_repeat && bar.ending != 0)
            report.add(Fault::bar_line_odd, bar.left, {{"text", "|: with an ending"}});
        if (bar.ending != 0) {
            const bool after_close = i > 0 && bars[i - 1].closes_repeat;
            if (bar.ending != ending + 1 || (bar.ending > 1 && !after_close)) {
                report.add(Fault::ending_order, bar.left,
                           {{"got", std::to_string(bar.ending)}, {"want", std::to_string(ending + 1)}});
            }
            ending = bar.ending;
            if (ending == 1) first_ending = &bar;
        }
        if (!bar.closes_repeat) continue;
        const bool pickup = i == 0 && !bar.after_bar_line;
        const int next = i + 1 < bars.size() ? bars[i + 1].ending : 0;
        if (pickup) continue;  // told with the pickup
        if (ending > 1) {
            if (next != ending + 1)
                report.add(Fault::ending_goes_nowhere, bar.right, {{"next", std::to_string(ending + 1)}});
        } else if (open == nullptr && repeated_before) {
            report.add(Fault::repeat_not_opened, bar.right);
        }
        open = nullptr;
        first_ending = nullptr;
        repeated_before = true;
        if (next == 0 && ending == 1) ending = 0;
    }
    if (open != nullptr) report.add(Fault::repeat_not_closed, open->left);
    if (first_ending != nullptr) report.add(Fault::ending_not_closed, first_ending->left);
}

}  // namespace lw::text
