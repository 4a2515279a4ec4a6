// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "engine/draw/breath_line.hpp"
#include "workshop/listen/chips.hpp"
#include "workshop/listen/picture.hpp"

namespace lw::listen {
namespace {

using draw::Ink;
using draw::Point;

// Points. Two traces under each line, as high as the line's own half, so that none outweighs the other.
constexpr double above_panel = 8.0, pitch_height = 54.0, between = 6.0, wave_height = 30.0,
                 below_panel = 16.0;
constexpr double panel = above_panel + pitch_height + between + wave_height + below_panel;
constexpr double small_words = 7.2;

constexpr double margin = 12.0;  // points, right of the last bar

class HeardPicture {
  public:
    HeardPicture(const Listened& listened, double width) : l_(listened) {
        draw::LineChoices choices;
        choices.width = width;
        picture_ = draw::breath_line(l_.draft.lick, choices);
        find_times();
    }

    draw::Picture run() {
        make_room();
        find_range();
        for (std::size_t s = 0; s < picture_.systems.size(); ++s) draw_panel(s);
        mark_checks();
        double right = 0.0;  // a short draft does not fill the line
        for (const draw::Command& c : picture_.commands) right = std::max(right, c.box.right());
        picture_.width = std::min(picture_.width, right + margin);
        return std::move(picture_);
    }

  private:
    /// Where times lie on the written line: at every beat and every note.
    void find_times() {
        for (std::size_t k = 0; k < l_.beat.beats.size(); ++k)
            anchors_.push_back({l_.beat.beats[k].value,
                                static_cast<double>(l_.beat.first_beat + static_cast<std::int64_t>(k))});
        for (std::size_t i = 0; i < l_.heard.notes.size(); ++i)
            if (!l_.beat.notes[i].shared)
                anchors_.push_back({(l_.heard.notes[i].onset - l_.beat.notes[i].off).value,
                                    l_.beat.notes[i].at.value.value()});
        std::sort(anchors_.begin(), anchors_.end());
        std::vector<std::pair<double, double>> rising;
        for (const auto& a : anchors_)
            if (rising.empty() ||
                (a.first > rising.back().first + 1e-6 && a.second > rising.back().second + 1e-9))
                rising.push_back(a);
        anchors_ = std::move(rising);
        bar_starts_ = {0.0};
        for (const lick::Bar& bar : l_.draft.lick.bars)
            bar_starts_.push_back(bar_starts_.back() + bar.length.value.value());
        // The draft begins at a whole bar at or before the first note.
        const double first = anchors_.empty() ? 0.0 : anchors_.front().second;
        const double bar = static_cast<double>(l_.draft.lick.head.meter.beats());
        const bool pickup = !l_.draft.lick.bars.empty() && l_.draft.lick.bars.front().pickup;
        const double begin = pickup ? -bar_starts_[1] : std::floor(first / bar) * bar;
        for (double& b : bar_starts_) b += begin;
    }

    [[nodiscard]] double beat_at(double time) const {
        if (anchors_.size() < 2) return 0.0;
        auto after = std::upper_bound(anchors_.begin(), anchors_.end(), std::pair{time, 1e300});
        after = std::clamp(after, anchors_.begin() + 1, anchors_.end() - 1);
        const auto [t1, b1] = *after;
        const auto [t0, b0] = *(after - 1);
        return b0 + (b1 - b0) * (time - t0) / (t1 - t0);
    }
    /// Nothing before the first bar and after the last.
    [[nodiscard]] std::optional<draw::Spot> spot(double time) const {
        const double beat = beat_at(time);
        if (beat < bar_starts_.front() || beat > bar_starts_.back()) return std::nullopt;
        const auto after = std::upper_bound(bar_starts_.begin(), bar_starts_.end(), beat);
        const auto bar = std::min<std::size_t>(static_cast<std::size_t>(after - bar_starts_.begin()),
                                               bar_starts_.size() - 1) -
                         1;
        constexpr std::int64_t fine = 4096;
        const auto at = static_cast<std::int64_t>(std::lround((beat - bar_starts_[bar]) * fine));
        return draw::spot_at(picture_, bar, Beats{Fraction{at, fine}});
    }

    /// Every line moves down by the panels above it.
    void make_room() {
        std::vector<double> middles;
        for (const draw::System& s : picture_.systems) middles.push_back(s.box.y);
        for (draw::Command& c : picture_.commands) {
            std::size_t system = 0;
            const double y = c.box.y + 0.5 * c.box.height;
            for (std::size_t s = 1; s < middles.size(); ++s)
                if (y >= middles[s] - 1.0) system = s;
            draw::shift(c, 0.0, static_cast<double>(system) * panel);
        }
        for (std::size_t s = 0; s < picture_.systems.size(); ++s) {
            draw::System& system = picture_.systems[s];
            const double by = static_cast<double>(s) * panel;
            system.box.y += by;
            system.top += by;
            system.bottom += by;
        }
        for (draw::TokenPlace& t : picture_.tokens) t.box.y += static_cast<double>(t.system) * panel;
        picture_.height += static_cast<double>(picture_.systems.size()) * panel;
    }

    void find_range() {
        low_ = 200.0;
        high_ = 0.0;
        for (const hear::HeardNote& n : l_.heard.notes) {
            low_ = std::min(low_, n.pitch.midi - 3.0);
            high_ = std::max(high_, n.pitch.midi + 3.0);
        }
        for (const Swing& s : l_.wave) loudest_ = std::max({loudest_, -s.low, s.high});
    }

    void draw_panel(std::size_t s) {
        const draw::System& system = picture_.systems[s];
        const double left = system.box.x, right = system.box.right();
        const double top = system.box.bottom() + above_panel;
        const double wave_middle = top + pitch_height + between + 0.5 * wave_height;
        auto& out = picture_.commands;
        out.push_back(says("pitch", {left, top + small_words}, small_words, Ink::soft));
        out.push_back(
            says("sound", {left, wave_middle - 0.5 * wave_height + small_words}, small_words, Ink::soft));
        out.push_back(stroke({{left, wave_middle}, {right, wave_middle}}, Ink::rule, 0.4));
        for (const hear::HeardNote& n : l_.heard.notes) {  // where notes begin
            const auto at = spot(n.onset.value);
            if (at && at->system == s)
                out.push_back(
                    stroke({{at->x, top}, {at->x, wave_middle + 0.5 * wave_height}}, Ink::rule, 0.5));
        }
        std::vector<Point> line;
        const auto end_line = [&] {
            if (line.size() > 1) out.push_back(stroke(line, Ink::take, 1.2));
            line.clear();
        };
        for (const hear::Frame& f : l_.heard.frames) {
            const auto at = spot(f.at.value);
            if (!at || at->system != s || f.pitch.value <= 0.0) {
                end_line();
                continue;
            }
            const double midi = 69.0 + 12.0 * std::log2(f.pitch / harp::concert_a4);
            if (midi < low_ || midi > high_) {
                end_line();
                continue;
            }
            line.push_back({at->x, top + pitch_height * (high_ - midi) / std::max(1.0, high_ - low_)});
        }
        end_line();
        std::vector<Point> over, under;
        for (std::size_t k = 0; k < l_.wave.size() && loudest_ > 0.0; ++k) {
            const auto at = spot((static_cast<double>(k) + 0.5) * hear::frame_step.value);
            if (!at || at->system != s) continue;
            over.push_back({at->x, wave_middle - 0.5 * wave_height * l_.wave[k].high / loudest_});
            under.push_back({at->x, wave_middle - 0.5 * wave_height * l_.wave[k].low / loudest_});
        }
        if (over.size() < 2) return;
        over.insert(over.end(), under.rbegin(), under.rend());
        out.push_back(area(over, Ink::soft));
    }

    /// Where to listen again.
    void mark_checks() {
        Chips chips{picture_};
        for (const coach::Check& check : l_.draft.checks) {
            if (!check.note || !l_.draft.tokens[*check.note]) continue;
            const coach::Draft::Token& at = *l_.draft.tokens[*check.note];
            for (const draw::TokenPlace& t : picture_.tokens)
                if (t.bar == at.bar && t.event == at.event) chips.add("?", t.box);
        }
    }

    const Listened& l_;
    draw::Picture picture_;
    std::vector<std::pair<double, double>> anchors_;  // seconds, beat
    std::vector<double> bar_starts_;                  // beats; the end of the last bar too
    double low_ = 0.0, high_ = 0.0;
    float loudest_ = 0.0F;
};

}  // namespace

draw::Picture picture_of(const Listened& listened, double width) {
    return HeardPicture{listened, width}.run();
}

}  // namespace lw::listen
