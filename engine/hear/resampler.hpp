// SPDX-License-Identifier: Apache-2.0
//
// Any rate in, 16 kHz out: the rate at which the ear looks at sound. Private to the room.
//
// Band-limited interpolation by a windowed sinc (J. O. Smith, Digital Audio Resampling, from memory): each output
// sample is a dot product of the input around its place with a row of a table of kernels, or with a mix of two rows
// where it falls between them. The kernel keeps 20 zero crossings a side under a Kaiser window: what lies below
// 7 kHz passes, what would fold back below 7 kHz is 80 dB down (test: hear.Resampler). Its delay is taken out: output
// sample n stands at input time n * rate / 16000.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace lw::hear {

inline constexpr double ear_rate = 16000.0;

class Resampler {
  public:
    /// `rate` from 8000 to 192000; what lies outside is taken as the nearest of the two.
    explicit Resampler(double rate);

    /// At most this many samples a call of `step`.
    static constexpr std::size_t most_in = 1024;
    /// Takes the next samples, gives back those that are ready. Samples that are not finite become 0, those beyond
    /// +-8 are cut there. Holds until the next call.
    [[nodiscard]] std::span<const float> step(std::span<const float> in) noexcept;
    /// No more will come. Gives back the rest; all in all ceil(samples * 16000 / rate) come out.
    [[nodiscard]] std::span<const float> finish() noexcept;

  private:
    void ready(std::int64_t end) noexcept;

    double ratio_;  // input samples to one output sample
    int half_;      // input samples the kernel reaches to either side
    int phases_;
    std::vector<float> table_;  // (phases + 1) rows of 2 * half
    std::vector<float> input_;  // from input sample base_ on; zeros before the first
    std::int64_t base_;
    std::size_t held_;
    std::int64_t taken_ = 0;
    std::int64_t made_ = 0;
    std::vector<float> out_;
    std::size_t out_count_ = 0;
};

}  // namespace lw::hear
