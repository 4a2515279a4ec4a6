// SPDX-License-Identifier: Apache-2.0
#include "engine/hear/net.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <string_view>

#include "engine/hear/wide.hpp"
#ifdef __wasm_simd128__
#include <wasm_simd128.h>
#endif

namespace lw::hear {
namespace {

static_assert(std::endian::native == std::endian::little, "weights are read as they lie");

float sigmoid(float x) noexcept {
    return 1.0F / (1.0F + std::exp(-x));
}

/// std::tanh costs twice as much. Saturates, also where exp overflows.
float tanh_of(float x) noexcept {
    return 1.0F - 2.0F / (1.0F + std::exp(2.0F * x));
}

/// Four rows of `n` columns (a multiple of 16), one behind the other, times `in`. Whole numbers: the same sums either way.
#ifdef __wasm_simd128__
// clang 19 widens each product by itself; the machine adds up eight at once.
void four_products(const std::int8_t* rows, const std::int16_t* in, int n, std::int32_t* sums) noexcept {
    v128_t sum[4] = {};
    for (int c = 0; c < n; c += 16) {
        const v128_t in_low = wasm_v128_load(in + c);
        const v128_t in_high = wasm_v128_load(in + c + 8);
        for (int r = 0; r < 4; ++r) {
            const v128_t w = wasm_v128_load(rows + r * n + c);
            const v128_t low = wasm_i32x4_dot_i16x8(wasm_i16x8_extend_low_i8x16(w), in_low);
            const v128_t high = wasm_i32x4_dot_i16x8(wasm_i16x8_extend_high_i8x16(w), in_high);
            sum[r] = wasm_i32x4_add(sum[r], wasm_i32x4_add(low, high));
        }
    }
    for (int r = 0; r < 4; ++r)
        sums[r] = wasm_i32x4_extract_lane(sum[r], 0) + wasm_i32x4_extract_lane(sum[r], 1) +
                  wasm_i32x4_extract_lane(sum[r], 2) + wasm_i32x4_extract_lane(sum[r], 3);
}
#else
LICKWRIGHT_WIDE void four_products(const std::int8_t* rows, const std::int16_t* in, int n,
                                   std::int32_t* sums) noexcept {
    const std::int8_t* w0 = rows;
    const std::int8_t* w1 = w0 + n;
    const std::int8_t* w2 = w1 + n;
    const std::int8_t* w3 = w2 + n;
    std::int32_t s0 = 0, s1 = 0, s2 = 0, s3 = 0;
    for (int c = 0; c < n; ++c) {
        const std::int32_t v = in[c];
        s0 += w0[c] * v;
        s1 += w1[c] * v;
        s2 += w2[c] * v;
        s3 += w3[c] * v;
    }
    sums[0] = s0;
    sums[1] = s1;
    sums[2] = s2;
    sums[3] = s3;
}
#endif

/// Takes a file apart; every read says whether it was there.
class Bytes {
  public:
    explicit Bytes(std::span<const std::uint8_t> left) : left_(left) {}
    [[nodiscard]] bool empty() const noexcept { return left_.empty(); }
    [[nodiscard]] bool number(std::uint32_t& n) noexcept { return raw(&n, sizeof n); }
    [[nodiscard]] bool raw(void* to, std::size_t size) noexcept {
        if (left_.size() < size) return false;
        if (size > 0) std::memcpy(to, left_.data(), size);
        left_ = left_.subspan(size);
        return true;
    }
    [[nodiscard]] std::size_t left() const noexcept { return left_.size(); }

  private:
    std::span<const std::uint8_t> left_;
};

constexpr std::uint32_t most_rows = 4096;  // far above any net that fits the page

}  // namespace

struct Net::Parts {
    struct Tensor {
        std::vector<float> values;         // of a bias; of a matrix its scales
        std::vector<std::int8_t> weights;  // of a matrix
        int rows = 0, columns = 0;         // a bias has 0 columns
        [[nodiscard]] Dense dense(const Tensor& bias) const {
            return {weights, values, bias.values, columns};
        }
    };
    Tensor enc, enc_bias, enc2, enc2_bias, from_input, from_input_bias, from_state, from_state_bias, out,
        out_bias, reed, reed_bias, reed_out, reed_out_bias;

    [[nodiscard]] Tensor* named(std::string_view name) noexcept {
        if (name == "enc.weight") return &enc;
        if (name == "enc.bias") return &enc_bias;
        if (name == "enc2.weight") return &enc2;
        if (name == "enc2.bias") return &enc2_bias;
        if (name == "gru.weight_ih") return &from_input;
        if (name == "gru.bias_ih") return &from_input_bias;
        if (name == "gru.weight_hh") return &from_state;
        if (name == "gru.bias_hh") return &from_state_bias;
        if (name == "out.weight") return &out;
        if (name == "out.bias") return &out_bias;
        if (name == "reed.weight") return &reed;
        if (name == "reed.bias") return &reed_bias;
        if (name == "reed_out.weight") return &reed_out;
        if (name == "reed_out.bias") return &reed_out_bias;
        return nullptr;
    }

    [[nodiscard]] bool tensor(Bytes& bytes) {
        std::uint32_t length = 0, dims = 0, kind = 0;
        char name[32] = {};
        std::uint32_t side[2] = {0, 0};
        if (!bytes.number(length) || length > sizeof name || !bytes.raw(name, length)) return false;
        if (!bytes.number(dims) || dims < 1 || dims > 2) return false;
        for (std::uint32_t d = 0; d < dims; ++d)
            if (!bytes.number(side[d]) || side[d] < 1 ||
                side[d] > (d == 0 ? most_rows : std::uint32_t{Dense::most_columns}))
                return false;
        if (!bytes.number(kind) || kind > 1) return false;
        Tensor* t = named({name, length});
        if (t == nullptr) return false;
        const std::size_t columns = dims == 2 ? side[1] : 1;
        const std::size_t count = side[0] * columns;
        if (bytes.left() < count) return false;        // before anything is made room for
        if ((kind == 1) != (dims == 2)) return false;  // matrices are int8, biases are not
        t->rows = static_cast<int>(side[0]);
        t->columns = dims == 2 ? static_cast<int>(side[1]) : 0;
        t->values.resize(side[0]);
        if (!bytes.raw(t->values.data(), t->values.size() * sizeof(float))) return false;
        if (dims == 1) return true;
        t->weights.resize(count);
        return bytes.raw(t->weights.data(), count);
    }

    [[nodiscard]] bool fit() const noexcept {
        const auto pair = [](const Tensor& w, const Tensor& b) {
            return w.columns > 0 && b.columns == 0 && w.rows == b.rows;
        };
        if (!pair(enc, enc_bias) || !pair(from_input, from_input_bias) ||
            !pair(from_state, from_state_bias) || !pair(out, out_bias) || !pair(reed, reed_bias) ||
            !pair(reed_out, reed_out_bias))
            return false;
        const bool two = enc2.rows > 0;
        if (two && (!pair(enc2, enc2_bias) || enc2.columns != enc.rows)) return false;
        return enc.columns % feature_count == 0 && from_input.columns == (two ? enc2.rows : enc.rows) &&
               from_state.rows == 3 * from_state.columns && from_input.rows == from_state.rows &&
               out.columns == from_state.columns && out.rows == outputs - 1 &&
               reed.columns == from_state.columns && reed_out.columns == reed.rows && reed_out.rows == 1;
    }
};

Dense::Dense(std::span<const std::int8_t> weights, std::span<const float> scale, std::span<const float> bias,
             int columns)
    : columns_(columns) {
    const std::size_t rows = (bias.size() + side_by_side - 1) / side_by_side * side_by_side;
    const auto from = static_cast<std::size_t>(columns);
    const std::size_t to = (from + 15) / 16 * 16;
    weights_.assign(rows * to, 0);
    for (std::size_t r = 0; r < bias.size(); ++r)
        std::copy_n(weights.begin() + static_cast<std::ptrdiff_t>(r * from), from,
                    weights_.begin() + static_cast<std::ptrdiff_t>(r * to));
    scale_.assign(scale.begin(), scale.end());
    scale_.resize(rows, 0.0F);
    bias_.assign(bias.begin(), bias.end());
    bias_.resize(rows, 0.0F);
    input_.assign(to, 0);
}

void Dense::operator()(const float* x, float* y) noexcept {
    float largest = 1e-9F;
    for (int c = 0; c < columns_; ++c) largest = std::max(largest, std::abs(x[c]));
    const float steps = 16383.0F / largest;
    std::int16_t* in = input_.data();
    for (int c = 0; c < columns_; ++c) {
        const float v = x[c] * steps;
        in[c] = static_cast<std::int16_t>(v + (v < 0.0F ? -0.5F : 0.5F));
    }
    const float step = largest / 16383.0F;
    const std::size_t n = input_.size();
    for (std::size_t r = 0; r < bias_.size(); r += side_by_side) {
        std::array<std::int32_t, side_by_side> sums;
        four_products(&weights_[r * n], in, static_cast<int>(n), sums.data());
        for (std::size_t i = 0; i < side_by_side; ++i)
            y[r + i] = bias_[r + i] + scale_[r + i] * step * static_cast<float>(sums[i]);
    }
}

Net::Net(Parts&& p)
    : context_(p.enc.columns / feature_count),
      from_input_(p.from_input.dense(p.from_input_bias)),
      from_state_(p.from_state.dense(p.from_state_bias)),
      out_(p.out.dense(p.out_bias)),
      reed_(p.reed.dense(p.reed_bias)),
      reed_out_(p.reed_out.dense(p.reed_out_bias)),
      hidden_(p.from_state.columns) {
    dense_.push_back(p.enc.dense(p.enc_bias));
    if (p.enc2.rows > 0) dense_.push_back(p.enc2.dense(p.enc2_bias));
    seen_.assign(static_cast<std::size_t>(p.enc.columns), 0.0F);
    std::size_t widest = 0;
    for (const Dense& d : dense_) widest = std::max(widest, d.padded_rows());
    a_.assign(widest, 0.0F);
    b_.assign(widest, 0.0F);
    gates_in_.assign(from_input_.padded_rows(), 0.0F);
    gates_state_.assign(from_state_.padded_rows(), 0.0F);
    state_.assign(static_cast<std::size_t>(hidden_), 0.0F);
    reed_state_.assign(reed_.padded_rows(), 0.0F);
    logits_.assign(out_.padded_rows() + reed_out_.padded_rows(), 0.0F);
}

std::optional<Net> Net::read(std::span<const std::uint8_t> file) {
    Bytes bytes(file);
    char magic[8];
    if (!bytes.raw(magic, sizeof magic) || std::memcmp(magic, "LWEAR1\n\0", sizeof magic) != 0)
        return std::nullopt;
    Parts parts;
    while (!bytes.empty())
        if (!parts.tensor(bytes)) return std::nullopt;
    if (!parts.fit()) return std::nullopt;
    return Net(std::move(parts));
}

std::span<const float> Net::step(std::span<const float, feature_count> features) noexcept {
    // The frames before the first are taken to be like it.
    if (!started_)
        for (int i = 0; i < context_; ++i)
            std::copy(features.begin(), features.end(), seen_.begin() + i * feature_count);
    else {
        std::copy(seen_.begin() + feature_count, seen_.end(), seen_.begin());
        std::copy(features.begin(), features.end(), seen_.end() - feature_count);
    }
    started_ = true;

    const float* x = seen_.data();
    for (Dense& d : dense_) {
        std::vector<float>& y = x == a_.data() ? b_ : a_;
        d(x, y.data());
        for (float& v : y) v = std::max(v, 0.0F);
        x = y.data();
    }
    from_input_(x, gates_in_.data());
    from_state_(state_.data(), gates_state_.data());
    const auto h = static_cast<std::size_t>(hidden_);
    for (std::size_t i = 0; i < h; ++i) {
        const float r = sigmoid(gates_in_[i] + gates_state_[i]);
        const float z = sigmoid(gates_in_[h + i] + gates_state_[h + i]);
        const float n = tanh_of(gates_in_[2 * h + i] + r * gates_state_[2 * h + i]);
        state_[i] = n + z * (state_[i] - n);
    }
    out_(state_.data(), logits_.data());
    reed_(state_.data(), reed_state_.data());
    for (float& v : reed_state_) v = std::max(v, 0.0F);
    reed_out_(reed_state_.data(), &logits_[outputs - 1]);
    return {logits_.data(), outputs};
}

void LearnedSalience::step(const View& view, Evidence& e) noexcept {
    const std::span<const float> y = net_.step(view.features);
    for (std::size_t i = 0; i < sounding_bins; ++i) e.sounding[i] = packed(y[i]);
    for (std::size_t i = 0; i < onset_bins; ++i) e.onset[i] = packed(y[sounding_bins + i]);
    e.voice = packed(y[sounding_bins + onset_bins]);
    e.attack = packed(y[sounding_bins + onset_bins + 1]);
    e.reed = packed(y[sounding_bins + onset_bins + 2]);
}

}  // namespace lw::hear
