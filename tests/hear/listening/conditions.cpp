// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/hear/listening/conditions.hpp"

#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstdint>
#include <cstring>
#include <kissfft/kissfft.hh>
#include <memory>
#include <numbers>
#include <stdexcept>

#include "tests/hear/listening/chance.hpp"
#include "tests/hear/listening/reed_samples.hpp"

namespace lw::listening {
namespace {

double gain_of(Decibels d) {
    return std::pow(10.0, d.value / 20.0);
}

/// y = x * h, as long as x. Overlap-add.
std::vector<float> convolve(std::span<const float> x, const std::vector<double>& h) {
    std::size_t size = 1;
    while (size < 2 * h.size()) size *= 2;
    const std::size_t hop = size - h.size() + 1;
    using Bins = std::vector<std::complex<double>>;
    const kissfft<double> forward(size, false);
    const kissfft<double> back(size, true);
    Bins in(size);
    Bins of_h(size);
    Bins of_x(size);
    for (std::size_t i = 0; i < h.size(); ++i) in[i] = h[i];
    forward.transform(in.data(), of_h.data());
    std::vector<double> y(x.size() + size);
    for (std::size_t at = 0; at < x.size(); at += hop) {
        std::fill(in.begin(), in.end(), 0.0);
        for (std::size_t i = 0; i < std::min(hop, x.size() - at); ++i) in[i] = x[at + i];
        forward.transform(in.data(), of_x.data());
        for (std::size_t i = 0; i < size; ++i) of_x[i] *= of_h[i];
        back.transform(of_x.data(), in.data());
        for (std::size_t i = 0; i < size; ++i) y[at + i] += in[i].real() / static_cast<double>(size);
    }
    return {y.begin(), y.begin() + std::ssize(x)};
}

struct Biquad {
    double b0, b1, b2, a1, a2;
    double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
    double operator()(double x) {
        const double y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
        x2 = x1, x1 = x, y2 = y1, y1 = y;
        return y;
    }
};

Biquad pass(Hz corner, double q, bool high) {
    const double w = 2.0 * std::numbers::pi * corner.value / take_rate;
    const double alpha = std::sin(w) / (2.0 * q);
    const double c = std::cos(w);
    const double a0 = 1.0 + alpha;
    const double side = (high ? 1.0 + c : 1.0 - c) / 2.0 / a0;
    return {side, (high ? -2.0 : 2.0) * side, side, -2.0 * c / a0, (1.0 - alpha) / a0};
}

/// A file in memory, as libsndfile reads and writes it.
struct Bytes {
    std::vector<std::uint8_t> data;
    sf_count_t at = 0;

    static Bytes& of(void* p) { return *static_cast<Bytes*>(p); }
    static SF_VIRTUAL_IO calls() {
        return {[](void* p) { return static_cast<sf_count_t>(of(p).data.size()); },
                [](sf_count_t offset, int whence, void* p) {
                    Bytes& b = of(p);
                    const sf_count_t from = whence == SEEK_SET   ? 0
                                            : whence == SEEK_CUR ? b.at
                                                                 : std::ssize(b.data);
                    return b.at = from + offset;
                },
                [](void* to, sf_count_t count, void* p) {
                    Bytes& b = of(p);
                    count = std::clamp<sf_count_t>(std::ssize(b.data) - b.at, 0, count);
                    std::memcpy(to, b.data.data() + b.at, static_cast<std::size_t>(count));
                    b.at += count;
                    return count;
                },
                [](const void* from, sf_count_t count, void* p) {
                    Bytes& b = of(p);
                    const std::size_t end = static_cast<std::size_t>(b.at + count);
                    if (b.data.size() < end) b.data.resize(end);
                    std::memcpy(b.data.data() + b.at, from, static_cast<std::size_t>(count));
                    b.at += count;
                    return count;
                },
                [](void* p) { return of(p).at; }};
    }
};

struct Close {
    void operator()(SNDFILE* f) const { sf_close(f); }
};

std::vector<float> coded(std::span<const float> samples) {
    Bytes bytes;
    SF_VIRTUAL_IO calls = Bytes::calls();
    SF_INFO info{};
    info.samplerate = static_cast<int>(take_rate);
    info.channels = 1;
    info.format = SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III;
    {
        const std::unique_ptr<SNDFILE, Close> file{sf_open_virtual(&calls, SFM_WRITE, &info, &bytes)};
        if (!file) throw std::runtime_error(std::string{"libsndfile writes no MP3: "} + sf_strerror(nullptr));
        int constant = SF_BITRATE_MODE_CONSTANT;
        sf_command(file.get(), SFC_SET_BITRATE_MODE, &constant, sizeof constant);
        // libsndfile spreads 320 to 32 kbit/s evenly over 0..1.
        double level = (320.0 - 64.0) / (320.0 - 32.0);
        sf_command(file.get(), SFC_SET_COMPRESSION_LEVEL, &level, sizeof level);
        if (sf_write_float(file.get(), samples.data(), std::ssize(samples)) != std::ssize(samples))
            throw std::runtime_error("libsndfile did not take the whole of an MP3");
    }
    bytes.at = 0;
    info = {};
    const std::unique_ptr<SNDFILE, Close> file{sf_open_virtual(&calls, SFM_READ, &info, &bytes)};
    if (!file) throw std::runtime_error("libsndfile cannot read its own MP3");
    std::vector<float> out(samples.size() + 8000);
    const sf_count_t got = sf_read_float(file.get(), out.data(), std::ssize(out));
    out.resize(static_cast<std::size_t>(std::max<sf_count_t>(0, got)));
    return out;
}

/// By how many samples coder and decoder delay together: where noise agrees best with what became of it.
std::ptrdiff_t delay_of_mp3() {
    constexpr std::ptrdiff_t most = 4000;  // LAME's and mpg123's delays together are below 2500
    support::Dice dice{1};
    std::vector<float> noise(24000);
    for (float& x : noise) x = static_cast<float>(0.1 * bell(dice));
    const std::vector<float> early = in_band(noise, {500.0}, {5000.0});
    const std::vector<float> late = coded(early);
    double best = 0.0;
    std::ptrdiff_t delay = 0;
    for (std::ptrdiff_t d = 0; d <= most; ++d) {
        double sum = 0.0;
        for (std::ptrdiff_t i = 4000; i < std::min<std::ptrdiff_t>(12000, std::ssize(late) - d); ++i)
            sum += static_cast<double>(late[i + d]) * early[i];
        if (sum > best) best = sum, delay = d;
    }
    return delay;
}

}  // namespace

double level_of(std::span<const float> samples) {
    double sum = 0.0;
    for (const float x : samples) sum += static_cast<double>(x) * x;
    return samples.empty() ? 0.0 : std::sqrt(sum / static_cast<double>(samples.size()));
}

void add_noise(std::vector<float>& samples, Decibels below, support::Dice& dice) {
    const double level = level_of(samples) / gain_of(below);
    for (float& x : samples) x += static_cast<float>(level * bell(dice));
}

std::vector<float> in_room(std::span<const float> samples, Seconds rt60, Decibels direct,
                           support::Dice& dice) {
    const auto length = static_cast<std::size_t>(rt60.value * take_rate);
    const auto gap = static_cast<std::size_t>(between(dice, 0.002, 0.008) * take_rate);
    std::vector<double> tail(length);
    double energy = 0.0;
    for (std::size_t i = gap; i < length; ++i) {
        // 60 dB are a factor of 1000 in pressure.
        tail[i] = bell(dice) * std::pow(1000.0, -static_cast<double>(i) / static_cast<double>(length));
        energy += tail[i] * tail[i];
    }
    const double gain = 1.0 / gain_of(direct) / std::sqrt(energy);
    for (double& x : tail) x *= gain;
    tail[0] = 1.0;
    return convolve(samples, tail);
}

std::vector<float> in_band(std::span<const float> samples, Hz low, Hz high) {
    // The two quality factors of a fourth-order Butterworth filter: 1 / (2 cos(pi/8)) and 1 / (2 cos(3 pi/8)).
    constexpr double first = 0.54119610;
    constexpr double second = 1.30656296;
    std::array<Biquad, 4> chain = {pass(low, first, true), pass(low, second, true), pass(high, first, false),
                                   pass(high, second, false)};
    std::vector<float> out(samples.size());
    for (std::size_t i = 0; i < samples.size(); ++i) {
        double x = samples[i];
        for (Biquad& filter : chain) x = filter(x);
        out[i] = static_cast<float>(x);
    }
    return out;
}

std::vector<float> through_mp3(std::span<const float> samples) {
    static const std::ptrdiff_t delay = delay_of_mp3();
    std::vector<float> out = coded(samples);
    out.erase(out.begin(), out.begin() + std::min(delay, std::ssize(out)));
    out.resize(samples.size());
    return out;
}

}  // namespace lw::listening
