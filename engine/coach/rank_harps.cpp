// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/rank_harps.hpp"

#include <algorithm>
#include <cmath>

#include "engine/coach/player_model.hpp"

namespace lw::coach {
namespace {

/// How far a heard pitch scatters around the note that was meant, in semitones: plain reeds by their tuning, bends by
/// the player.
constexpr double scatter_plain = 0.11;
constexpr double scatter_bent = 0.22;
/// A worn reed, or a harp in a just temperament (whose 5 draw is 29 cents flat in the 7-limit one), is off by more, and on every one
/// of its notes: this share of plain reeds may be that far off.
constexpr double worn = 0.35;
constexpr double scatter_worn = 0.25;
/// The same reed scatters by this from note to note, the same bend by that; notes nearer than `one_pitch` are one.
constexpr double again_plain = 0.08, again_bent = 0.15, one_pitch = 0.25;
/// The share of notes that are not what was played: an octave slip of the ear, a passing noise.
constexpr double misheard = 0.012;
/// A misheard note may be anything within four octaves.
constexpr double any_pitch = 1.0 / 48.0;
/// A note without an attack of its own is a join so often; else the ear missed a quick change of hole or breath.
constexpr double joined_is_so = 0.85;
/// A scoop, a dip or a fall needs a reed that can be pulled down further. On such a reed this share of notes has one;
/// on others the ear takes something else for it so often.
constexpr double pulled_down = 0.12, seems_pulled = 0.02;
constexpr double least_room = 0.4;  // semitones
/// What the model says is taken less seriously by this power: notes of a phrase are not drawn one by one. Fitted on
/// phrases that are not the model's own (tests/coach/rank_harps_test.cpp): there 0.9 means nine times in ten.
constexpr double trust = 0.9;
/// A pitch within this of a note of the harp can be that note; bends are pitched by feel.
constexpr double reach = 0.6;
/// How far a recording and all reeds of a harp together stand from 440 Hz, in semitones.
constexpr double scatter_all = 0.18;
/// So many notes say half of where they all stand: fewer may be worn reeds. From 6 to 12 the table of bench/hear hardly moves.
constexpr double few_notes = 6.0;
/// Other tunings so much less likely than the likeliest are not asked, in nats.
constexpr double too_unlikely = 6.0;
/// Without a harp a shake is not told as one: notes quicker than this that swing between two pitches, four and more.
constexpr Seconds longest_swing{0.15};
constexpr std::size_t sure_swings = 4;
constexpr double widest_shake = 5.5;  // semitones

double bell(double off, double scatter) noexcept {
    const double z = off / scatter;
    return std::exp(-0.5 * z * z) / (scatter * 2.5066282746310002);
}

/// One note as it matters here: its pitch, whether that came out of the note before, and whether it was pulled down for a
/// moment (scoop, dip, fall).
struct Played {
    double midi = 0.0;
    bool joined = false;
    bool pulled = false;
};

/// How many notes from `first` on swing between two pitches as a shake does; 0 when they are too few.
std::size_t swings(std::span<const hear::HeardNote> notes, std::size_t first) {
    const auto apart = [&](std::size_t a, std::size_t b) {
        return std::abs(notes[a].pitch.midi - notes[b].pitch.midi);
    };
    std::size_t end = first + 1;
    while (end < notes.size() && notes[end].onset - notes[end - 1].onset < longest_swing &&
           apart(end, end - 1) > 1.0 - one_pitch && apart(end, end - 1) < widest_shake &&
           (end < first + 2 || apart(end, end - 2) < one_pitch))
        ++end;
    return end - first < sure_swings ? 0 : end - first;
}

/// The notes, a shake as its two pitches once: what swings says the same again and again.
std::vector<Played> played_of(std::span<const hear::HeardNote> notes) {
    std::vector<Played> out;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const hear::HeardNote& n = notes[i];
        const bool pulled =
            std::any_of(n.gestures.begin(), n.gestures.end(), [](const hear::HeardGesture& g) {
                return g.gesture == lick::Gesture::scoop || g.gesture == lick::Gesture::dip ||
                       g.gesture == lick::Gesture::fall;
            });
        out.push_back({n.pitch.midi, n.joined && !out.empty(), pulled});
        if (const std::size_t shake = swings(notes, i); shake > 0) {
            out.push_back({notes[i + 1].pitch.midi, true, false});
            i += shake - 1;
        }
    }
    return out;
}

/// A tuning of recording and harp together: semitones above 440 Hz, and its chance as a logarithm.
struct Detuned {
    double semitones = 0.0;
    double log_chance = 0.0;
};

/// Where all notes together stand between the semitones, counted up and counted down: a phrase a quarter tone off may be
/// either. What is left is each reed's own.
std::vector<Detuned> tunings_of(std::span<const Played> notes, Hz a4) {
    constexpr double turn = 6.283185307179586;
    const double told = 12.0 * std::log2(a4 / harp::concert_a4);
    double x = 0.0, y = 0.0;
    for (const Played& n : notes) {
        x += std::cos(turn * (n.midi - told));
        y += std::sin(turn * (n.midi - told));
    }
    const double off = std::atan2(y, x) / turn;
    const double many = static_cast<double>(notes.size());
    const double near = off * many / (many + few_notes);
    std::vector<Detuned> out;
    for (const double other : {near, off > 0.0 ? off - 1.0 : off + 1.0}) {
        const double z = (told + other) / scatter_all;
        out.push_back({told + other, -0.5 * z * z});
    }
    if (out[0].log_chance < out[1].log_chance) std::swap(out[0], out[1]);
    if (out[1].log_chance < out[0].log_chance - too_unlikely) out.pop_back();
    return out;
}

/// One note on a harp.
struct Sound {
    double above = 0.0;  // the 1 blow, semitones
    bool joined = false;
    bool pulled = false;
    double alike = 1.0;   // notes of the phrase at this pitch, itself too
    double middle = 0.0;  // where they lie, as `above`
};

/// One pitch of a phrase is mostly one reed, and a reed is as far off every time: how far is paid once for all notes at
/// that pitch, and each pays only for its distance from their middle. As the chance of a reed's own offset (`at_middle`)
/// times that of a scatter around it, in equal parts for each of the notes.
double pitched(const Sound& s, double at_middle, double scatter) noexcept {
    constexpr double two_pi = 6.283185307179586;
    return std::pow(at_middle * std::sqrt(two_pi / s.alike) * scatter, 1.0 / s.alike) *
           bell(s.above - s.middle, scatter);
}

/// The notes from the 1 blow of a harp, the tuning (semitones above 440 Hz) taken off.
std::vector<Sound> sounds_of(std::span<const Played> notes, double tuned, const harp::Harp& harp) {
    const double from = tuned + harp::made_for(harp, {1, harp::Breath::blow}).midi;
    std::vector<Sound> out;
    for (const Played& n : notes) out.push_back({n.midi - from, n.joined, n.pulled});
    for (Sound& s : out) {
        double sum = 0.0, count = 0.0;
        for (const Sound& other : out)
            if (std::abs(other.above - s.above) < one_pitch) {
                sum += other.above;
                count += 1.0;
            }
        s.alike = count;
        s.middle = sum / count;
    }
    return out;
}

/// The chance of a row of pitches (semitones above the 1 blow), as a logarithm: all ways to play it added up.
double log_chance(const PlayerModel& model, const std::vector<Sound>& above, std::vector<double>& now,
                  std::vector<double>& then) {
    const auto& notes = model.notes();
    const std::size_t n = notes.size();
    now.assign(n, 0.0);
    then.assign(n, 0.0);
    double log_sum = 0.0;
    bool started = false;
    for (std::size_t t = 0; t < above.size(); ++t) {
        double sum = 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            const double off = std::abs(above[t].above - notes[k].above);
            double into = 0.0;
            if (off < reach) {
                if (!started)
                    into = model.first(k);
                else
                    for (std::size_t i = 0; i < n; ++i)
                        into += now[i] * (above[t].joined ? joined_is_so * model.joined(i, k) +
                                                                (1.0 - joined_is_so) * model.next(i, k)
                                                          : model.next(i, k));
                const bool plain = notes[k].note.bend_quarter_steps == 0 && !notes[k].note.overbend;
                const double middle = above[t].middle - notes[k].above;
                into *=
                    (1.0 - misheard) * (plain ? pitched(above[t],
                                                        (1.0 - worn) * bell(middle, scatter_plain) +
                                                            worn * bell(middle, scatter_worn),
                                                        again_plain)
                                              : pitched(above[t], bell(middle, scatter_bent), again_bent));
                if (t + 1 == above.size()) into *= model.last(k);
                into *= above[t].pulled ? (notes[k].room >= least_room ? pulled_down : seems_pulled)
                                        : 1.0 - (notes[k].room >= least_room ? pulled_down : seems_pulled);
            }
            // Misheard: the player is where he was.
            then[k] = into + (started ? now[k] : model.first(k)) * misheard * any_pitch;
            sum += then[k];
        }
        for (std::size_t k = 0; k < n; ++k) now[k] = then[k] / sum;
        log_sum += std::log(sum);
        started = true;
    }
    return log_sum;
}

/// All twelve, once: making one costs some forty thousand exponentials.
std::vector<PlayerModel> all_models() {
    std::vector<PlayerModel> models;
    for (int position = 1; position <= 12; ++position) models.emplace_back(position);
    return models;
}

/// The easiest way to each pitch: how many need a bend, an overbend, or are not there.
void count_ways(const PlayerModel& model, const std::vector<Sound>& sounds, HarpGuess& guess) {
    guess.bends = guess.overbends = guess.strangers = 0;
    for (const Sound& s : sounds) {
        int best = 3;
        for (const PlayerModel::Note& n : model.notes()) {
            if (std::abs(s.above - n.above) > 0.45) continue;
            best = std::min(best, n.note.overbend ? 2 : n.note.bend_quarter_steps > 0 ? 1 : 0);
        }
        guess.bends += best == 1 ? 1 : 0;
        guess.overbends += best == 2 ? 1 : 0;
        guess.strangers += best == 3 ? 1 : 0;
    }
}

}  // namespace

std::vector<HarpGuess> rank_harps(std::span<const hear::HeardNote> notes, Hz a4) {
    if (notes.empty()) return {};
    const std::vector<PlayerModel> models = all_models();
    std::vector<double> scratch_a, scratch_b;
    const std::vector<Played> played = played_of(notes);
    const std::vector<Detuned> tunings = tunings_of(played, a4);
    std::vector<HarpGuess> guesses;
    std::vector<std::array<double, 12>> logs;
    double best = -1e300;
    for (const harp::Harp& harp : made_harps()) {
        HarpGuess guess;
        guess.harp = harp;
        std::array<double, 12> log{};
        log.fill(-1e300);
        double likeliest = -1e300;
        for (const Detuned& tuning : tunings) {
            const auto above = sounds_of(played, tuning.semitones, harp);
            double here = -1e300;
            for (int p = 1; p <= 12; ++p) {
                const auto i = static_cast<std::size_t>(p - 1);
                const double l = trust * log_chance(models[i], above, scratch_a, scratch_b) +
                                 tuning.log_chance + std::log(PlayerModel::prior(p)) + std::log(prior(harp));
                const double more = std::max(log[i], l);
                log[i] = more + std::log1p(std::exp(std::min(log[i], l) - more));
                here = std::max(here, l);
            }
            if (here <= likeliest) continue;
            likeliest = here;
            count_ways(models.front(), above, guess);
        }
        best = std::max(best, *std::max_element(log.begin(), log.end()));
        guesses.push_back(guess);
        logs.push_back(log);
    }
    double all = 0.0;
    for (std::size_t h = 0; h < guesses.size(); ++h) {
        double sum = 0.0, most = 0.0;
        for (std::size_t p = 0; p < 12; ++p) {
            const double chance = std::exp(logs[h][p] - best);
            sum += chance;
            if (chance > most) {
                most = chance;
                guesses[h].position = static_cast<int>(p) + 1;
            }
        }
        guesses[h].probability = sum;
        guesses[h].position_probability = sum > 0.0 ? most / sum : 0.0;
        all += sum;
    }
    for (HarpGuess& g : guesses) g.probability /= all;
    std::stable_sort(guesses.begin(), guesses.end(),
                     [](const HarpGuess& a, const HarpGuess& b) { return a.probability > b.probability; });
    return guesses;
}

std::array<double, 12> rank_positions(const harp::Harp& harp, std::span<const hear::HeardNote> notes, Hz a4) {
    std::array<double, 12> chances{};
    const auto above = sounds_of(played_of(notes), 12.0 * std::log2(a4 / harp::concert_a4), harp);
    std::vector<double> scratch_a, scratch_b;
    double best = -1e300, all = 0.0;
    for (int p = 1; p <= 12; ++p) {
        double& c = chances[static_cast<std::size_t>(p - 1)];
        c = std::log(PlayerModel::prior(p));
        if (!above.empty()) c += trust * log_chance(PlayerModel{p}, above, scratch_a, scratch_b);
        best = std::max(best, c);
    }
    for (double& c : chances) all += c = std::exp(c - best);
    for (double& c : chances) c /= all;
    return chances;
}

}  // namespace lw::coach
