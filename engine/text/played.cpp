// SPDX-License-Identifier: Apache-2.0
//
// What only shows when the repeats are played out: joined notes that a repeat comes back to, breath that runs
// out, a lick without a sound.
#include <algorithm>
#include <set>

#include "engine/lick/breath_budget.hpp"
#include "engine/lick/unfold.hpp"
#include "engine/text/build.hpp"
#include "engine/text/text.hpp"

namespace lw::text {
namespace {

const lick::Event& event_of(const lick::Lick& lick, const lick::PlayedNote& note) {
    const lick::Stretch& first = note.stretches.front();
    return lick.bars[first.bar].events[first.event];
}

}  // namespace

void check_played(const lick::Lick& lick, Report& report) {
    const lick::Unfolded played = lick::unfold(lick);
    if (played.notes.empty()) {
        if (!lick.bars.empty()) report.add(Fault::nothing_sounds, lick.bars.front().place);
        return;
    }
    std::set<const lick::Event*> told;
    for (std::size_t i = 0; i < played.notes.size(); ++i) {
        const lick::PlayedNote& note = played.notes[i];
        if (note.how == lick::Start::attack) continue;
        const bool follows = i > 0 && played.notes[i - 1].start + played.notes[i - 1].length == note.start &&
                             played.notes[i - 1].tab.breath == note.tab.breath;
        const bool breath = std::binary_search(played.breaths.begin(), played.breaths.end(), note.start);
        const lick::Event& event = event_of(lick, note);
        if ((!follows || breath) && told.insert(&event).second) {
            report.add(Fault::join_on_repeat, event.place,
                       {{"text", (note.how == lick::Start::glide ? ">>" : ">") + to_text(note.tab)}});
        }
    }
    if (report.errors()) return;
    std::set<const lick::Event*> warned;
    for (const lick::OutOfBreath& out : lick::out_of_breath(lick, played)) {
        const lick::Event& event = event_of(lick, played.notes[out.note]);
        if (!warned.insert(&event).second) continue;
        report.add(Fault::out_of_breath, event.place,
                   {{"state", out.breath == harp::Breath::blow ? "empty" : "full"}});
    }
}

}  // namespace lw::text
