// SPDX-License-Identifier: Apache-2.0
//
// The one table of faults: slug, level, words, remedy. Slugs are permanent. Each row has a folder
// tests/diagnostics/<slug>/ with a text that has the fault, one that has not, and the exact words.
// Private to the room.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "engine/text/diagnostics.hpp"

namespace lw::text {

enum class Fault : std::uint8_t {
    empty_text,
    text_too_long,
    not_text,
    utf16,
    not_utf8,
    control_character,
    line_unknown,
    lane_name_missing,
    lane_unknown,
    lane_colon,
    unknown_key,
    key_twice,
    key_misplaced,
    key_not_here,
    value_missing,
    harp_unknown,
    tuning_unknown,
    tuning_change,
    tuning_name,
    temperament_unknown,
    a4_range,
    position_range,
    meter_unknown,
    tempo_range,
    feel_unknown,
    address_unknown,
    ladder_unknown,
    ladder_mixed,
    ladder_too_long,
    repeats_range,
    choice_unknown,
    date_unknown,
    colour_unknown,
    logo_unknown,
    look_alike,
    token_unknown,
    breath_missing,
    capital_letter,
    other_spelling,
    notes_run_together,
    no_such_hole,
    two_breaths,
    letter_twice,
    hole_twice,
    hole_order,
    two_bends,
    bend_misplaced,
    bend_too_deep,
    does_not_bend,
    no_overbend,
    overbend_bends,
    overbend_in_chord,
    chord_too_wide,
    overbend_glide,
    group_not_closed,
    group_not_opened,
    group_empty,
    group_of_one,
    group_slots,
    groups_too_deep,
    square_bracket,
    too_fine,
    hold_at_start,
    hold_after_breath,
    join_after_rest,
    join_after_breath,
    join_turns_breath,
    join_on_repeat,
    far_slide,
    again_at_start,
    again_in_group,
    again_after_wide,
    bar_again_not_alone,
    bar_again_at_start,
    bar_again_pickup,
    breath_twice,
    gesture_unknown,
    gesture_not_closed,
    gesture_not_opened,
    gesture_alone,
    gesture_on_group,
    gesture_on_silence,
    gesture_several,
    gesture_twice,
    gesture_words,
    shake_hole,
    shake_same_hole,
    shake_far,
    from_note,
    from_breath,
    from_attack,
    bar_overfull,
    bar_short,
    bar_empty,
    bar_line_odd,
    pickup_full,
    pickup_alone,
    last_bar_repeated,
    repeat_not_closed,
    repeat_not_opened,
    ending_order,
    ending_apart,
    ending_not_closed,
    ending_goes_nowhere,
    too_many_bars,
    too_many_notes,
    no_tab,
    nothing_sounds,
    chord_unknown,
    chord_sign,
    chords_slots,
    chords_too_long,
    chords_short,
    chords_pickup,
    lanes_differ,
    no_title,
    swing_in_compound,
    out_of_breath,
    too_many_faults,
    head_not_closed,
    fence_not_closed,
    fence_inside,
    no_licks,
};

struct FaultRow {
    Fault fault;
    Level level;
    std::string_view slug;
    std::string_view words;  // {name} stands for what the reader puts in; a brace alone is a brace
    std::string_view remedy;
};

/// In the order of Fault.
[[nodiscard]] std::span<const FaultRow> fault_table() noexcept;
[[nodiscard]] const FaultRow& row_of(Fault fault) noexcept;

}  // namespace lw::text
