// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/note_shape.hpp"

#include <algorithm>
#include <cmath>

namespace lw::hear {
namespace {

// Set on takes rich in gestures (bench/hear/hear_table -g), FluidR3's harmonica and accordion.
constexpr float still = 0.10F;       // semitones around the middle that count as standing still; more and the
                                     // slow end of a fall is a note of its own
constexpr float clear_move = 0.33F;  // semitones; less is the unsteadiness of a breath (vibrato is 0.2)
constexpr float unsteady_end = 0.38F;           // less, and a note ends and begins as deep as it stands
constexpr float clear_dip = 0.30F;              // the same, of a dip
constexpr std::size_t scoop_frames = 22;        // a scoop is over in 220 ms; what takes longer is a glide
constexpr std::size_t least_unknown_scoop = 5;  // frames, where nothing is known of what is usual
constexpr float clear_scoop = 0.165F;  // semitones below what is usual, on average over the frames looked at
constexpr float least_scoop = 0.05F;   // semitones; what starts sharp, though less than usual, is no scoop
constexpr float sure_scoop = 0.50F;    // no reed begins so far below by itself
// The frames of an attack that are looked at: before, the note before is heard; after, short scoops are over.
constexpr std::size_t attack_from = 2, attack_to = 8;
constexpr float furthest_below = 0.9F;         // semitones; a single frame says no more
constexpr std::size_t least_with_attack = 12;  // frames of a note whose attack is looked at
constexpr std::size_t least_fall = 5;          // frames
constexpr std::size_t least_dip =
    7;  // frames deeper than half of clear_dip; shorter and it is an unsteady breath
constexpr std::size_t attack_frames =
    8;  // what is deepest in the first 80 ms is the attack, or the note before
constexpr float vibrato_semitones = 0.03F;  // from the middle
constexpr std::size_t least_vibrato = 32;   // frames: two full turns
constexpr std::size_t slow_frames = 25;     // 250 ms: what is slower than a vibrato of 4 Hz

float median(const float* first, std::size_t n) noexcept {
    std::array<float, 64> copy;
    n = std::min(n, copy.size());
    std::copy_n(first, n, copy.begin());
    std::nth_element(copy.begin(), copy.begin() + static_cast<std::ptrdiff_t>(n / 2),
                     copy.begin() + static_cast<std::ptrdiff_t>(n));
    return copy[n / 2];
}

/// Frame at which a waver of the pitch begins that goes on for at least two full turns at 3.5 to 8.5 Hz, each at least
/// vibrato_semitones to either side of its slow middle. Vibrato wavers in loudness as well, often more; but so do two
/// reeds that beat, in every note.
std::optional<std::size_t> waver(std::span<const float> path) noexcept {
    const std::size_t n = path.size();
    if (n < least_vibrato) return std::nullopt;
    int turns = 0;  // half turns in a row
    int side = 0;
    std::size_t since = 0, first = 0;
    double sum = 0.0;
    std::size_t from = 0, to = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t want_to = std::min(n, i + slow_frames / 2 + 1);
        const std::size_t want_from = i > slow_frames / 2 ? i - slow_frames / 2 : 0;
        while (to < want_to) sum += static_cast<double>(path[to++]);
        while (from < want_from) sum -= static_cast<double>(path[from++]);
        const float off = path[i] - static_cast<float>(sum / static_cast<double>(to - from));
        const int here = off > vibrato_semitones ? 1 : (off < -vibrato_semitones ? -1 : 0);
        if (here == 0 || here == side) continue;
        const std::size_t half_turn = i - since;
        // Half a turn at 3.5 to 8.5 Hz, with what quantising to frames adds.
        if (side != 0 && half_turn >= 5 && half_turn <= 16) {
            if (turns++ == 0) first = since;
            if (turns >= 4) return first;
        } else {
            turns = 0;
        }
        side = here;
        since = i;
    }
    return std::nullopt;
}

}  // namespace

std::optional<float> plateau(std::span<const float> depth, std::size_t frames) noexcept {
    if (depth.size() < frames) return std::nullopt;
    const float* last = depth.data() + depth.size() - frames;
    const float middle = median(last, frames);
    for (std::size_t i = 0; i < frames; ++i)
        if (std::abs(last[i] - middle) > still) return std::nullopt;
    return middle;
}

std::optional<float> began_below(const OpenNote& note) noexcept {
    if (note.joined || !note.settled || note.depth.size() < least_with_attack) return std::nullopt;
    float sum = 0.0F;
    for (std::size_t i = attack_from; i < attack_to; ++i)
        sum += std::clamp(note.depth[i] - *note.settled, -furthest_below, furthest_below);
    return sum / static_cast<float>(attack_to - attack_from);
}

Shape shape_of(const OpenNote& note, std::optional<float> usual) noexcept {
    Shape s;
    const std::span<const float> d = note.depth;
    const std::size_t n = d.size();
    if (n == 0) return s;
    s.settled = note.settled.value_or(median(d.data() + n / 4, std::max<std::size_t>(1, n - n / 4)));
    // The very first frames still hear the note before; the very last ones the one after.
    const std::size_t lead_in = n > 6 ? 1 : 0;
    s.start = median(d.data() + lead_in, std::min<std::size_t>(3, n - lead_in));
    s.end = median(d.data() + n - std::min<std::size_t>(3, n), std::min<std::size_t>(3, n));
    const auto add = [&](lick::Gesture gesture, std::size_t frame) {
        if (s.gesture_count < s.gestures.size())
            s.gestures[s.gesture_count++] = {gesture, 0,
                                             note.onset + frame_step * static_cast<double>(frame)};
    };
    if (const auto at = waver(d)) {
        add(lick::Gesture::vibrato, *at);
        s.start = s.end = s.settled;
        return s;
    }

    if (!note.bends) {
        s.start = s.end = s.settled;
        return s;
    }
    std::size_t from = 0;
    if (note.settled && s.start - s.settled > clear_move)
        while (from < n && d[from] - s.settled > clear_move / 2) ++from;
    const std::optional<float> below = began_below(note);
    const bool over = n <= scoop_frames || d[scoop_frames] - s.settled <= clear_move / 2;
    // Or it is on its way into a dip.
    const bool rises = below && d[attack_to] - s.settled <= *below + still;
    const bool scooped =
        usual ? rises && over &&
                    ((*below > least_scoop && *below - *usual > clear_scoop) || *below > sure_scoop)
              : from >= least_unknown_scoop && from <= scoop_frames && !note.joined;
    if (scooped) add(lick::Gesture::scoop, 0);
    std::size_t to = n;
    if (note.settled && s.end - s.settled > clear_move) {
        while (to > from && d[to - 1] - s.settled > clear_move / 2) --to;
        if (n - to >= least_fall) add(lick::Gesture::fall, to);
    }
    // Between: away from the settled depth and back.
    std::size_t away = 0, deepest = 0;
    float furthest = 0.0F;
    for (std::size_t i = from; i < to; ++i) {
        const float off = d[i] - s.settled;
        if (off > clear_dip / 2) {
            if (away++ == 0) furthest = 0.0F;
            if (off > furthest) {
                furthest = off;
                deepest = i;
            }
        } else {
            if (away >= least_dip && furthest > clear_dip && deepest >= attack_frames)
                add(lick::Gesture::dip, i - away);
            away = 0;
        }
    }
    if (std::abs(s.start - s.settled - usual.value_or(0.0F)) <= unsteady_end) s.start = s.settled;
    if (std::abs(s.end - s.settled) <= unsteady_end) s.end = s.settled;
    return s;
}

}  // namespace lw::hear
