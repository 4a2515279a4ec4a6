// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/compare.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/coach/advice.hpp"
#include "engine/coach/again.hpp"
#include "engine/coach/align.hpp"
#include "engine/coach/measure.hpp"
#include "engine/coach/tempo_curve.hpp"
#include "engine/sound/performance.hpp"

namespace lw::coach {
namespace {

using hear::HeardNote;

constexpr Seconds finest_onset{0.006};
constexpr double finest_onset_part = 0.025;
constexpr Cents finest_pitch{10.0};
/// A bend further off than this is not a bend out of tune, it is another bend.
constexpr Cents another_bend{60.0};
/// Below this share a take is another phrase: random phrases on the same harp stay below 0.4, takes with a third of
/// their notes wrong above 0.6 (tests/coach).
constexpr double same_from = 0.5;
/// Beyond these more has to fit: tempo at the end against the start, and against the written one, either way round. The learners of
/// learners_test.cpp play at 0.6 to 1.15 of the written tempo and end at 0.7 to 1.3 of their own.
constexpr double strange_drift = 1.9, strange_tempo = 3.0, same_though_strange = 0.7;
/// A note that is not written has to be heard for sure: rooms and strings behind make ghosts.
constexpr double sure_enough = 0.4;

double median(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto m = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), m, v.end());
    return *m;
}

/// A stretch of a go without a stop: one tempo curve.
struct Piece {
    std::vector<Match> matches;
    TempoCurve curve;
};

class Comparer {
  public:
    Comparer(const lick::Lick& lick, std::span<const HeardNote> take, const Tolerance& tolerance,
             std::span<const hear::Frame> frames)
        : lick_(lick),
          take_(take),
          frames_(frames),
          tolerance_(tolerance),
          played_(lick::unfold(lick)),
          written_(written_notes(lick, played_)) {}

    Comparison run() {
        out_.notes.resize(written_.size());
        for (std::size_t i = 0; i < written_.size(); ++i) out_.notes[i].note = i;
        if (written_.empty() || take_.empty() || written_.size() * take_.size() > too_long)
            return std::move(out_);
        alignment_ = align(lick_.head.harp, written_, take_, 60.0 / lick_.head.tempo.value);
        if (alignment_.matches.empty()) return std::move(out_);
        find_again(alignment_, written_, take_, frames_);
        find_goes();
        choose_matches();
        cut_at_stalls();
        fit_curves();
        grade_notes();
        find_extras();
        sum_up();
        if (out_.same_lick) out_.advice = advise(lick_, played_, out_, take_);
        return std::move(out_);
    }

  private:
    [[nodiscard]] Likeness like(const Match& m) const {
        Likeness best = likeness(lick_.head.harp, written_[m.written], take_[m.heard]);
        for (std::size_t k = 1; k < m.pieces; ++k) {
            const Likeness l = likeness(lick_.head.harp, written_[m.written], take_[m.heard + k]);
            if (l.cost < best.cost) best = l;
        }
        return best;
    }

    void find_goes() {
        for (const Match& m : alignment_.matches) {
            while (out_.goes.size() <= static_cast<std::size_t>(m.go))
                out_.goes.push_back({m.heard, m.heard, m.written, m.written, 0});
            Go& go = out_.goes[static_cast<std::size_t>(m.go)];
            go.last_heard = m.heard + m.pieces - 1;
            go.to = std::max(go.to, m.written);
            go.from = std::min(go.from, m.written);
            if (like(m).cost < 0.5) ++go.right;
        }
    }

    /// Every written note takes its grade from the fullest go that covers it; of equal ones the later.
    void choose_matches() {
        std::vector<std::size_t> order(out_.goes.size());
        for (std::size_t g = 0; g < order.size(); ++g) order[g] = g;
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            if (out_.goes[a].right != out_.goes[b].right) return out_.goes[a].right > out_.goes[b].right;
            return a > b;
        });
        for (std::size_t i = 0; i < written_.size(); ++i)
            for (const std::size_t g : order)
                if (out_.goes[g].from <= i && i <= out_.goes[g].to) {
                    out_.notes[i].go = static_cast<int>(g);
                    covered_.insert({i, g});
                    break;
                }
        main_go_ = order.front();
        for (const Match& m : alignment_.matches) {
            const auto at = covered_.find(m.written);
            if (at != covered_.end() && at->second == static_cast<std::size_t>(m.go)) chosen_.push_back(m);
        }
    }

    /// Where the player stopped, the curve ends and another begins; so it does where a go ends.
    void cut_at_stalls() {
        for (const Match& m : chosen_) {
            if (!pieces_.empty()) {
                const Match& before = pieces_.back().matches.back();
                const double beats = written_[m.written].beat - written_[before.written].beat;
                const Seconds late = m.onset - before.onset - Seconds{beats * alignment_.seconds_a_beat};
                const Seconds limit{std::max(tolerance_.stall.value, 0.75 * alignment_.seconds_a_beat)};
                const bool stall = m.go == before.go && late > limit;
                if (stall) out_.stalls.push_back({m.written, late});
                if (m.go == before.go && !stall) {
                    pieces_.back().matches.push_back(m);
                    continue;
                }
            }
            pieces_.push_back({{m}, {}});
        }
    }

    [[nodiscard]] double place(std::size_t written) const {
        const WrittenNote& w = written_[written];
        return w.off_beat && own_turn_ ? w.slot + *own_turn_ : w.beat;
    }

    /// The player's own swing and the curve depend on each other: a few rounds settle both.
    void fit_curves() {
        for (int round = 0; round < 3; ++round) {
            for (Piece& p : pieces_) {
                std::vector<Sighting> sightings;
                for (const Match& m : p.matches) sightings.push_back({place(m.written), m.onset});
                p.curve = TempoCurve{sightings, alignment_.seconds_a_beat};
            }
            std::vector<double> turns;
            for (const Piece& p : pieces_)
                for (const Match& m : p.matches)
                    if (written_[m.written].off_beat && p.matches.size() > 3)
                        turns.push_back(p.curve.beat_at(m.onset) - written_[m.written].slot);
            if (turns.size() < 3) break;
            own_turn_ = std::clamp(median(turns), 0.35, 0.88);
        }
        // Three off-beats or more are enough to say how they swing; with fewer the written feel is kept.
        if (own_turn_) out_.swing = *own_turn_ / (1.0 - *own_turn_);
    }

    [[nodiscard]] HeardPart part_of(const Match& m, const Match* next) const {
        HeardPart part{m.onset, take_[m.heard + m.pieces - 1].offset, {}};
        if (next != nullptr && next->shared && next->heard == m.heard) part.offset = next->onset;
        for (std::size_t k = 0; k < m.pieces; ++k)
            for (const hear::BendSample& s : take_[m.heard + k].bend_path)
                if (s.at >= part.onset && s.at <= part.offset) part.path.push_back(s);
        return part;
    }

    void grade_notes() {
        const sound::Performance model =
            sound::perform(lick_, {BeatsPerMinute{60.0 / alignment_.seconds_a_beat}, 1, false, false});
        for (const Piece& p : pieces_)
            for (std::size_t k = 0; k < p.matches.size(); ++k) {
                const Match& m = p.matches[k];
                const Match* next = k + 1 < p.matches.size() ? &p.matches[k + 1] : nullptr;
                grade(m, p.curve, part_of(m, next), model.notes[m.written], next);
            }
    }

    void grade(const Match& m, const TempoCurve& curve, const HeardPart& part,
               const sound::SoundedNote& model, const Match* next) {
        NoteGrade& g = out_.notes[m.written];
        const WrittenNote& w = written_[m.written];
        const HeardNote& heard = take_[m.heard];
        const Likeness l = like(m);
        g.heard = m.heard;
        g.came = Came::right;
        g.onset = part.onset;
        g.offset = part.offset;
        g.due = curve.at(w.beat);
        g.onset_error = g.onset - g.due;
        const double due_length = std::max(0.02, (curve.at(w.end) - g.due).value);
        g.length = (g.offset - g.onset).value / due_length;
        if (!l.same_holes && !rings_on(take_, m.heard, w.tab)) {
            g.came = Came::wrong;
            g.wrong_breath = !heard.tab.holes.empty() && heard.tab.breath != w.tab.breath;
            g.wrong_hole = heard.tab.holes != w.tab.holes;
        } else {
            grade_bend(g, w, heard, l, measure_bend(model, part));
        }
        grade_time(g, m.written, curve, next);
        find_gestures(g, part, m);
    }

    void grade_bend(NoteGrade& g, const WrittenNote& w, const HeardNote& heard, const Likeness& l,
                    const std::optional<BendMeasure>& bend) const {
        const bool same_hole = std::find(heard.tab.holes.begin(), heard.tab.holes.end(), w.tab.lead_hole()) !=
                                   heard.tab.holes.end() &&
                               heard.tab.breath == w.tab.breath;
        if (!same_hole || w.tab.overbend || heard.tab.overbend) return;
        if (bend && (w.tab.bent_hole != 0 || !w.tab.chord())) {
            g.bend_error = bend->middle;
            g.bend_worst = bend->worst;
        } else if (std::abs(l.bend_off.value) > to_semitones(another_bend).value) {
            g.bend_error = g.bend_worst =
                to_cents(l.bend_off);  // too short to measure, but plainly another bend
        } else {
            return;
        }
        const bool blue = w.tab.bend_quarter_steps % 2 == 1;
        const Cents allowed =
            std::max(finest_pitch, blue ? tolerance_.blue_third
                                        : (w.tab.bent_hole != 0 ? tolerance_.bend : tolerance_.unbent));
        if (std::abs(g.bend_error->value) > std::max(allowed.value, another_bend.value)) {
            g.came = Came::wrong;
            g.wrong_bend = true;
        }
        // Hanging below the reed is flat, and so is bending too deep; a bend not deep enough is sharp.
        g.flat = *g.bend_error > allowed;
        g.sharp = *g.bend_error < -allowed;
    }

    void grade_time(NoteGrade& g, std::size_t written, const TempoCurve& curve, const Match* next) const {
        const WrittenNote& w = written_[written];
        const double to_next =
            written + 1 < written_.size() ? written_[written + 1].beat - w.beat : w.end - w.beat;
        const Seconds apart{to_next * alignment_.seconds_a_beat};
        const Seconds allowed = std::max({tolerance_.onset, finest_onset, apart * finest_onset_part});
        g.late = g.onset_error > allowed;
        g.early = g.onset_error < -allowed;
        const lick::PlayedNote& note = played_.notes[written];
        double shortest = tolerance_.shortest;
        for (const lick::PlayedOrnament& o : note.ornaments)
            if (o.ornament.gesture == lick::Gesture::brief) shortest *= 0.4;
        const Beats end = note.start + note.length;
        if (std::find(played_.breaths.begin(), played_.breaths.end(), end) != played_.breaths.end())
            shortest *= 0.6;
        const bool runs_on = next != nullptr && next->written == written + 1 && written_[written + 1].goes_on;
        // A late note that ends in time is late, not short.
        const Seconds due_end = curve.at(w.end);
        g.cut_short = !runs_on && g.length < shortest && due_end - g.offset > Seconds{0.1};
        g.too_long = !runs_on && g.length > tolerance_.longest && g.offset - due_end > Seconds{0.15};
    }

    /// Only gestures that move the pitch, or alternate two holes, are asked for; the rest is for other ears.
    void find_gestures(NoteGrade& g, const HeardPart& part, const Match& m) const {
        using lick::Gesture;
        if (g.came != Came::right || part.path.empty() || part.offset - part.onset < Seconds{0.25}) return;
        const auto heard_one = [&](auto which) {
            for (std::size_t k = 0; k < m.pieces; ++k)
                for (const hear::HeardGesture& h : take_[m.heard + k].gestures)
                    if (which(h.gesture)) return true;
            return false;
        };
        const bool pitch_moves = moved(part) > Semitones{0.25};
        for (const lick::PlayedOrnament& o : played_.notes[m.written].ornaments) {
            const Gesture wanted = o.ornament.gesture;
            if (wanted == Gesture::dip || wanted == Gesture::scoop || wanted == Gesture::fall) {
                const bool any = heard_one([](Gesture h) {
                    return h == Gesture::dip || h == Gesture::scoop || h == Gesture::fall ||
                           h == Gesture::approach;
                });
                if (!pitch_moves && !any) g.gestures_missed.push_back(wanted);
            } else if (wanted == Gesture::shake) {
                if (!heard_one([](Gesture h) { return h == Gesture::shake; }))
                    g.gestures_missed.push_back(wanted);
            }
        }
    }

    void find_extras() {
        std::vector<bool> taken(take_.size(), false);
        for (const Match& m : alignment_.matches)
            for (std::size_t k = 0; k < m.pieces; ++k) taken[m.heard + k] = true;
        std::vector<const Match*> chosen_at(take_.size(), nullptr);
        for (const Match& m : chosen_) chosen_at[m.heard] = &m;
        for (std::size_t j = 0; j < take_.size(); ++j) {
            if (taken[j]) continue;
            const Match* before = nullptr;
            const Match* after = nullptr;
            for (std::size_t k = j; k-- > 0 && before == nullptr;) before = chosen_at[k];
            for (std::size_t k = j + 1; k < take_.size() && after == nullptr; ++k) after = chosen_at[k];
            const Seconds reach{1.5 * alignment_.seconds_a_beat};
            const bool near_before =
                before != nullptr && take_[j].onset - take_[before->heard].offset < reach;
            const bool near_after = after != nullptr && take_[after->heard].onset - take_[j].offset < reach;
            if (take_[j].confidence < sure_enough || part_of_shake(before, take_[j])) continue;
            if (j + 1 < take_.size() && rings_on(take_, j, take_[j + 1].tab)) continue;
            const bool inside = before != nullptr && after != nullptr && before->go == after->go;
            // Between two goes lies the stumble that ended the first: not a fault of its own.
            const bool at_the_edge = before == nullptr ? near_after : after == nullptr && near_before;
            if (!inside && !at_the_edge) continue;
            const auto same = [&](const Match* m) {
                return m != nullptr && take_[m->heard].tab == take_[j].tab && !take_[j].tab.holes.empty();
            };
            const bool repeated = (near_before && same(before)) || (near_after && same(after));
            out_.extras.push_back({j, after != nullptr ? after->written : written_.size(), repeated});
        }
    }

    /// A slow shake is heard as notes that take turns: all of them are the one that is written.
    [[nodiscard]] bool part_of_shake(const Match* written, const HeardNote& heard) const {
        if (written == nullptr || heard.tab.holes.size() != 1) return false;
        const lick::PlayedNote& note = played_.notes[written->written];
        const Seconds end = out_.notes[written->written].due +
                            Seconds{(written_[written->written].end - written_[written->written].beat + 0.2) *
                                    alignment_.seconds_a_beat};
        const int hole = heard.tab.holes.front();
        return heard.tab.breath == note.tab.breath && heard.onset < end &&
               std::any_of(note.ornaments.begin(), note.ornaments.end(), [&](const lick::PlayedOrnament& o) {
                   return o.ornament.gesture == lick::Gesture::shake &&
                          (hole == o.ornament.other_hole || hole == note.tab.lead_hole());
               });
    }

    void sum_up() {
        std::size_t fits = 0, heard = 0;
        double squares = 0.0;
        std::size_t timed = 0;
        for (const NoteGrade& g : out_.notes) {
            if (g.came == Came::missing) continue;
            ++heard;
            // Phrases share notes; in another phrase they do not come when they are due.
            const bool in_time = std::abs(g.onset_error.value) < 0.25 * alignment_.seconds_a_beat;
            if (in_time && (g.came == Came::right || g.wrong_bend)) ++fits;
            squares += g.onset_error.value * g.onset_error.value;
            ++timed;
        }
        const double all = static_cast<double>(written_.size() + heard + out_.extras.size());
        out_.likeness = 2.0 * static_cast<double>(fits) / all;
        out_.evenness = Seconds{timed > 0 ? std::sqrt(squares / static_cast<double>(timed)) : 0.0};
        tell_tempo();
        // Half of it fits nearly any phrase, at some tempo.
        const double times = out_.tempo.value / lick_.head.tempo.value;
        const bool strange = std::max(out_.drift, 1.0 / out_.drift) > strange_drift ||
                             std::max(times, 1.0 / times) > strange_tempo;
        out_.same_lick = out_.likeness >= (strange ? same_though_strange : same_from) &&
                         fits >= std::min<std::size_t>(3, written_.size());
        tell_reeds();
    }

    void tell_tempo() {
        const Piece* longest = nullptr;
        for (const Piece& p : pieces_)
            if (longest == nullptr || p.matches.size() > longest->matches.size()) longest = &p;
        out_.tempo = BeatsPerMinute{60.0 / alignment_.seconds_a_beat};
        out_.drift = 1.0;
        if (longest == nullptr || longest->matches.size() < 3) return;
        const double from = written_[longest->matches.front().written].beat;
        const double to = written_[longest->matches.back().written].beat;
        std::vector<double> tempos;
        for (double beat = std::ceil(from); beat <= to + 1e-9; beat += 1.0) {
            const double spb = std::max(1e-3, longest->curve.seconds_a_beat(beat));
            out_.tempo_curve.push_back({beat, longest->curve.at(beat), BeatsPerMinute{60.0 / spb}});
            tempos.push_back(60.0 / spb);
        }
        if (tempos.empty()) return;
        out_.tempo = BeatsPerMinute{median(tempos)};
        out_.drift = tempos.back() / tempos.front();
    }

    void tell_reeds() {
        std::array<std::vector<double>, 2 * harp::hole_count> off;
        for (const NoteGrade& g : out_.notes) {
            if (g.came != Came::right || !g.heard) continue;
            const HeardNote& h = take_[*g.heard];
            if (h.tab.holes.size() != 1 || h.tab.bend_quarter_steps != 0 || h.tab.overbend) continue;
            const harp::Reed reed{h.tab.holes.front(), h.tab.breath};
            const std::size_t i =
                static_cast<std::size_t>(2 * (reed.hole - 1) + (reed.breath == lick::Breath::draw));
            off[i].push_back(to_cents(h.pitch - harp::made_for(lick_.head.harp, reed)).value);
        }
        std::vector<double> middles;
        for (const auto& v : off)
            if (!v.empty()) middles.push_back(median(v));
        const double own = median(middles);
        for (std::size_t i = 0; i < off.size(); ++i)
            if (!off[i].empty()) out_.reeds[i] = Cents{median(off[i]) - own};
    }

    const lick::Lick& lick_;
    std::span<const HeardNote> take_;
    std::span<const hear::Frame> frames_;
    Tolerance tolerance_;
    lick::Unfolded played_;
    std::vector<WrittenNote> written_;
    Alignment alignment_;
    std::map<std::size_t, std::size_t> covered_;  // written note -> go
    std::size_t main_go_ = 0;
    std::vector<Match> chosen_;
    std::vector<Piece> pieces_;
    std::optional<double> own_turn_;
    Comparison out_;
};

}  // namespace

Comparison compare(const lick::Lick& lick, std::span<const HeardNote> take, const Tolerance& tolerance,
                   std::span<const hear::Frame> frames) {
    return Comparer{lick, take, tolerance, frames}.run();
}

}  // namespace lw::coach
