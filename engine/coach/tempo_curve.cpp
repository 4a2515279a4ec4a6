// SPDX-License-Identifier: Apache-2.0
#include "engine/coach/tempo_curve.hpp"

#include <algorithm>
#include <cmath>

namespace lw::coach {
namespace {

/// How stiff the curve is: a wave of tempo of this many beats comes through at half its size. Stiffer and a player who
/// hurries is called early at one end and late at the other; softer and three late notes in a row vanish in it.
constexpr double half_passed_beats = 14.0;
/// An onset this far off still counts fully in the first look at the scatter; less is what hands do.
constexpr double least_scatter = 0.012;
constexpr int rounds = 12;
/// With fewer onsets a parabola bends after a single late one.
constexpr std::size_t least_for_drift = 7;

double median(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), middle, v.end());
    return *middle;
}

/// Solves A x = y for a symmetric A with two bands beside its diagonal (LDL').
std::vector<double> solve_banded(std::vector<double> d, std::vector<double> e, std::vector<double> f,
                                 std::vector<double> y) {
    const std::size_t n = d.size();  // e: first band, f: second band
    for (std::size_t i = 0; i < n; ++i) {
        if (i + 1 < n) {
            const double l1 = e[i] / d[i];
            d[i + 1] -= l1 * e[i];
            if (i + 2 < n) e[i + 1] -= l1 * f[i];
            y[i + 1] -= l1 * y[i];
            e[i] = l1;
        }
        if (i + 2 < n) {
            const double l2 = f[i] / d[i];
            d[i + 2] -= l2 * f[i];
            y[i + 2] -= l2 * y[i];
            f[i] = l2;
        }
    }
    for (std::size_t k = n; k-- > 0;) {
        y[k] /= d[k];
        if (k + 1 < n) y[k] -= e[k] * y[k + 1];
        if (k + 2 < n) y[k] -= f[k] * y[k + 2];
    }
    return y;
}

/// The smooth curve for given weights.
std::vector<double> smooth(const std::vector<double>& x, const std::vector<double>& y,
                           const std::vector<double>& weight) {
    const std::size_t n = x.size();
    std::vector<double> d(n), e(n, 0.0), f(n, 0.0), r(n);
    for (std::size_t i = 0; i < n; ++i) {
        const double room = 0.5 * (x[std::min(i + 1, n - 1)] - x[i == 0 ? 0 : i - 1]);
        d[i] = weight[i] * room + 1e-12;
        r[i] = weight[i] * room * y[i];
    }
    // Energy of a wave of L beats: (2 pi / L)^4 of its square; equal to the misses' at L = half_passed_beats.
    const double stiffness = std::pow(half_passed_beats / (2.0 * 3.14159265358979323846), 4.0);
    for (std::size_t i = 0; i + 2 < n; ++i) {
        const double h1 = x[i + 1] - x[i];
        const double h2 = x[i + 2] - x[i + 1];
        const double room = 0.5 * (h1 + h2);
        const double a = 1.0 / (h1 * room), c = 1.0 / (h2 * room), b = -a - c;
        const double k = stiffness * room;
        d[i] += k * a * a;
        d[i + 1] += k * b * b;
        d[i + 2] += k * c * c;
        e[i] += k * a * b;
        e[i + 1] += k * b * c;
        f[i] += k * a * c;
    }
    return solve_banded(std::move(d), std::move(e), std::move(f), std::move(r));
}

/// The line that most pairs of onsets agree on (Theil 1950, Sen 1968): half of the onsets may be anywhere.
std::vector<double> robust_line(const std::vector<double>& x, const std::vector<double>& y) {
    std::vector<double> slopes;
    const std::size_t reach = std::max<std::size_t>(1, 20000 / x.size());  // bounds the work on long takes
    for (std::size_t i = 0; i < x.size(); ++i)
        for (std::size_t j = i + 1; j < std::min(x.size(), i + 1 + reach); ++j)
            slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
    const double slope = median(std::move(slopes));
    std::vector<double> starts;
    for (std::size_t i = 0; i < x.size(); ++i) starts.push_back(y[i] - slope * x[i]);
    const double start = median(std::move(starts));
    std::vector<double> line;
    for (const double b : x) line.push_back(start + slope * b);
    return line;
}

/// How much each onset counts: Tukey's biweight of its distance from the curve. 1.4826 times the median distance is the
/// scatter of an even bell (Hampel 1974), 4.685 of it Tukey's usual cut. Early rounds look wider: the line that they
/// start from does not drift yet.
void weigh(const std::vector<double>& y, const std::vector<double>& curve, int round,
           std::vector<double>& weight) {
    std::vector<double> off(y.size());
    for (std::size_t i = 0; i < y.size(); ++i) off[i] = std::abs(y[i] - curve[i]);
    const double widen = round < 4 ? 4.0 - round * 0.75 : 1.0;
    const double cut = 4.685 * widen * std::max(least_scatter, 1.4826 * median(off));
    for (std::size_t i = 0; i < y.size(); ++i) {
        const double u = off[i] / cut;
        weight[i] = u < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
    }
}

/// The weighted parabola through the onsets (normal equations of three unknowns, about the middle beat).
std::vector<double> parabola(const std::vector<double>& x, const std::vector<double>& y,
                             const std::vector<double>& weight) {
    const double middle = 0.5 * (x.front() + x.back());
    const double half = 0.5 * (x.back() - x.front());
    double a[3][4] = {};
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double u = (x[i] - middle) / half;
        const double power[3] = {1.0, u, u * u};
        for (int r = 0; r < 3; ++r) {
            for (int c = 0; c < 3; ++c) a[r][c] += (weight[i] + 1e-9) * power[r] * power[c];
            a[r][3] += (weight[i] + 1e-9) * power[r] * y[i];
        }
    }
    for (int p = 0; p < 3; ++p)
        for (int r = 0; r < 3; ++r) {
            if (r == p) continue;
            const double k = a[r][p] / a[p][p];
            for (int c = p; c < 4; ++c) a[r][c] -= k * a[p][c];
        }
    std::vector<double> curve;
    for (const double b : x) {
        const double u = (b - middle) / half;
        curve.push_back(a[0][3] / a[0][0] + a[1][3] / a[1][1] * u + a[2][3] / a[2][2] * u * u);
    }
    return curve;
}

}  // namespace

TempoCurve::TempoCurve(std::span<const Sighting> sightings, double guess_seconds_a_beat) {
    std::vector<double> y;
    std::vector<double> counted;
    for (const Sighting& s : sightings) {
        if (!beats_.empty() && s.beat - beats_.back() < 1e-6) {  // one place, several onsets: their mean
            y.back() += (s.at.value - y.back()) / ++counted.back();
            continue;
        }
        beats_.push_back(s.beat);
        y.push_back(s.at.value);
        counted.push_back(1.0);
    }
    if (beats_.size() < 2) {
        const double beat = beats_.empty() ? 0.0 : beats_.front();
        const double time = y.empty() ? 0.0 : y.front();
        beats_ = {beat, beat + 1.0};
        seconds_ = {time, time + guess_seconds_a_beat};
        return;
    }
    std::vector<double> curve = robust_line(beats_, y);
    std::vector<double> weight(y.size(), 1.0);
    // An even change of tempo over the whole is found first; the smooth curve adds what is left. A smoother alone
    // would have to be soft to follow it, and would then swallow late notes at both ends.
    if (beats_.size() >= least_for_drift) {
        for (int round = 0; round < rounds; ++round) {
            weigh(y, curve, round, weight);
            curve = parabola(beats_, y, weight);
        }
    }
    const std::vector<double> base = curve;
    std::vector<double> rest(y.size());
    for (std::size_t i = 0; i < y.size(); ++i) rest[i] = y[i] - base[i];
    for (int round = 0; beats_.size() > 3 && round < rounds; ++round) {
        weigh(y, curve, round, weight);
        curve = smooth(beats_, rest, weight);
        for (std::size_t i = 0; i < y.size(); ++i) curve[i] += base[i];
    }
    // Time runs forward, whatever was heard.
    for (std::size_t i = 1; i < curve.size(); ++i)
        curve[i] =
            std::max(curve[i], curve[i - 1] + 0.05 * guess_seconds_a_beat * (beats_[i] - beats_[i - 1]));
    seconds_ = std::move(curve);
}

std::size_t TempoCurve::piece(double beat) const noexcept {
    const auto after = std::upper_bound(beats_.begin(), beats_.end(), beat);
    const auto i = static_cast<std::size_t>(after - beats_.begin());
    return std::clamp<std::size_t>(i, 1, beats_.size() - 1) - 1;
}

Seconds TempoCurve::at(double beat) const noexcept {
    if (beats_.size() < 2) return {};
    const std::size_t i = piece(beat);
    const double slope = (seconds_[i + 1] - seconds_[i]) / (beats_[i + 1] - beats_[i]);
    return {seconds_[i] + slope * (beat - beats_[i])};
}

double TempoCurve::beat_at(Seconds time) const noexcept {
    if (beats_.size() < 2) return 0.0;
    const auto after = std::upper_bound(seconds_.begin(), seconds_.end(), time.value);
    const std::size_t i =
        std::clamp<std::size_t>(static_cast<std::size_t>(after - seconds_.begin()), 1, seconds_.size() - 1) -
        1;
    const double slope = (beats_[i + 1] - beats_[i]) / (seconds_[i + 1] - seconds_[i]);
    return beats_[i] + slope * (time.value - seconds_[i]);
}

double TempoCurve::seconds_a_beat(double beat) const noexcept {
    // Over a beat either way, so that two onsets close together do not decide a tempo.
    return 0.5 * (at(beat + 1.0) - at(beat - 1.0)).value;
}

}  // namespace lw::coach
