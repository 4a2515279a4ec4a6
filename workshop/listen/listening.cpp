// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/listen/listening.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lw::listen {
namespace {

constexpr std::size_t block = 16384;
/// This much at full scale is heard as a rasp and pulls pitches (common practice, no source).
constexpr double clipped_from = 0.002;
/// A phrase of a long recording ends at such a silence ...
constexpr Seconds between_phrases{5.0};
/// ... or, when it has gone on for a minute, at a shorter one, and in any case before a row of beats grows too long.
constexpr Seconds phrase_may_end{60.0};
constexpr Seconds short_silence{0.7};
constexpr Seconds phrase_must_end{90.0};

files::Trouble stopped() {
    return {"stopped", "Nothing was written."};
}

class Listening {
  public:
    Listening(Recording& recording, const std::string& name, const Wishes& wishes, const Heartbeat& heartbeat,
              const std::atomic<bool>& stop)
        : recording_(recording), name_(name), wishes_(wishes), heartbeat_(heartbeat), stop_(stop) {}

    files::Result<Listened> run(const Longer* longer) {
        const double rate = recording_.rate();
        const auto most = static_cast<std::size_t>(wishes_.whole_up_to.value * rate);
        std::optional<files::Trouble> why_not;
        std::size_t before = 0;  // samples that held no harp
        for (bool first = true;; first = false) {
            std::vector<float> samples;
            if (!fill(samples, most + block)) return tl::unexpected(stopped());
            const bool goes_on = samples.size() > most;
            if (samples.empty() && !first) return tl::unexpected(*why_not);
            if (goes_on && longer == nullptr)
                return tl::unexpected(files::Trouble{
                    fmt::format("{} is longer than {:.0f} minutes", name_, wishes_.whole_up_to.value / 60.0),
                    "Cut out the phrase with --from and --to."});
            Listened heard;
            why_not = hear_whole(samples, heard);
            if (!why_not) {
                heard.whole = !goes_on && before == 0;
                if (!heard.whole && longer != nullptr)
                    return hear_on(samples, before, std::move(heard), *longer);
                heard.wave = wave_of(samples);
                tell_recording(heard);
                return heard;
            }
            if (!goes_on) {
                // A damaged file may be silent for no other reason.
                for (const std::string& also : recording_.complaints()) why_not->words += "; " + also;
                return tl::unexpected(*why_not);
            }
            before += samples.size();
        }
    }

  private:
    /// False when the run was stopped.
    bool fill(std::vector<float>& samples, std::size_t most) {
        while (samples.size() < most) {
            if (stop_) return false;
            const std::size_t had = samples.size();
            samples.resize(std::min(most, had + block));
            const std::size_t got = recording_.read(std::span{samples}.subspan(had));
            samples.resize(had + got);
            done_ += got;
            beat_heart();
            if (got == 0) break;
        }
        return !stop_;
    }

    void beat_heart() const {
        std::optional<Seconds> all;
        if (const auto n = recording_.length()) all = Seconds{static_cast<double>(*n) / recording_.rate()};
        if (heartbeat_) heartbeat_(Seconds{static_cast<double>(done_) / recording_.rate()}, all);
    }

    std::optional<BeatsPerMinute> other_click_;  // that contradicts what was said

    /// Hears samples that are all there. Trouble when it is no harp.
    std::optional<files::Trouble> hear_whole(const std::vector<float>& samples, Listened& out) {
        const double rate = recording_.rate();
        out.length = Seconds{static_cast<double>(samples.size()) / rate};
        hear::Given given;
        if (wishes_.harp) {
            given.harp = wishes_.harp;
        } else {
            const hear::Heard pitches = hear::listen(samples, rate);
            if (auto why = no_harp(pitches, name_); why && refuses(*why, pitches)) return why;
            out.harps = coach::rank_harps(pitches.notes, pitches.a4);
            given.harp = out.harps.front().harp;
            out.pitches = pitches.notes;
        }
        out.harp = *given.harp;
        out.heard = hear::listen(samples, rate, given);
        if (auto why = no_harp(out.heard, name_); why && refuses(*why, out.heard)) return why;
        if (wishes_.harp) {
            coach::HarpGuess g;
            g.harp = out.harp;
            g.probability = 1.0;
            out.harps = {g};
        }
        coach::BeatGiven beat = wishes_.beat;
        if (!beat.click) {
            coach::ClickFinder clicks{rate};
            clicks.push(samples);
            beat.click = clicks.find(out.heard.notes.front().onset);
            // A click that cannot be the tempo that was said is something else.
            if (beat.click && beat.tempo &&
                std::abs(beat.click->period.value * beat.tempo->value / 60.0 - 1.0) > 0.1) {
                other_click_ = BeatsPerMinute{60.0 / beat.click->period.value};
                beat.click.reset();
            }
        }
        out.beat = coach::find_beat(out.heard.notes, beat);
        const auto positions = coach::rank_positions(out.harp, out.heard.notes, out.heard.a4);
        out.position = wishes_.position.value_or(
            static_cast<int>(std::max_element(positions.begin(), positions.end()) - positions.begin()) + 1);
        write_down(out, beat);
        return std::nullopt;
    }

    [[nodiscard]] bool refuses(const files::Trouble& why, const hear::Heard& heard) const {
        return wishes_.must_be_a_harp || heard.notes.empty() ||
               why.remedy.find("--anything") == std::string::npos;
    }

    void write_down(Listened& out, const coach::BeatGiven& beat) const {
        coach::DraftChoices choices;
        choices.harp = out.harp;
        choices.harp.a4 = harp::concert_a4;
        const double a4 = std::round(out.heard.a4.value);
        if (std::abs(a4 - 440.0) >= 2.0) choices.harp.a4 = Hz{a4};
        choices.position = out.position;
        choices.title = wishes_.title;
        if (out.harps.size() > 1 && out.harps.front().probability < 0.8) {
            std::string fits = "the key of the harp:";
            for (const coach::HarpGuess& g : out.harps) {
                if (g.probability < 0.04) break;
                fits += fmt::format("{} {} {:.0f} %", fits.back() == ':' ? "" : ",", harp::name(g.harp),
                                    100.0 * g.probability);
            }
            choices.remarks.push_back(fits);
        }
        for (const coach::SecondGuess& g : out.beat.second_guesses)
            choices.remarks.push_back(coach::say(out.beat, g));
        if (other_click_)
            choices.remarks.push_back(
                fmt::format("the tempo: you said {:.0f}, but a click of {:.0f} is heard", beat.tempo->value,
                            other_click_->value));
        else if (beat.tempo && beat.tempo->value != out.beat.tempo.value)
            choices.remarks.push_back(fmt::format("the tempo: you said {:.0f}, it was played at {:.0f}",
                                                  beat.tempo->value, out.beat.tempo.value));
        if (!beat.click)
            choices.remarks.push_back(
                "the first beat: no click counts in, so bar 1 begins with the beat of the first note");
        out.draft = coach::make_draft(out.heard.notes, out.beat, choices);
    }

    void tell_recording(Listened& out) const {
        if (out.heard.clipped > clipped_from)
            out.warnings.push_back(
                fmt::format("{:.1f} % of it is clipped: record softer, loud notes are not exact",
                            100.0 * out.heard.clipped));
        for (std::string& why : recording_.complaints()) out.warnings.push_back(std::move(why));
    }

    [[nodiscard]] std::vector<Swing> wave_of(const std::vector<float>& samples) const {
        const auto step = static_cast<std::size_t>(std::lround(hear::frame_step.value * recording_.rate()));
        std::vector<Swing> wave;
        for (std::size_t at = 0; at < samples.size(); at += step) {
            Swing s;
            for (std::size_t i = at; i < std::min(samples.size(), at + step); ++i)
                if (std::isfinite(samples[i])) {
                    s.low = std::min(s.low, samples[i]);
                    s.high = std::max(s.high, samples[i]);
                }
            wave.push_back(s);
        }
        return wave;
    }

    /// The rest of a long recording: what was held back goes into a Listener first, then block after block.
    files::Result<Listened> hear_on(const std::vector<float>& held, std::size_t before, Listened first,
                                    const Longer& longer) {
        const double rate = recording_.rate();
        hear::Given given;
        given.harp = first.harp;
        given.a4 = first.heard.a4;
        hear::Listener listener{rate, given};
        const Seconds shift{static_cast<double>(before) / rate};
        known_ = wishes_.beat;
        known_.click.reset();
        known_.tempo = first.beat.tempo;
        known_.meter = first.beat.meter;
        known_.feel = first.beat.feel;
        longer.begin(first);
        const auto hear_block = [&](std::span<const float> samples) {
            listener.push(samples);
            take(listener, shift, longer);
        };
        for (std::size_t at = 0; at < held.size(); at += block) {
            if (stop_) return tl::unexpected(stopped());
            hear_block(std::span{held}.subspan(at, std::min(block, held.size() - at)));
        }
        std::vector<float> samples(block);
        while (const std::size_t got = recording_.read(samples)) {
            if (stop_) return tl::unexpected(stopped());
            done_ += got;
            beat_heart();
            hear_block(std::span{samples}.first(got));
        }
        if (stop_) return tl::unexpected(stopped());
        listener.finish();
        take(listener, shift, longer);
        end_phrase(phrase_.size(), longer);
        first.length = Seconds{static_cast<double>(done_) / rate};
        tell_recording(first);
        return first;
    }

    void take(hear::Listener& listener, Seconds shift, const Longer& longer) {
        frames_.clear();
        for (hear::Frame f : listener.take_frames()) {
            f.at += shift;
            frames_.push_back(f);
        }
        longer.frames(frames_);
        for (const hear::HeardNote& heard : listener.take_notes()) {
            hear::HeardNote n = heard;
            n.onset += shift;
            n.offset += shift;
            for (hear::BendSample& s : n.bend_path) s.at += shift;
            for (hear::HeardGesture& g : n.gestures) g.at += shift;
            if (!phrase_.empty()) {
                const Seconds silence = n.onset - phrase_.back().offset;
                const Seconds long_by_now = n.onset - phrase_.front().onset;
                if (silence > between_phrases || (long_by_now > phrase_may_end && silence > short_silence) ||
                    long_by_now > phrase_must_end)
                    end_phrase(phrase_.size(), longer);
            }
            phrase_.push_back(std::move(n));
        }
    }

    void end_phrase(std::size_t count, const Longer& longer) {
        if (count == 0) return;
        coach::BeatMap map = coach::find_beat(phrase_, known_);
        // Beats are counted on from the first phrase as if nobody had stopped.
        if (!downbeat_)
            downbeat_ = map.beats.front() - Seconds{60.0 / map.tempo.value * double(map.first_beat)};
        const auto base = static_cast<std::int64_t>(
            std::lround((map.beats.front() - *downbeat_).value * known_.tempo->value / 60.0));
        for (coach::Placed& p : map.notes) p.at += Beats{Fraction{base - map.first_beat}};
        map.first_beat = base;
        longer.phrase(phrase_, map);
        phrase_.clear();
    }

    Recording& recording_;
    const std::string& name_;
    const Wishes& wishes_;
    const Heartbeat& heartbeat_;
    const std::atomic<bool>& stop_;
    std::size_t done_ = 0;
    coach::BeatGiven known_;
    std::vector<hear::Frame> frames_;
    std::vector<hear::HeardNote> phrase_;
    std::optional<Seconds> downbeat_;
};

}  // namespace

files::Result<Listened> listen(Recording& recording, const std::string& name, const Wishes& wishes,
                               const Heartbeat& heartbeat, const std::atomic<bool>& stop,
                               const Longer* longer) {
    return Listening{recording, name, wishes, heartbeat, stop}.run(longer);
}

}  // namespace lw::listen
