// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/staff_score.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "engine/draw/font.hpp"
#include "engine/draw/music_glyphs.hpp"

namespace lw::draw {
namespace {

constexpr int middle_line = 6;  // B4 on a G clef, in steps from C4

constexpr std::array<int, 7> letter_semitones = {0, 2, 4, 5, 7, 9, 11};  // C D E F G A B
/// The letter of each degree above the tonic's: 1 b2 2 b3 3 4 b5 5 b6 6 b7 7.
constexpr std::array<int, 12> degree_letters = {0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6};
/// The tonics' letters, in the trade's names: C Db D Eb E F F# G Ab A Bb B.
constexpr std::array<int, 12> tonic_letters = {0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6};
constexpr std::array<bool, 12> in_scale = {true,  false, true,  false, true,  true,
                                           false, true,  false, true,  false, true};

constexpr int wrapped(int n, int by) noexcept {
    return (n % by + by) % by;
}

/// How many ledger lines a head needs.
constexpr int ledgers(int line) noexcept {
    return std::max(0, (line < 0 ? -line : line) / 2 - 2);
}

class Score {
  public:
    Score(const lick::Lick& lick, const std::vector<Token>& tokens, const Sizes& sizes)
        : lick_(lick),
          tokens_(tokens),
          em_(sizes.staff_space() * 4.0),
          space_(sizes.staff_space()),
          key_(key_of_music(lick.head).value_or(lick.head.harp.key)) {}

    StaffScore make() {
        score_.rhythm = staff_rhythm(lick_, tokens_);
        for (const StaffNote& n : score_.rhythm.notes) {
            StaffSet set;
            if (n.token >= 0) set.heads = heads_of(*token(n.token).tab);
            score_.sets.push_back(std::move(set));
        }
        choose_clef();
        accidentals();
        group();
        stems();
        for (std::size_t i = 0; i < score_.sets.size(); ++i) place(i);
        slurs();
        return std::move(score_);
    }

  private:
    [[nodiscard]] const Token& token(int i) const { return tokens_[static_cast<std::size_t>(i)]; }
    [[nodiscard]] const StaffNote& note(std::size_t i) const { return score_.rhythm.notes[i]; }

    [[nodiscard]] std::vector<StaffHead> heads_of(const lick::Tab& tab) const {
        std::vector<StaffPitch> found;
        for (const int hole : tab.holes) {
            const harp::HoleNote n = tab.note_of(hole);
            const auto sounds = harp::pitch(lick_.head.harp, n);
            const Pitch pitch = sounds ? *sounds : harp::made_for(lick_.head.harp, n.reed());
            found.push_back(spelled_pitch(pitch, key_));
        }
        std::sort(found.begin(), found.end());
        found.erase(std::unique(found.begin(), found.end()), found.end());
        std::vector<StaffHead> heads;
        for (const StaffPitch& p : found) heads.push_back({p.step - middle_line, p.quarters, 0, 0.0, 0.0});
        return heads;
    }

    /// The clef with the fewest ledger lines; two far ones are worse than four near ones.
    void choose_clef() {
        int best = 0;
        long long least = -1;
        for (const int octave : {0, 1, -1}) {
            long long cost = octave == 0 ? 0 : 2;
            for (const StaffSet& set : score_.sets) {
                for (const StaffHead& h : set.heads) {
                    const long long far = ledgers(h.line - 7 * octave);
                    cost += far * far * far;
                }
            }
            if (least >= 0 && cost >= least) continue;
            least = cost;
            best = octave;
        }
        score_.octave = best;
        for (StaffSet& set : score_.sets)
            for (StaffHead& h : set.heads) h.line -= 7 * best;
    }

    /// An accidental holds for its line to the end of the bar; a tied head has none.
    void accidentals() {
        std::map<int, int> holds;
        for (std::size_t i = 0; i < score_.sets.size(); ++i) {
            if (i == 0 || note(i).bar != note(i - 1).bar) holds.clear();
            if (note(i).tied_in) continue;
            std::vector<StaffHead>& heads = score_.sets[i].heads;
            for (std::size_t h = 0; h < heads.size(); ++h) {
                StaffHead& head = heads[h];
                const auto before = holds.find(head.line);
                const int now = before == holds.end() ? 0 : before->second;
                const bool twice = h > 0 && heads[h - 1].line == head.line;  // F and F sharp in one chord
                if (now != head.quarters || twice) head.accidental = accidental_glyph(head.quarters);
                holds[head.line] = head.quarters;
            }
        }
    }

    /// Notes with flags inside one beat, or inside one outermost tuplet, share a beam.
    void group() {
        int beam = -1;
        bool open = false;
        std::pair<int, std::int64_t> key_before;
        for (std::size_t i = 0; i < score_.sets.size(); ++i) {
            const StaffNote& n = note(i);
            int outermost = n.tuplet;
            while (outermost >= 0 && score_.rhythm.tuplets[static_cast<std::size_t>(outermost)].outer >= 0)
                outermost = score_.rhythm.tuplets[static_cast<std::size_t>(outermost)].outer;
            const std::pair<int, std::int64_t> key{outermost, outermost < 0 ? n.at.value.floor() : 0};
            const bool may = n.token >= 0 && n.value >= 3;
            const bool goes_on = may && open && key == key_before && note(i - 1).bar == n.bar;
            if (may) {
                if (!goes_on) ++beam;
                score_.sets[i].beam = beam;
            }
            open = may;
            key_before = key;
        }
    }

    /// Down when the head farthest from the middle line lies above it; one direction under a beam.
    void stems() {
        for (std::size_t i = 0; i < score_.sets.size();) {
            std::size_t end = i + 1;
            const int beam = score_.sets[i].beam;
            while (beam >= 0 && end < score_.sets.size() && score_.sets[end].beam == beam) ++end;
            int high = -1000;
            int low = 1000;
            for (std::size_t j = i; j < end; ++j) {
                for (const StaffHead& h : score_.sets[j].heads) {
                    high = std::max(high, h.line);
                    low = std::min(low, h.line);
                }
            }
            for (std::size_t j = i; j < end; ++j) score_.sets[j].up = high + low < 0;
            i = end;
        }
    }

    void place(std::size_t i) {
        const StaffNote& n = note(i);
        StaffSet& set = score_.sets[i];
        if (n.token < 0) {
            if (n.whole_bar) return;
            const double half = music_width(music::rest(std::min(n.value, 7)), em_) / 2.0;
            set.left = half;
            set.right = half + dot_room(n);
            return;
        }
        const char32_t glyph = n.value == 0   ? music::head_whole
                               : n.value == 1 ? music::head_half
                                              : music::head_black;
        const double wide = music_width(glyph, em_);
        const double half = wide / 2.0;
        // Heads a step apart cannot stand over each other: every second one goes to the stem's other side.
        bool aside = false;
        const auto second = [&](std::size_t a, std::size_t b) {
            aside = !aside && std::abs(set.heads[a].line - set.heads[b].line) <= 1;
            if (aside) set.heads[b].x = (set.up ? 1.0 : -1.0) * (wide - staff_stem * space_);
        };
        if (set.up) {
            for (std::size_t h = 1; h < set.heads.size(); ++h) second(h - 1, h);
        } else {
            for (std::size_t h = set.heads.size(); h-- > 1;) second(h, h - 1);
        }
        set.left = set.right = half;
        for (const StaffHead& h : set.heads) {
            const double more = ledgers(h.line) > 0 ? staff_ledger_reach * space_ : 0.0;
            set.left = std::max(set.left, half - h.x + more);
            set.right = std::max(set.right, half + h.x + more);
        }
        set.right += dot_room(n);
        if (n.value >= 3 && set.up)
            set.right = std::max(set.right,
                                 half + music_box(music::flags(std::min(n.value, 7), true), {}, em_).right());
        // Accidentals from the top down, each as near to the heads as the ones before let it.
        std::vector<Box> taken;
        const double edge = -set.left;
        for (std::size_t h = set.heads.size(); h-- > 0;) {
            StaffHead& head = set.heads[h];
            if (head.accidental == 0) continue;
            Box box = music_box(head.accidental, {0.0, -head.line * space_ / 2.0}, em_);
            double right = edge - 0.18 * space_;
            for (bool moved = true; moved;) {
                moved = false;
                for (const Box& t : taken) {
                    const bool beside = box.y < t.bottom() && t.y < box.bottom();
                    if (beside && right > t.x - 0.1 * space_ && right - box.width < t.right()) {
                        right = t.x - 0.12 * space_;
                        moved = true;
                    }
                }
            }
            head.accidental_x = right - box.right();
            box.x = right - box.width;
            taken.push_back(box);
            set.left = std::max(set.left, -box.x);
        }
        // Half a tie, where no note before it holds the other end.
        const bool bare = n.tied_in && (i == 0 || !note(i - 1).tied_out);
        if (bare) set.left += 1.6 * space_;
    }
    [[nodiscard]] double dot_room(const StaffNote& n) const {
        return n.dots > 0 ? 0.35 * space_ + music_width(music::dot, em_) : 0.0;
    }

    void slurs() {
        for (std::size_t i = 1; i < score_.sets.size(); ++i) {
            const int t = note(i).token;
            if (t < 0) continue;
            const bool follows = !score_.slurs.empty() && score_.slurs.back().last + 1 == i;
            if (note(i).tied_in) {
                if (follows && note(i - 1).tied_out) score_.slurs.back().last = i;
                continue;
            }
            const bool joined =
                t > 0 && token(t - 1).next == t && token(t).written->start != lick::Start::attack;
            if (!joined) continue;
            if (follows) {
                score_.slurs.back().last = i;
                continue;
            }
            std::size_t from = i - 1;
            while (from > 0 && note(from).tied_in && note(from - 1).tied_out) --from;
            score_.slurs.push_back({from, i});
        }
    }

    const lick::Lick& lick_;
    const std::vector<Token>& tokens_;
    double em_;
    double space_;
    harp::Key key_;
    StaffScore score_;
};

}  // namespace

StaffPitch spelled_pitch(Pitch pitch, harp::Key key) noexcept {
    const int twice = static_cast<int>(std::lround(pitch.midi * 2.0));
    const int midi = static_cast<int>(std::floor((twice + 1) / 2.0));
    const int pulled = midi * 2 - twice;  // 1 for a quarter step below
    const int degree = wrapped(midi - key.pitch_class, 12);
    int letter = wrapped(tonic_letters[static_cast<std::size_t>(wrapped(key.pitch_class, 12))] +
                             degree_letters[static_cast<std::size_t>(degree)],
                         7);
    const auto sign_of = [&](int l) {
        return wrapped(midi - letter_semitones[static_cast<std::size_t>(l)] + 6, 12) - 6;
    };
    int sign = sign_of(letter);
    const bool c_or_f = letter == 0 || letter == 3;
    if (sign < -1 || (sign == -1 && c_or_f && !in_scale[static_cast<std::size_t>(degree)])) {
        letter = wrapped(letter - 1, 7);
        sign = sign_of(letter);
    }
    const int natural = midi - sign;  // of the letter, in its octave
    const int octave = static_cast<int>(std::floor(natural / 12.0)) - 5;
    return {octave * 7 + letter, sign * 2 - pulled};
}

std::string spelled_name(Pitch pitch, harp::Key key) {
    const StaffPitch p = spelled_pitch(Pitch{std::floor(pitch.midi + 0.5)}, key);
    const int letter = wrapped(p.step, 7);
    std::string name(1, "CDEFGAB"[letter]);
    for (int quarters = p.quarters; quarters != 0; quarters += quarters < 0 ? 2 : -2)
        name += quarters < 0 ? 'b' : '#';
    return name + std::to_string((p.step - letter) / 7 + 4);
}

char32_t accidental_glyph(int quarters) noexcept {
    switch (quarters) {
        case -3:
            return music::flat_down;
        case -2:
            return music::flat;
        case -1:
            return music::natural_down;
        case 1:
            return music::sharp_down;
        case 2:
            return music::sharp;
        default:
            return music::natural;
    }
}

StaffScore staff_score(const lick::Lick& lick, const std::vector<Token>& tokens, const Sizes& sizes) {
    return Score{lick, tokens, sizes}.make();
}

}  // namespace lw::draw
