// SPDX-License-Identifier: Apache-2.0
//
// Names for the music glyphs that drawings use, as SMuFL 1.4 (W3C Music Notation Community Group) numbers
// them. font.hpp measures them; all that are named here are in the baked table (a test walks them).
#pragma once

namespace lw::draw::music {

inline constexpr char32_t bar_single = 0xE030, bar_double = 0xE031, bar_final = 0xE032;
inline constexpr char32_t repeat_left = 0xE040, repeat_right = 0xE041, repeat_dots = 0xE043;
inline constexpr char32_t g_clef = 0xE050, g_clef_8_below = 0xE052, g_clef_8_above = 0xE053, f_clef = 0xE062;
/// The digit of a time signature, 0 to 9.
constexpr char32_t time_digit(int digit) noexcept {
    return static_cast<char32_t>(0xE080 + digit);
}
inline constexpr char32_t head_whole = 0xE0A2, head_half = 0xE0A3, head_black = 0xE0A4, head_x = 0xE0A9;
inline constexpr char32_t dot = 0xE1E7, stem = 0xE210;
inline constexpr char32_t flag_8_up = 0xE240, flag_8_down = 0xE241, flag_16_up = 0xE242,
                          flag_16_down = 0xE243, flag_32_up = 0xE244, flag_32_down = 0xE245;
/// The flags of a short note, 3 for an eighth to 7 for a 128th.
constexpr char32_t flags(int value, bool up) noexcept {
    return flag_8_up + static_cast<char32_t>(2 * (value - 3) + (up ? 0 : 1));
}
inline constexpr char32_t flat = 0xE260, natural = 0xE261, sharp = 0xE262;
/// A quarter step below flat, natural, sharp: the accidental with an arrow down.
inline constexpr char32_t flat_down = 0xE271, natural_down = 0xE273, sharp_down = 0xE275;
inline constexpr char32_t accent = 0xE4A0, staccato = 0xE4A2, tenuto = 0xE4A4, fermata = 0xE4C0;
inline constexpr char32_t breath = 0xE4CE, caesura = 0xE4D1;
inline constexpr char32_t rest_whole = 0xE4E3, rest_half = 0xE4E4, rest_quarter = 0xE4E5, rest_8 = 0xE4E6,
                          rest_16 = 0xE4E7, rest_32 = 0xE4E8;
/// The rest of a value, 0 for a whole note to 7 for a 128th.
constexpr char32_t rest(int value) noexcept {
    return rest_whole + static_cast<char32_t>(value);
}
constexpr char32_t tuplet_digit(int digit) noexcept {
    return static_cast<char32_t>(0xE880 + digit);
}
inline constexpr char32_t arrow_up = 0xEB60, arrow_down = 0xEB64;
inline constexpr char32_t vibrato_wave = 0xEAB0, trill_wave = 0xEAA4;

// Notes among words, for the swing mark: the pieces of two beamed eighths, and the bracket of a
// triplet with its 3, made to stand over notes with short stems.
inline constexpr char32_t words_note = 0xE1F0, words_beam_part = 0xE1F2, words_beamed_eighth = 0xE1F7;
inline constexpr char32_t words_triplet_start = 0xE1FE, words_triplet_3 = 0xE1FF, words_triplet_end = 0xE200;
// Notes of a metronome mark, and its dot.
inline constexpr char32_t beat_half = 0xECA3, beat_quarter = 0xECA5, beat_eighth = 0xECA7, beat_dot = 0xECB7;

}  // namespace lw::draw::music
