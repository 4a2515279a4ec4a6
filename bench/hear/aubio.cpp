// SPDX-License-Identifier: GPL-3.0-or-later
#include <aubio/aubio.h>

#include <ctime>

#include "bench/hear/contender.hpp"

namespace lw::bench {
namespace {

using listening::Take;
using listening::take_rate;

constexpr uint_t pitch_window = 2048;  // aubio's own default; 43 ms hold five periods of low C
constexpr uint_t onset_window = 1024;
constexpr uint_t hop = 256;
constexpr Seconds late{0.022};

double cpu_seconds() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// Calls `work` with every hop of the sound.
template <class Work>
void every_hop(const std::vector<float>& samples, Work work) {
    fvec_t* in = new_fvec(hop);
    for (std::size_t at = 0; at + hop <= samples.size(); at += hop) {
        for (uint_t i = 0; i < hop; ++i) fvec_set_sample(in, samples[at + i], i);
        work(in, static_cast<double>(at) / take_rate);
    }
    del_fvec(in);
}

class Yinfft {
  public:
    Yinfft() : out_(new_fvec(1)) {
        char method[] = "yinfft";
        pitch_ = new_aubio_pitch(method, pitch_window, hop, static_cast<uint_t>(take_rate));
        char unit[] = "Hz";
        aubio_pitch_set_unit(pitch_, unit);
        aubio_pitch_set_silence(pitch_, -60.0F);
    }
    Yinfft(const Yinfft&) = delete;
    Yinfft& operator=(const Yinfft&) = delete;
    ~Yinfft() {
        del_aubio_pitch(pitch_);
        del_fvec(out_);
    }
    double operator()(const fvec_t* in) {
        aubio_pitch_do(pitch_, in, out_);
        return fvec_get_sample(out_, 0);
    }

  private:
    aubio_pitch_t* pitch_;
    fvec_t* out_;
};

class Aubio final : public Contender {
  public:
    std::string name() const override { return "aubio"; }
    Seconds spent() const override { return {spent_}; }

    std::vector<hear::Heard> hear(std::span<const Take> takes) override {
        std::vector<hear::Heard> all;
        const double begin = cpu_seconds();
        for (const Take& take : takes) all.push_back(notes_of_track(track(take), take.phrase.harp, late));
        spent_ += cpu_seconds() - begin;
        return all;
    }

  private:
    static Track track(const Take& take) {
        Track track;
        Yinfft pitch;
        char method[] = "default";
        aubio_onset_t* onset = new_aubio_onset(method, onset_window, hop, static_cast<uint_t>(take_rate));
        aubio_onset_set_silence(onset, -60.0F);
        fvec_t* found = new_fvec(1);
        every_hop(take.samples, [&](const fvec_t* in, double at) {
            const double hz = pitch(in);
            // The window ends with this hop: what it hears lies in its middle.
            const double middle = at + (hop - pitch_window / 2.0) / take_rate;
            // A harp from low C to the top of a high G.
            track.frames.push_back({{middle}, {hz > 120.0 && hz < 3400.0 ? hz : 0.0}});
            aubio_onset_do(onset, in, found);
            if (fvec_get_sample(found, 0) > 0.0F) track.onsets.push_back({aubio_onset_get_last_s(onset)});
        });
        del_fvec(found);
        del_aubio_onset(onset);
        return track;
    }

    double spent_ = 0.0;
};

}  // namespace

std::unique_ptr<Contender> aubio_ear() {
    return std::make_unique<Aubio>();
}

Seconds yinfft_alone(std::span<const Take> takes) {
    double heard = 0.0;
    const double begin = cpu_seconds();
    for (const Take& take : takes) {
        Yinfft pitch;
        every_hop(take.samples, [&](const fvec_t* in, double) { heard += pitch(in); });
    }
    const double spent = cpu_seconds() - begin;
    return {heard > 0.0 ? spent : 0.0};
}

}  // namespace lw::bench
