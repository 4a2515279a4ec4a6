// SPDX-License-Identifier: Apache-2.0
//
// Holes become voices: one reed sounding from its attack to where it stops, through joins that keep it
// sounding. A voice keeps its channel; the bend of the melody's hole is sampled from the performance's path.
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "engine/exchange/midi_head.hpp"

namespace lw::exchange {
namespace {

using sound::BendPoint;
using sound::SoundedNote;
using Kind = MidiEvent::Kind;

/// Channels of a chord's holes: percussion (9) is left out. Ten holes fit.
constexpr std::array<int, harp::hole_count> channel_of_voice = {0, 1, 2, 3, 4, 5, 6, 7, 8, 10};

/// Bends are sampled this finely at most: a finer step in pitch is not heard (facts: 10 cents in a melody), a
/// finer step in time only swells the file.
constexpr Seconds finest_time{0.005};
constexpr Semitones finest_depth{0.02};

/// A shake changes holes this often; common practice, no source: about six times a second each way is a
/// lively hand.
constexpr Seconds shake_half{1.0 / 12.0};

struct Voice {
    int hole = 0;
    int place = 0;  // 0 the melody's hole, then the others from low to high
    harp::Reed reed;
    bool overbend = false;
    int key = 60;
    Semitones offset;  // the reed's own temperament and A4, against the key
    Seconds on;
    Seconds off;
    double strength = 0.8;
    std::vector<BendPoint> bend;
};

std::optional<Voice> voice_of(const harp::Harp& harp, const SoundedNote& note, int hole, int place) {
    Voice v;
    v.hole = hole;
    v.place = place;
    v.reed = {hole, note.tab.breath};
    v.overbend = note.tab.overbend;
    const harp::HoleNote plain{hole, note.tab.breath, 0, note.tab.overbend};
    const auto pitch = harp::pitch(harp, plain);
    const auto hertz = harp::frequency(harp, plain);
    if (!pitch || !hertz) return std::nullopt;
    v.key = static_cast<int>(std::lround(pitch->midi));
    v.offset = Semitones{69.0 + 12.0 * std::log2(hertz->value / 440.0) - v.key};
    v.on = note.onset;
    v.off = note.offset;
    v.strength = note.strength;
    if (place == 0) v.bend = note.bend;
    if (v.bend.empty()) v.bend.push_back({v.on, Semitones{0.0}});
    return v;
}

/// The hole that carries the melody first.
std::vector<int> voices_in_order(const lick::Tab& tab) {
    std::vector<int> holes{tab.lead_hole()};
    for (const int hole : tab.holes)
        if (hole != tab.lead_hole()) holes.push_back(hole);
    return holes;
}

/// The two holes in turn, from the shake's start to the end of the note; both on the melody's channel.
void add_shake(std::vector<Voice>& voices, const harp::Harp& harp, const SoundedNote& note) {
    for (std::size_t i = 0; i < note.ornaments.size(); ++i) {
        const lick::Ornament& ornament = note.ornaments[i].ornament;
        if (ornament.gesture != lick::Gesture::shake) continue;
        SoundedNote other = note;
        other.tab = lick::Tab{};
        other.tab.holes = {ornament.other_hole};
        other.tab.breath = note.tab.breath;
        other.bend = {{note.onset, Semitones{0.0}}};
        auto partner = voice_of(harp, other, ornament.other_hole, 0);
        if (!partner || voices.empty()) return;
        const Voice main = voices.back();
        Seconds at = note.ornament_starts[i] + shake_half;
        if (at >= main.off) return;
        voices.back().off = at;
        for (bool away = true; at < main.off; away = !away) {
            Voice turn = away ? *partner : main;
            turn.on = at;
            at += shake_half;
            turn.off = std::min(at, main.off);
            if (turn.off - turn.on > shake_half * 0.25) voices.push_back(std::move(turn));
        }
        return;
    }
}

std::vector<Voice> voices_of(const harp::Harp& harp, const std::vector<SoundedNote>& notes) {
    std::vector<Voice> voices;
    std::array<int, harp::hole_count> last{};  // by place: 1 + index of the newest voice
    const SoundedNote* before = nullptr;
    for (const SoundedNote& note : notes) {
        const std::vector<int> holes = voices_in_order(note.tab);
        const bool joins = note.how != lick::Start::attack && before != nullptr && before->pass == note.pass;
        // The melody's hole comes last, so that a shake can follow it.
        for (std::size_t p = holes.size(); p-- > 0;) {
            const int place = static_cast<int>(p);
            auto voice = voice_of(harp, note, holes[p], place);
            if (!voice) continue;
            Voice* held = last[p] > 0 ? &voices[static_cast<std::size_t>(last[p] - 1)] : nullptr;
            if (joins && held != nullptr && held->reed == voice->reed && held->overbend == voice->overbend &&
                held->off >= note.onset - finest_time) {
                held->off = voice->off;
                // A path holds its last value until the next one takes over; it does not drift towards it.
                held->bend.push_back({std::max(note.onset, held->bend.back().at), held->bend.back().depth});
                held->bend.insert(held->bend.end(), voice->bend.begin(), voice->bend.end());
                continue;
            }
            voices.push_back(*std::move(voice));
            last[p] = static_cast<int>(voices.size());
        }
        if (!note.ornaments.empty() && last[0] == static_cast<int>(voices.size())) {
            add_shake(voices, harp, note);
            last[0] = static_cast<int>(voices.size());
        }
        before = &note;
    }
    return voices;
}

Semitones depth_at(const std::vector<BendPoint>& path, Seconds at) noexcept {
    const auto after = std::upper_bound(path.begin(), path.end(), at,
                                        [](Seconds t, const BendPoint& p) { return t < p.at; });
    if (after == path.begin()) return path.front().depth;
    if (after == path.end()) return path.back().depth;
    const BendPoint& a = *std::prev(after);
    if (after->at - a.at <= Seconds{0.0}) return after->depth;
    return a.depth + (after->depth - a.depth) * ((at - a.at) / (after->at - a.at));
}

/// Where a path has to be looked at: its points, and between two that differ as often as is heard.
std::vector<Seconds> sample_times(const Voice& voice) {
    std::vector<Seconds> times{voice.on};
    for (std::size_t i = 0; i < voice.bend.size(); ++i) {
        const BendPoint& b = voice.bend[i];
        if (i > 0) {
            const BendPoint& a = voice.bend[i - 1];
            const double by_time = (b.at - a.at) / finest_time;
            const double by_depth = std::abs((b.depth - a.depth).value) / finest_depth.value;
            const int steps = static_cast<int>(std::ceil(std::min(by_time, by_depth) - 1e-9));
            for (int k = 1; k < steps; ++k) times.push_back(a.at + (b.at - a.at) * (double(k) / steps));
        }
        times.push_back(b.at);
    }
    std::erase_if(times, [&](Seconds t) { return t < voice.on || t > voice.off; });
    std::sort(times.begin(), times.end());
    return times;
}

}  // namespace

int bend_value(Semitones above) noexcept {
    const long value = std::lround(8192.0 + above.value / bend_range * 8192.0);
    return static_cast<int>(std::clamp(value, 0L, 16383L));
}

MidiScore played_midi(const lick::Lick& lick, const sound::Performance& performance,
                      const MidiChoices& choices) {
    const lick::Unfolded played = lick::unfold(lick);
    const double beat = ticks_per_beat(lick.head.meter).value();
    const double ticks_a_second = beat * performance.tempo.value / 60.0;
    const double line = first_line(lick, played).value.value() * beat;
    const Seconds downbeat =
        performance.phrase_starts.empty() ? Seconds{0.0} : performance.phrase_starts.front();
    const auto tick = [&](Seconds at) {
        const double exact = (at - downbeat).value * ticks_a_second - line;
        return static_cast<std::uint32_t>(std::clamp(std::llround(exact), 0LL, 0x0FFFFFFFLL));
    };

    MidiScore score;
    score.division = ticks_per_quarter;
    score.tracks.push_back(head_track(lick, performance.tempo));
    for (const Seconds start : performance.phrase_starts) {
        const std::uint32_t first = tick(start);
        add_chords(score.tracks.front().events, played, [&](Beats at) {
            return static_cast<std::uint32_t>(std::max(first + std::llround(at.value.value() * beat), 0LL));
        });
    }

    std::vector<Voice> voices = voices_of(lick.head.harp, performance.notes);
    std::stable_sort(voices.begin(), voices.end(),
                     [](const Voice& a, const Voice& b) { return a.on < b.on; });
    for (int place = 0; place < harp::hole_count; ++place) {
        std::vector<const Voice*> mine;
        for (const Voice& v : voices)
            if (v.place == place) mine.push_back(&v);
        if (mine.empty()) continue;
        const int channel = channel_of_voice[static_cast<std::size_t>(place)];
        MidiTrack track;
        std::vector<MidiEvent>& events = track.events;
        events.push_back(
            meta_event(0, meta::track_name,
                       place == 0 ? "harp" : "harp, hole " + std::to_string(place + 1) + " of a chord"));
        events.push_back(channel_event(0, Kind::program, channel, choices.program));
        // Registered parameter 0 is the bend range; 127 127 closes it, so that no later data entry moves it.
        for (const auto& [controller, value] : std::array<std::array<int, 2>, 6>{
                 {{101, 0}, {100, 0}, {6, bend_range}, {38, 0}, {101, 127}, {100, 127}}})
            events.push_back(channel_event(0, Kind::control, channel, controller, value));
        int wheel = bend_value(mine.front()->offset - depth_at(mine.front()->bend, mine.front()->on));
        events.push_back(channel_event(0, Kind::bend, channel, wheel));
        if (place == 0)
            for (const SoundedNote& note : performance.notes)
                events.push_back(meta_event(tick(note.onset), meta::lyric, typed(note.tab, note.how)));
        for (std::size_t i = 0; i < mine.size(); ++i) {
            const Voice& v = *mine[i];
            const std::uint32_t on = tick(v.on);
            std::uint32_t off = std::max(tick(v.off), on + 1);
            if (i + 1 < mine.size()) off = std::max(std::min(off, tick(mine[i + 1]->on)), on + 1);
            const int velocity = std::clamp(static_cast<int>(std::lround(v.strength * 127.0)), 1, 127);
            for (const Seconds at : sample_times(v)) {
                const int value = bend_value(v.offset - depth_at(v.bend, at));
                const std::uint32_t when = std::clamp(tick(at), on, off - 1);
                if (value == wheel) continue;
                // Two samples on one tick are one: the later counts.
                if (events.back().kind == Kind::bend && events.back().tick == when && when != 0)
                    events.pop_back();
                events.push_back(channel_event(when, Kind::bend, channel, value));
                wheel = value;
            }
            events.push_back(channel_event(on, Kind::note_on, channel, v.key, velocity));
            events.push_back(channel_event(off, Kind::note_off, channel, v.key, 64));
        }
        set_in_order(events);
        track.end = events.back().tick;
        score.tracks.push_back(std::move(track));
    }
    set_in_order(score.tracks.front().events);
    std::uint32_t end = 0;
    for (const MidiTrack& track : score.tracks)
        end = std::max(end, track.events.empty() ? 0 : track.events.back().tick);
    for (MidiTrack& track : score.tracks) track.end = end;
    return score;
}

}  // namespace lw::exchange
