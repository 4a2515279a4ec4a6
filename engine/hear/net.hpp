// SPDX-License-Identifier: Apache-2.0
//
// The learned half of the ear: a small net that tools/ear trains, run here. Private to the room.
//
// One or two dense layers with rectifiers over the features of the last frames, a gated recurrent unit (K. Cho et al.,
// Learning phrase representations using RNN encoder-decoder, 2014, in the form of PyTorch: gates r, z, n, both biases),
// a dense layer to log-odds, and beside it a small one of its own for whether a free reed plays at all. Weights are rows of int8 with a scale each (ear.weights) and stay so: what goes into a layer
// is rounded to 14 bits of its largest value, sums run in whole numbers. That is quick, keeps the net in the cache, and
// gives the same sums on every machine. Nothing allocates after reading.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "engine/hear/evidence.hpp"

namespace lw::hear {

/// y = W x + b.
class Dense {
  public:
    static constexpr int most_columns = 1000;  // 127 * 16383 * 1000 still fits a sum of 32 bits
    static constexpr int side_by_side = 4;     // rows that share a pass over the input

    /// `rows` row by row, each to be multiplied by its `scale`.
    Dense(std::span<const std::int8_t> weights, std::span<const float> scale, std::span<const float> bias,
          int columns);
    /// `x` has `columns` values, `y` room for `padded_rows`; the rows beyond the last become 0.
    void operator()(const float* x, float* y) noexcept;
    [[nodiscard]] std::size_t padded_rows() const noexcept { return bias_.size(); }

  private:
    int columns_;
    std::vector<std::int8_t> weights_;
    std::vector<float> scale_, bias_;
    std::vector<std::int16_t> input_;  // x, rounded, with zeros behind it up to 16 columns
};

class Net {
  public:
    static constexpr int outputs = sounding_bins + onset_bins + 3;

    /// Reads a weights file; nothing when it is not one or its sizes do not fit together. Every count in it is checked
    /// against what is there.
    [[nodiscard]] static std::optional<Net> read(std::span<const std::uint8_t> file);
    /// One frame further: log-odds about the frame Salience::lookahead before it, in the order sounding, onset, voice,
    /// attack, reed.
    [[nodiscard]] std::span<const float> step(std::span<const float, feature_count> features) noexcept;

  private:
    struct Parts;
    explicit Net(Parts&& parts);

    int context_;  // frames that the first layer sees, oldest first
    std::vector<Dense> dense_;
    Dense from_input_, from_state_, out_, reed_, reed_out_;
    int hidden_;
    std::vector<float> seen_;  // features of the last `context_` frames
    bool started_ = false;
    std::vector<float> a_, b_, gates_in_, gates_state_, state_, reed_state_, logits_;
};

class LearnedSalience final : public Salience {
  public:
    explicit LearnedSalience(Net net) : net_(std::move(net)) {}
    void step(const View& view, Evidence& about_earlier) noexcept override;

  private:
    Net net_;
};

}  // namespace lw::hear
