// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/second_guess.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/lick/lick.hpp"

namespace lw::coach {
namespace {

/// Two rows whose beats differ by less than this have one tempo.
constexpr double same_tempo = 0.12;

double beat_of(const BeatRow& row) {
    return (row.beats.back() - row.beats.front()) / static_cast<double>(row.beats.size() - 1);
}

/// Straight, swung, compound: the ratio of a swing is a shade.
int kind(const BeatFeel& f) {
    return f.compound ? 2 : f.feel.straight() ? 0 : 1;
}

bool cuts_a_beat(const BeatRow& row) {
    return std::any_of(row.notes.begin(), row.notes.end(),
                       [](const RowNote& n) { return n.part != Fraction{0}; });
}

double chance(double dearer) {
    return 1.0 / (1.0 + std::exp(std::max(0.0, dearer)));
}

SecondGuess guess_of(SecondGuess::About about, const BeatFeel& feel, double beat, double dearer) {
    SecondGuess g;
    g.about = about;
    if (feel.compound) g.meter = {12, 8};
    g.feel = feel.feel;
    g.tempo = BeatsPerMinute{60.0 / beat};
    g.chance = chance(dearer);
    return g;
}

std::string whole(double value) {
    return std::to_string(std::lround(value));
}

std::string name(const lick::Meter& meter, const lick::Feel& feel) {
    return meter.compound() ? "12/8" : feel.straight() ? "straight" : "swing";
}

/// After a tempo: `92 straight`.
std::string felt(const lick::Meter& meter, const lick::Feel& feel) {
    return meter.compound() ? " in 12/8" : feel.straight() ? " straight" : " with swing";
}

/// What to say on the command line to get it.
std::string option(const lick::Meter& meter, const lick::Feel& feel) {
    return meter.compound() ? "--meter 12/8" : feel.straight() ? "--feel straight" : "--feel swing";
}

}  // namespace

std::optional<SecondGuess> other_feel(std::span<const FeltRow> rows, const FeltRow& best) {
    const FeltRow* second = nullptr;
    for (const FeltRow& r : rows)
        if (kind(r.feel) != kind(best.feel) && (second == nullptr || r.row.price < second->row.price) &&
            std::abs(std::log(beat_of(r.row) / beat_of(best.row))) < same_tempo &&
            (cuts_a_beat(r.row) || cuts_a_beat(best.row)))
            second = &r;
    if (second == nullptr) return std::nullopt;
    return guess_of(SecondGuess::About::feel, second->feel, beat_of(second->row),
                    second->row.price - best.row.price);
}

std::optional<SecondGuess> other_tempo(std::span<const FeltRow> rows, const FeltRow& best,
                                       std::span<const double> onsets) {
    const double beat = beat_of(best.row);
    std::optional<SecondGuess> second;
    for (const FeltRow& r : rows)
        for (const double ratio : {0.5, 2.0, 2.0 / 3.0, 1.5}) {
            RowWishes wishes;
            wishes.shortest = std::max(wishes.shortest, beat * ratio * (1.0 - same_tempo));
            wishes.longest = std::min(wishes.longest, beat * ratio * (1.0 + same_tempo));
            if (wishes.shortest >= wishes.longest) continue;
            const BeatRow row = cheapest_row(r.feel, onsets, wishes);
            const double dearer = row.price - best.row.price;
            if (second && chance(dearer) <= second->chance) continue;
            second = guess_of(SecondGuess::About::tempo, r.feel, beat_of(row), dearer);
        }
    return second;
}

std::string say(const BeatMap& map, const SecondGuess& guess) {
    const std::string sure = " (" + whole(100.0 * guess.chance) + " %): ";
    const bool felt_alike =
        guess.meter.compound() == map.meter.compound() && guess.feel.straight() == map.feel.straight();
    const std::string is = felt(map.meter, map.feel), other = felt(guess.meter, guess.feel);
    switch (guess.about) {
        case SecondGuess::About::feel:
            return "the feel: " + name(map.meter, map.feel) + ", or " + name(guess.meter, guess.feel) + sure +
                   option(guess.meter, guess.feel);
        case SecondGuess::About::tempo:
            return "the tempo: " + whole(map.tempo.value) + (felt_alike ? "" : is) + ", or " +
                   whole(guess.tempo.value) + (felt_alike ? "" : other) + sure + "--tempo " +
                   whole(guess.tempo.value) + (felt_alike ? "" : " " + option(guess.meter, guess.feel));
        case SecondGuess::About::meter:
            break;
    }
    const auto meter = [](const lick::Meter& m) {
        return std::to_string(m.top) + "/" + std::to_string(m.bottom);
    };
    return "the meter: " + meter(map.meter) + ", or " + meter(guess.meter) + sure + "--meter " +
           meter(guess.meter);
}

}  // namespace lw::coach
