// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/ways.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdlib>

namespace lw::hear {
namespace {

// Prices in nats. Common practice, no source; set by listening to takes made for tuning (docs/listening.md). A price
// too low invents what it pays for, too high misses it.
constexpr float price_half_step = 0.8F;     // attacked bent: 4d'
constexpr float price_quarter_step = 2.5F;  // between the half steps
constexpr float price_past_floor = 1.5F;    // the quarter step below the last half step
constexpr float price_overbend = 4.0F;
constexpr float price_pair = 2.0F;
constexpr float price_triple = 3.0F;
constexpr float price_octave = 1.5F;
constexpr float price_split = 3.5F;
constexpr float chord_attack_doubt = 1.0F;  // nats; each reed is heard less clearly than alone
constexpr float octave_attack_doubt =
    0.3F;  // an octave's upper reed hides in the lower one, and the lower one feigns it
// Above this the upper reed of an octave has few partials within 8 kHz, and the net says less than it should: by so
// many nats when it is three semitones higher.
constexpr float high_octave = 89.0F;  // MIDI
constexpr float high_octave_doubt = 2.0F;
constexpr float price_second_name = 0.5F;  // 3 blow where 2 draw has the same pitch: most players draw it

constexpr float attack_price = 1.8F;  // of any new note: without it every ripple is one
constexpr float again_price = 0.3F;   // the same again: two reeds that beat look like it
constexpr float turn_price = 0.3F;    // of the breath
constexpr float hole_price = 0.3F;    // for every hole further than the next
constexpr float most_hole_price = 1.8F;
constexpr float bend_move_price = 0.7F;  // for every quarter step within a hole
constexpr float slide_price = 3.3F;      // to the next hole without an attack
constexpr float far_slide_price = 1.5F;  // for every hole more
constexpr float reshape_price = 5.0F;    // one hole of a chord comes or goes

constexpr std::uint16_t bit(int hole) noexcept {
    return static_cast<std::uint16_t>(1U << (hole - 1));
}

double midi_of(Hz f) noexcept {
    return 69.0 + 12.0 * std::log2(f.value / 440.0);
}

/// The harp as if A4 were 440 Hz: the tuning of the recording comes on top.
harp::Harp at_concert_pitch(harp::Harp h) {
    h.a4 = harp::concert_a4;
    return h;
}

}  // namespace

Ways::Ways(const std::optional<harp::Harp>& harp) : with_harp_(harp.has_value()) {
    if (harp)
        of_harp(at_concert_pitch(*harp));
    else
        of_anything();
    octave_.resize(ways_.size(), -1);
    number_voices();
    find_twins();
    tune(0.0, {});
    price_changes();
}

void Ways::doubt_octaves(float doubt, float leaning) noexcept {
    for (std::size_t i = 0; i < octave_.size(); ++i) {
        if (octave_[i] != static_cast<int>(i)) continue;
        Way& w = ways_[i];
        const auto upper = static_cast<float>(w.lead_midi());
        const float high = high_octave_doubt * std::clamp((upper - high_octave) / 3.0F, 0.0F, 1.0F);
        w.doubt = doubt + high;
        w.attack_doubt = octave_attack_doubt + leaning + high;
    }
}

void Ways::find_twins() {
    twin_.assign(ways_.size(), -1);
    if (!with_harp_) return;
    const auto plain = [](const Way& w) { return w.reeds == 1 && w.quarter_steps == 0 && !w.overbend; };
    for (int i = 0; i < count(); ++i)
        for (int j = 0; j < count(); ++j)
            if (i != j && plain((*this)[i]) && plain((*this)[j]) &&
                std::abs((*this)[i].untuned[0] - (*this)[j].untuned[0]) < 0.25)
                twin_[static_cast<std::size_t>(i)] = j;
}

void Ways::number_voices() {
    struct Voice {
        int reed;
        double untuned;
    };
    std::vector<Voice> known;
    for (Way& w : ways_)
        for (std::size_t i = 0; i < static_cast<std::size_t>(w.reeds); ++i) {
            const auto same = std::find_if(known.begin(), known.end(), [&](const Voice& v) {
                return v.reed == w.reed[i] && v.untuned == w.untuned[i];
            });
            w.voice[i] = static_cast<std::int16_t>(same - known.begin());
            if (same == known.end()) known.push_back({w.reed[i], w.untuned[i]});
        }
    voices_.resize(known.size());
}

void Ways::of_harp(const harp::Harp& harp) {
    using harp::Breath;
    const auto reed_index = [](int hole, Breath breath) {
        return static_cast<std::int8_t>(2 * (hole - 1) + (breath == Breath::draw ? 1 : 0));
    };
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        for (const Breath breath : {Breath::blow, Breath::draw}) {
            const harp::Reed reed{hole, breath};
            const double plain = midi_of(harp::frequency(harp, reed));
            for (int q = 0;; ++q) {
                if (!harp::pitch(harp, {hole, breath, q, false})) break;
                Way w;
                w.holes = bit(hole);
                w.breath = breath;
                w.lead = static_cast<std::int8_t>(hole);
                w.quarter_steps = static_cast<std::int8_t>(q);
                w.reed[0] = reed_index(hole, breath);
                w.untuned[0] = plain - q / 2.0;
                w.price = q == 0 ? 0.0F : (q % 2 == 0 ? price_half_step : price_quarter_step);
                if (q > 2.0 * harp::deepest_bend(harp, reed).value) w.price += price_past_floor;
                if (breath == Breath::blow)
                    for (int other = 1; other <= harp::hole_count; ++other)
                        if (other != hole && harp.tuning.at({other, Breath::draw}) == harp.tuning.at(reed))
                            w.price += price_second_name;
                ways_.push_back(w);
            }
        }
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        if (const std::optional<harp::HoleNote> over = harp::overbend(harp, hole)) {
            Way w;
            w.holes = bit(hole);
            w.breath = over->breath;
            w.lead = static_cast<std::int8_t>(hole);
            w.overbend = true;
            w.reed[0] = -1;
            w.untuned[0] = midi_of(*harp::frequency(harp, *over));
            w.price = price_overbend;
            ways_.push_back(w);
        }
    const auto chord = [&](std::initializer_list<int> holes, Breath breath, float price) {
        Way w;
        w.breath = breath;
        w.reeds = 0;
        for (const int hole : holes) {  // lead first
            w.holes = static_cast<std::uint16_t>(w.holes | bit(hole));
            const auto i = static_cast<std::size_t>(w.reeds++);
            w.reed[i] = reed_index(hole, breath);
            w.untuned[i] = midi_of(harp::frequency(harp, harp::Reed{hole, breath}));
        }
        w.lead = static_cast<std::int8_t>(*holes.begin());
        w.price = price;
        w.attack_doubt = chord_attack_doubt;
        ways_.push_back(w);
    };
    for (const Breath breath : {Breath::blow, Breath::draw}) {
        for (int hole = 1; hole < harp::hole_count; ++hole) chord({hole + 1, hole}, breath, price_pair);
        for (int hole = 1; hole + 2 <= harp::hole_count; ++hole)
            chord({hole + 2, hole + 1, hole}, breath, price_triple);
        for (int hole = 1; hole + 2 <= harp::hole_count; ++hole) chord({hole + 2, hole}, breath, price_split);
    }
    for (const harp::Split& s : harp::splits(harp)) {
        chord({s.high, s.low}, s.breath, s.octave() ? price_octave : price_split);
        if (!s.octave()) continue;
        const int octave = count() - 1;
        octave_.resize(ways_.size(), -1);
        octave_.back() = octave;
        for (int i = 0; i < octave; ++i) {
            const Way& w = (*this)[i];
            if (w.reeds == 1 && w.lead == s.low && w.breath == s.breath && w.quarter_steps == 0 &&
                !w.overbend)
                octave_[static_cast<std::size_t>(i)] = octave;
        }
    }
    octave_.resize(ways_.size(), -1);
}

void Ways::of_anything() {
    // MIDI 46 to 103.5, in quarter steps; those between two semitones are mostly bends on their way.
    for (int i = 0; i < 116; ++i) {
        Way w;
        w.reed[0] = -1;
        w.untuned[0] = 46.0 + i / 2.0;
        w.price = i % 2 == 0 ? 0.0F : 0.5F;
        ways_.push_back(w);
    }
}

void Ways::tune(double a4_semitones, const std::array<float, 2 * harp::hole_count>& reed_semitones) noexcept {
    for (Way& w : ways_)
        for (std::size_t i = 0; i < static_cast<std::size_t>(w.reeds); ++i) {
            const int reed = w.reed[i];
            const double own =
                reed >= 0 ? static_cast<double>(reed_semitones[static_cast<std::size_t>(reed)]) : 0.0;
            w.midi[i] = w.untuned[i] + a4_semitones + own;
            voices_[static_cast<std::size_t>(w.voice[i])] = w.midi[i];
        }
}

void Ways::price_changes() {
    const int n = count();
    after_silence_.resize(ways_.size());
    attack_.assign(ways_.size() * ways_.size(), never);
    move_.assign(ways_.size() * ways_.size(), never);
    bend_.assign(ways_.size() * ways_.size(), 0.0F);
    for (int to = 0; to < n; ++to)
        after_silence_[static_cast<std::size_t>(to)] = attack_price + (*this)[to].price;
    for (int from = 0; from < n; ++from)
        for (int to = 0; to < n; ++to) {
            const Way& a = (*this)[from];
            const Way& b = (*this)[to];
            float& attack = attack_[at(from, to)];
            float& move = move_[at(from, to)];
            attack = attack_price + b.price;
            if (!with_harp_) {
                const double interval = std::abs(b.untuned[0] - a.untuned[0]);
                attack += from == to ? again_price : std::min(2.0F, 0.1F * static_cast<float>(interval));
                if (interval <= 1.0)
                    move = 2.0F * bend_move_price * static_cast<float>(interval);
                else
                    move = slide_price + 0.5F * static_cast<float>(interval);
                if (from == to) move = 0.0F;
                continue;
            }
            const int apart = std::abs(a.lead - b.lead);
            attack += std::min(most_hole_price, hole_price * static_cast<float>(std::max(0, apart - 1)));
            if (a.breath != b.breath) attack += turn_price;
            if (a.same_mouth(b)) {
                attack += again_price;
                bend_[at(from, to)] = from == to ? 0.0F : 1.0F;
            }
            if (twin(to) >= 0 && from != twin(to) && a.same_mouth((*this)[twin(to)]))
                bend_[at(from, to)] = 1.0F;
            if (a.breath != b.breath) continue;  // the breath never turns without an attack
            if (a.same_mouth(b)) {
                move = bend_move_price * static_cast<float>(std::abs(a.quarter_steps - b.quarter_steps));
                // Quarter steps lie on every way between two half steps; only the one below them all is far to seek.
                if (b.price > price_quarter_step && b.quarter_steps > a.quarter_steps)
                    move += price_past_floor;
            } else if (a.reeds == 1 && b.reeds == 1) {
                if (a.overbend || b.overbend) continue;
                move = slide_price + far_slide_price * static_cast<float>(std::max(0, apart - 1)) + b.price;
            } else {
                const bool part = (a.holes & b.holes) == a.holes || (a.holes & b.holes) == b.holes;
                move = (part ? reshape_price : slide_price + 2.0F) + b.price;
            }
        }
    for (int to = 0; to < n; ++to) {
        float least = after_silence_[static_cast<std::size_t>(to)];
        float most = least;
        for (int from = 0; from < n; ++from) {
            least = std::min(least, attack_[at(from, to)]);
            most = std::max(most, attack_[at(from, to)]);
        }
        attack_spread_ = std::max(attack_spread_, most - least);
    }
}

}  // namespace lw::hear
