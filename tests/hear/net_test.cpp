// SPDX-License-Identifier: GPL-3.0-or-later
#include "engine/hear/net.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <fstream>
#include <iterator>
#include <string>

#include "engine/hear/ear.hpp"
#include "tests/hear/sounds.hpp"

namespace lw::hear {
namespace {

using Bytes = std::vector<std::uint8_t>;

void put(Bytes& b, const void* from, std::size_t size) {
    const auto* p = static_cast<const std::uint8_t*>(from);
    b.insert(b.end(), p, p + size);
}
void put(Bytes& b, std::uint32_t n) {
    put(b, &n, sizeof n);
}

struct Matrix {
    int rows = 0, columns = 0;
    std::vector<double> w, bias;
    [[nodiscard]] std::vector<double> operator()(const std::vector<double>& x) const {
        std::vector<double> y = bias;
        for (int r = 0; r < rows; ++r)
            for (int c = 0; c < columns; ++c)
                y[static_cast<std::size_t>(r)] +=
                    w[static_cast<std::size_t>(r * columns + c)] * x[static_cast<std::size_t>(c)];
        return y;
    }
};

/// Random weights, written as tools/ear writes them: int8 rows with a scale each, biases as floats.
Matrix random_matrix(Bytes& file, const std::string& weight, const std::string& bias, int rows, int columns,
                     test::Chance& chance) {
    Matrix m{rows, columns, {}, {}};
    put(file, static_cast<std::uint32_t>(weight.size()));
    put(file, weight.data(), weight.size());
    for (const int n : {2, rows, columns, 1}) put(file, static_cast<std::uint32_t>(n));
    std::vector<float> scale(static_cast<std::size_t>(rows));
    for (float& s : scale)
        s = (0.5F + 0.4F * chance.sample()) / (64.0F * std::sqrt(static_cast<float>(columns)));
    put(file, scale.data(), scale.size() * sizeof(float));
    for (int i = 0; i < rows * columns; ++i) {
        const auto q = static_cast<std::int8_t>(chance.below(255) - 127);
        put(file, &q, 1);
        m.w.push_back(static_cast<double>(scale[static_cast<std::size_t>(i / columns)]) * q);
    }
    put(file, static_cast<std::uint32_t>(bias.size()));
    put(file, bias.data(), bias.size());
    for (const int n : {1, rows, 0}) put(file, static_cast<std::uint32_t>(n));
    for (int r = 0; r < rows; ++r) {
        const float b = 0.3F * chance.sample();
        put(file, &b, sizeof b);
        m.bias.push_back(static_cast<double>(b));
    }
    return m;
}

Bytes magic() {
    Bytes file;
    put(file, "LWEAR1\n\0", 8);
    return file;
}

double sigmoid(double x) {
    return 1.0 / (1.0 + std::exp(-x));
}

// The net written out in doubles, gate by gate, beside the fast one; sizes that are no multiple of a block.
TEST(Net, EqualsTheSumsWrittenOut) {
    for (const auto& [context, first, second, hidden] :
         {std::array{1, 24, 0, 16}, std::array{3, 37, 21, 29}, std::array{2, 16, 40, 7}}) {
        test::Chance chance(static_cast<std::uint64_t>(first));
        Bytes file = magic();
        const Matrix enc = random_matrix(file, "enc.weight", "enc.bias", first, 180 * context, chance);
        Matrix enc2;
        if (second > 0) enc2 = random_matrix(file, "enc2.weight", "enc2.bias", second, first, chance);
        const int in = second > 0 ? second : first;
        const Matrix ih = random_matrix(file, "gru.weight_ih", "gru.bias_ih", 3 * hidden, in, chance);
        const Matrix hh = random_matrix(file, "gru.weight_hh", "gru.bias_hh", 3 * hidden, hidden, chance);
        const Matrix out = random_matrix(file, "out.weight", "out.bias", Net::outputs - 1, hidden, chance);
        const Matrix reed = random_matrix(file, "reed.weight", "reed.bias", 6, hidden, chance);
        const Matrix reed_out = random_matrix(file, "reed_out.weight", "reed_out.bias", 1, 6, chance);
        std::optional<Net> net = Net::read(file);
        ASSERT_TRUE(net.has_value());

        std::vector<std::array<float, feature_count>> frames(12);
        for (auto& f : frames)
            for (float& x : f) x = chance.sample();
        std::vector<double> state(static_cast<std::size_t>(hidden), 0.0);
        for (std::size_t t = 0; t < frames.size(); ++t) {
            std::vector<double> x;
            for (int k = context - 1; k >= 0; --k)
                for (const float v :
                     frames[t >= static_cast<std::size_t>(k) ? t - static_cast<std::size_t>(k) : 0])
                    x.push_back(static_cast<double>(v));
            x = enc(x);
            for (double& v : x) v = std::max(0.0, v);
            if (second > 0) {
                x = enc2(x);
                for (double& v : x) v = std::max(0.0, v);
            }
            const std::vector<double> a = ih(x), b = hh(state);
            for (int i = 0; i < hidden; ++i) {
                const auto k = static_cast<std::size_t>(i);
                const auto h = static_cast<std::size_t>(hidden);
                const double r = sigmoid(a[k] + b[k]);
                const double z = sigmoid(a[h + k] + b[h + k]);
                const double n = std::tanh(a[2 * h + k] + r * b[2 * h + k]);
                state[k] = (1.0 - z) * n + z * state[k];
            }
            std::vector<double> want = out(state), head = reed(state);
            for (double& v : head) v = std::max(0.0, v);
            want.push_back(reed_out(head)[0]);
            const std::span<const float> got = net->step(frames[t]);
            ASSERT_EQ(got.size(), want.size());
            for (std::size_t i = 0; i < want.size(); ++i)
                ASSERT_NEAR(static_cast<double>(got[i]), want[i], 2e-3) << t;
        }
    }
}

TEST(Net, RefusesWhatIsNoWeightsFile) {
    test::Chance chance(3);
    Bytes file = magic();
    (void)random_matrix(file, "enc.weight", "enc.bias", 8, 180, chance);
    (void)random_matrix(file, "gru.weight_ih", "gru.bias_ih", 12, 8, chance);
    (void)random_matrix(file, "gru.weight_hh", "gru.bias_hh", 12, 4, chance);
    (void)random_matrix(file, "out.weight", "out.bias", Net::outputs - 1, 4, chance);
    (void)random_matrix(file, "reed.weight", "reed.bias", 3, 4, chance);
    (void)random_matrix(file, "reed_out.weight", "reed_out.bias", 1, 3, chance);
    ASSERT_TRUE(Net::read(file).has_value());
    for (std::size_t n = 0; n < file.size(); ++n)
        ASSERT_FALSE(Net::read(std::span(file).first(n)).has_value()) << n << " bytes of " << file.size();
    Bytes more = file;
    more.push_back(0);
    EXPECT_FALSE(Net::read(more).has_value());
    // Sizes that contradict each other: a state of 4 that the last layer takes for 5.
    Bytes other = magic();
    (void)random_matrix(other, "enc.weight", "enc.bias", 8, 180, chance);
    (void)random_matrix(other, "gru.weight_ih", "gru.bias_ih", 12, 8, chance);
    (void)random_matrix(other, "gru.weight_hh", "gru.bias_hh", 12, 4, chance);
    (void)random_matrix(other, "out.weight", "out.bias", Net::outputs - 1, 5, chance);
    (void)random_matrix(other, "reed.weight", "reed.bias", 3, 4, chance);
    (void)random_matrix(other, "reed_out.weight", "reed_out.bias", 1, 3, chance);
    EXPECT_FALSE(Net::read(other).has_value());
}

// Features and log-odds as PyTorch computed them for the same second of sound (tools/ear/vectors.py).
TEST(Net, FrontEndAndNetAgreeWithTheTrainingProgram) {
    std::ifstream in(LICKWRIGHT_SOURCE_DIR "/tests/hear/vectors/ear.vectors", std::ios::binary);
    const Bytes file{std::istreambuf_iterator<char>(in), {}};
    ASSERT_GT(file.size(), 28U);
    ASSERT_EQ(std::memcmp(file.data(), "LWVEC1\n\0", 8), 0);
    std::uint32_t head[5];
    std::memcpy(head, &file[8], sizeof head);
    const auto [samples, frames, step, features, outputs] = std::to_array(head);
    ASSERT_EQ(features, static_cast<std::uint32_t>(feature_count));
    ASSERT_EQ(outputs, static_cast<std::uint32_t>(Net::outputs));
    ASSERT_EQ(file.size(), 28 + 2 * samples + 4 * frames * (features + outputs));
    std::vector<float> sound;
    for (std::uint32_t i = 0; i < samples; ++i) {
        std::int16_t v = 0;
        std::memcpy(&v, &file[28 + 2 * i], 2);
        sound.push_back(static_cast<float>(v) / 32768.0F);
    }
    sound.resize(sound.size() + 4096, 0.0F);
    std::vector<float> want(frames * (features + outputs));
    std::memcpy(want.data(), &file[28 + 2 * samples], 4 * want.size());

    std::ifstream weights(LICKWRIGHT_SOURCE_DIR "/engine/hear/ear.weights", std::ios::binary);
    std::optional<Net> net = Net::read(Bytes{std::istreambuf_iterator<char>(weights), {}});
    ASSERT_TRUE(net.has_value());
    FrontEnd front;
    View v;
    std::uint32_t frame = 0;
    for (std::size_t i = 0; i < sound.size();) {
        i += front.take(std::span(sound).subspan(i));
        while (front.next(v)) {
            const std::span<const float> logits = net->step(v.features);
            if (frame % step == 0 && frame / step < frames) {
                const float* f = &want[frame / step * features];
                const float* o = &want[frames * features + frame / step * outputs];
                for (std::size_t k = 0; k < features; ++k)
                    ASSERT_NEAR(v.features[k], f[k], 1e-3F) << frame << ' ' << k;
                for (std::size_t k = 0; k < outputs; ++k)
                    ASSERT_NEAR(logits[k], o[k], 0.05F) << frame << ' ' << k;
            }
            ++frame;
        }
    }
    EXPECT_GE(frame, frames * step - step + 1);
}

TEST(Net, IsBuiltIn) {
    EXPECT_NE(learned_salience(), nullptr);
}

}  // namespace
}  // namespace lw::hear
