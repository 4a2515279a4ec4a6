// SPDX-License-Identifier: Apache-2.0
#include "engine/sound/reed_voice.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "engine/sound/blowing.hpp"
#include "engine/sound/filters.hpp"
#include "engine/sound/strands.hpp"
#include "engine/sound/voicing.hpp"

namespace lw::sound {
namespace {

using lick::Gesture;

/// Breath, pitch and colour are decided this often and move evenly between: every millisecond, short against the
/// fastest attack (10 ms) and flutter (42 ms), long enough to cost little.
constexpr double decisions_per_second = 1000.0;
/// What moves evenly from one decision to the next.
struct Ramp {
    float now = 0.0F;
    float step = 0.0F;
    void aim(double target, int samples) noexcept {
        step = (static_cast<float>(target) - now) / static_cast<float>(samples);
    }
};

/// Four floats at once: SSE, NEON or WebAssembly's SIMD, whatever the compiler has (an extension of GCC and
/// Clang). Same sums in the same order everywhere.
using Four = float __attribute__((vector_size(16)));

struct Sounding {
    const ReedTables::Level* level = nullptr;
    double base = 0.0;  // Hz
    double bright_offset = 0.0;
    double level_factor = 1.0;
    std::uint32_t seed = 0;
    std::size_t piece = 0;
    std::size_t point = 0;  // in the bend path of the piece's note
    std::uint32_t phase = 0;
    double increment = 0.0;  // of the phase, per sample
    double increment_step = 0.0;
    double last_depth = -100.0;  // what the next three were worked out for
    double frequency = 0.0;
    double register_level = 0.0;
    double register_bright = 0.0;
    int cell = 0;  // the lower of the two strengths that are mixed
    double bright = 0.0;
    std::array<Ramp, 4> mix;  // plain, bent of `cell`; plain, bent of `cell` + 1; times the level
    bool begun = false;
};

}  // namespace

struct ReedVoice::State {
    State(const ReedTables& tables, const harp::Harp& harp, const Performance& performance, Hz rate)
        : performance_(performance),
          strands_(strands_of(harp, performance)),
          rate_(rate),
          tick_(std::max(8, static_cast<int>(std::lround(rate.value / decisions_per_second)))),
          length_(static_cast<std::int64_t>(std::ceil(performance.length.value * rate.value))) {
        const Hz top{std::min(20000.0, 0.42 * rate.value)};
        sounding_.resize(strands_.size());
        for (std::size_t i = 0; i < strands_.size(); ++i) {
            const Strand& strand = strands_[i];
            Sounding& s = sounding_[i];
            const auto f = harp::frequency(harp, strand.reed);
            s.base = f ? f->value : harp::frequency(harp, strand.reed.reed()).value;
            s.level = &tables.level_for(strand.highest, top);
            const auto reed_number =
                static_cast<std::uint32_t>(strand.reed.hole * 2 + (strand.reed.breath == harp::Breath::draw));
            s.bright_offset = voicing::reed_bright_spread * scattered(reed_number + 100U) +
                              (strand.reed.breath == harp::Breath::draw ? voicing::bright_draw : 0.0);
            s.level_factor = 1.0 + voicing::reed_level_spread * scattered(reed_number + 200U);
            s.seed = static_cast<std::uint32_t>(i) + 1U;
        }
        active_.reserve(strands_.size());
        buffer_.resize(static_cast<std::size_t>(tick_));
        body_low_ = bell<float>(voicing::body_low, voicing::body_low_q, voicing::body_low_gain, rate);
        body_high_ = bell<float>(voicing::body_high, voicing::body_high_q, voicing::body_high_gain, rate);
        low_cut_ = high_pass<float>(voicing::low_corner, voicing::low_q, rate);
        noise_band_ = band_pass<float>(voicing::noise_centre, voicing::noise_width, rate);
        for (const SoundedNote& note : performance_.notes) {
            for (std::size_t i = 0; i < note.ornaments.size(); ++i) {
                if (note.ornaments[i].ornament.gesture != Gesture::wah) continue;
                wahs_.push_back({note.ornament_starts[i],
                                 std::min(note.ornament_starts[i] + voicing::wah_time, note.offset)});
            }
        }
        set_hand();
    }

    void render(std::span<float> out) noexcept {
        while (!out.empty()) {
            if (used_ == buffer_.size()) next_tick();
            const std::size_t n = std::min(out.size(), buffer_.size() - used_);
            std::copy_n(buffer_.begin() + static_cast<std::ptrdiff_t>(used_), n, out.begin());
            used_ += n;
            out = out.subspan(n);
        }
    }

    [[nodiscard]] std::int64_t length() const noexcept { return length_; }

  private:
    [[nodiscard]] Seconds time_of(std::int64_t tick) const noexcept {
        return {double(tick) * tick_ / rate_.value};
    }

    void next_tick() noexcept {
        // Decisions are for the end of the tick: the ramps arrive there.
        const Seconds begin = time_of(now_);
        const Seconds end = time_of(now_ + 1);
        ++now_;
        used_ = 0;
        while (next_ < strands_.size() && strands_[next_].start < end) active_.push_back(next_++);
        std::fill(buffer_.begin(), buffer_.end(), 0.0F);
        noise_aim_ = 0.0;
        for (std::size_t i = 0; i < active_.size();) {
            const Strand& strand = strands_[active_[i]];
            if (strand.end + strand.fade < begin) {
                active_.erase(active_.begin() + static_cast<std::ptrdiff_t>(i));
                continue;
            }
            Sounding& s = sounding_[active_[i]];
            decide(strand, s, end);
            add(s);
            ++i;
        }
        idle_ = active_.empty() ? idle_ + 1 : 0;
        // After a tenth of a second of silence the filters hold nothing that could be heard.
        if (idle_ > static_cast<int>(decisions_per_second / 10.0)) {
            if (!asleep_) sleep();
            return;
        }
        asleep_ = false;
        finish(end);
    }

    void sleep() noexcept {
        asleep_ = true;
        body_low_.reset();
        body_high_.reset();
        low_cut_.reset();
        noise_band_.reset();
        hand_.reset();
        noise_ = {};
        openness_ = 1.0;
    }

    // --- One reed ---------------------------------------------------------------------------------

    [[nodiscard]] double depth(const Strand& strand, Sounding& s, Seconds at) const noexcept {
        const Piece& piece = strand.pieces[s.piece];
        if (!piece.leads) return 0.0;
        const std::vector<BendPoint>& path = performance_.notes[piece.note].bend;
        while (s.point + 1 < path.size() && path[s.point + 1].at <= at) ++s.point;
        const BendPoint& a = path[s.point];
        if (s.point + 1 >= path.size() || at <= a.at) return a.depth.value;
        const BendPoint& b = path[s.point + 1];
        return (a.depth + (b.depth - a.depth) * ((at - a.at) / (b.at - a.at))).value;
    }

    void decide(const Strand& strand, Sounding& s, Seconds at) noexcept {
        while (s.piece + 1 < strand.pieces.size() && strand.pieces[s.piece + 1].from <= at) {
            ++s.piece;
            s.point = 0;
        }
        const SoundedNote& note = performance_.notes[strand.pieces[s.piece].note];
        const double bent = depth(strand, s, at);
        if (bent != s.last_depth) {
            s.last_depth = bent;
            s.frequency = s.base * std::exp2(-bent / 12.0);
            const double octaves = std::log2(s.frequency / 600.0);
            const double db = octaves * (octaves > 0.0 ? voicing::high_slope : -voicing::low_slope);
            s.register_level = voicing::level * std::pow(10.0, db / 20.0) * strand.share * s.level_factor;
            s.register_bright = voicing::bright_register * std::max(0.0, std::log2(s.frequency / 400.0));
        }
        const double open = opening(strand, at);
        const double p = breath(strand, s.seed, note, at);
        const double level = s.register_level * std::pow(p, voicing::level_power) * open;
        const double colour = strand.reed.overbend
                                  ? voicing::overbend_colour
                                  : std::clamp(bent + strand.reed.bend_quarter_steps * 0.5, 0.0, 1.0);
        const double bright = std::clamp(voicing::bright_base + s.bright_offset +
                                             voicing::bright_breath * p * std::sqrt(open) - s.register_bright,
                                         0.0, 1.0);
        aim(s, s.frequency, level, bright, colour);
        const double since = (at - strand.start).value;
        const double puff =
            strand.begin == Strand::Begin::attack && since >= 0.0 && since < 8.0 * voicing::puff_time.value
                ? voicing::puff_noise * strand.bite * std::min(1.0, since / 0.004) *
                      std::exp(-since / voicing::puff_time.value)
                : 0.0;
        const double fading = at > strand.end ? open : 1.0;
        noise_aim_ += (voicing::breath_noise * p * open + puff * fading) * strand.share;
    }

    void aim(Sounding& s, double f, double level, double bright, double colour) const noexcept {
        const double increment = f / rate_.value * 4294967296.0;
        const double cells = ReedTables::strengths - 1;
        if (!s.begun) {
            s.begun = true;
            s.increment = increment;
            s.bright = bright * cells;
            s.cell = std::min(static_cast<int>(s.bright), ReedTables::strengths - 2);
        }
        s.increment_step = (increment - s.increment) / tick_;
        // The mix may leave its cell only from the edge, or the four neighbours would change under a ramp.
        const double aimed = bright * cells;
        if (s.bright >= s.cell + 1.0 && aimed > s.bright && s.cell < ReedTables::strengths - 2) {
            move_cell(s, s.cell + 1);
        } else if (s.bright <= s.cell && aimed < s.bright && s.cell > 0) {
            move_cell(s, s.cell - 1);
        }
        s.bright = std::clamp(aimed, double(s.cell), s.cell + 1.0);
        const double upper = s.bright - s.cell;
        s.mix[0].aim(level * (1.0 - upper) * (1.0 - colour), tick_);
        s.mix[1].aim(level * (1.0 - upper) * colour, tick_);
        s.mix[2].aim(level * upper * (1.0 - colour), tick_);
        s.mix[3].aim(level * upper * colour, tick_);
    }

    /// At an edge all weight lies on one strength; it keeps its weight in the cell beside.
    static void move_cell(Sounding& s, int cell) noexcept {
        if (cell > s.cell) {
            s.mix[0] = s.mix[2];
            s.mix[1] = s.mix[3];
            s.mix[2] = s.mix[3] = {};
        } else {
            s.mix[2] = s.mix[0];
            s.mix[3] = s.mix[1];
            s.mix[0] = s.mix[1] = {};
        }
        s.cell = cell;
    }

    void add(Sounding& s) noexcept {
        const int bits = s.level->size_bits;
        const int shift = 32 - bits;
        const std::uint32_t mask = (1U << shift) - 1U;
        const float part = 1.0F / static_cast<float>(1U << shift);
        const float* const table = s.level->at.data() + 2 * s.cell;
        Four weight{s.mix[0].now, s.mix[1].now, s.mix[2].now, s.mix[3].now};
        const Four step{s.mix[0].step, s.mix[1].step, s.mix[2].step, s.mix[3].step};
        std::uint32_t phase = s.phase;
        // Whole numbers keep the cycle exact; the ramp of the pitch is rounded to one step a sample.
        auto increment = static_cast<std::uint32_t>(static_cast<std::int64_t>(s.increment));
        const auto increment_step = static_cast<std::uint32_t>(static_cast<std::int64_t>(s.increment_step));
        for (float& out : buffer_) {
            const float* const place = table + std::size_t{phase >> shift} * ReedTables::row;
            Four a;
            Four b;
            std::memcpy(&a, place, sizeof a);
            std::memcpy(&b, place + ReedTables::row, sizeof b);
            const float t = static_cast<float>(static_cast<std::int32_t>(phase & mask)) * part;
            const Four mixed_now = weight * (a + (b - a) * t);
            weight += step;
            out += (mixed_now[0] + mixed_now[2]) + (mixed_now[1] + mixed_now[3]);
            increment += increment_step;
            phase += increment;
        }
        s.phase = phase;
        s.increment += s.increment_step * tick_;
        for (int k = 0; k < 4; ++k) s.mix[k].now += s.mix[k].step * static_cast<float>(tick_);
    }

    // --- Breath, body, hand -----------------------------------------------------------------------

    [[nodiscard]] double hand_at(Seconds at) noexcept {
        while (wah_ < wahs_.size() && wahs_[wah_].end < at) ++wah_;
        // The hand closes a moment before the token, to open on it.
        constexpr Seconds ahead{0.020};
        if (wah_ >= wahs_.size() || at < wahs_[wah_].begin - ahead) return 1.0;
        const Wah& w = wahs_[wah_];
        const double x = std::clamp((at - w.begin) / std::max(w.end - w.begin, Seconds{0.01}), 0.0, 1.0);
        return x * x * (3.0 - 2.0 * x);
    }

    void set_hand() noexcept {
        const double corner =
            voicing::hand_closed.value * std::pow(voicing::hand_open / voicing::hand_closed, openness_);
        const double q = voicing::hand_closed_q + (voicing::hand_open_q - voicing::hand_closed_q) * openness_;
        hand_.set(Hz{corner}, q, rate_);
    }

    void finish(Seconds at) noexcept {
        const double wanted = hand_at(at);
        if (wanted != openness_) {
            const double pull = 1.0 - std::exp(-tick_ / (voicing::hand_smoothing.value * rate_.value));
            openness_ += (wanted - openness_) * pull;
            if (std::abs(wanted - openness_) < 1e-6) openness_ = wanted;
            set_hand();
        }
        noise_.aim(noise_aim_, tick_);
        // Copies live in registers; members would be written back and read again for every sample.
        float gain = noise_.now;
        const float gain_step = noise_.step;
        std::uint32_t random = random_;
        Biquad<float> noise_band = noise_band_;
        Biquad<float> low_cut = low_cut_;
        Biquad<float> body_low = body_low_;
        Biquad<float> body_high = body_high_;
        MovingLowPass hand = hand_;
        for (float& out : buffer_) {
            random = random * 1664525U + 1013904223U;  // Numerical Recipes' quick generator
            const float white = static_cast<float>(static_cast<std::int32_t>(random)) * 4.6566129e-10F;
            const float noise = noise_band(white) * gain;
            gain += gain_step;
            out = hand(body_high(body_low(low_cut(out + noise))));
        }
        random_ = random;
        noise_band_ = noise_band;
        low_cut_ = low_cut;
        body_low_ = body_low;
        body_high_ = body_high;
        hand_ = hand;
        noise_.now += noise_.step * static_cast<float>(tick_);
    }

    struct Wah {
        Seconds begin;
        Seconds end;
    };

    Performance performance_;
    std::vector<Strand> strands_;
    std::vector<Sounding> sounding_;
    std::vector<std::size_t> active_;
    std::vector<float> buffer_;
    std::vector<Wah> wahs_;
    Hz rate_;
    int tick_;
    std::int64_t length_;
    std::int64_t now_ = 0;  // ticks made
    std::size_t used_ = static_cast<std::size_t>(tick_);
    std::size_t next_ = 0;
    std::size_t wah_ = 0;
    int idle_ = 1 << 20;
    bool asleep_ = false;
    double noise_aim_ = 0.0;
    Ramp noise_;
    double openness_ = 1.0;
    std::uint32_t random_ = 20110;
    Biquad<float> body_low_, body_high_, low_cut_, noise_band_;
    MovingLowPass hand_;
};

ReedVoice::ReedVoice(const ReedTables& tables, const harp::Harp& harp, const Performance& performance,
                     Hz rate)
    : state_(std::make_unique<State>(tables, harp, performance, rate)) {}
ReedVoice::~ReedVoice() = default;
ReedVoice::ReedVoice(ReedVoice&&) noexcept = default;
ReedVoice& ReedVoice::operator=(ReedVoice&&) noexcept = default;

void ReedVoice::render(std::span<float> out) noexcept {
    state_->render(out);
}
std::int64_t ReedVoice::length() const noexcept {
    return state_->length();
}

std::vector<float> render_voice(const ReedTables& tables, const harp::Harp& harp,
                                const Performance& performance, Hz rate) {
    ReedVoice voice{tables, harp, performance, rate};
    std::vector<float> samples(static_cast<std::size_t>(voice.length()));
    voice.render(samples);
    return samples;
}

}  // namespace lw::sound
