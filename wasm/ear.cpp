// SPDX-License-Identifier: Apache-2.0
#include "wasm/ear.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <vector>

#include "engine/coach/compare.hpp"
#include "engine/coach/live.hpp"
#include "engine/hear/hear.hpp"
#include "wasm/asked.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {
namespace {

using Json = nlohmann::ordered_json;

constexpr double longest_try = 120.0;  // seconds
/// Below this a guess is breath noise or a room.
constexpr double sure_enough = 0.3;

using Reeds = std::array<std::optional<Cents>, 2 * harp::hole_count>;

/// The words after the harp's name, when there are twenty: `-` or cents.
Reeds reeds_in(std::string_view& first_line) {
    Reeds reeds;
    std::vector<std::string> words;
    for (std::size_t at = 0; at < first_line.size();) {
        const std::size_t end = std::min(first_line.find(' ', at), first_line.size());
        if (end > at) words.emplace_back(first_line.substr(at, end - at));
        at = end + 1;
    }
    if (words.size() < reeds.size()) return reeds;
    const std::size_t first = words.size() - reeds.size();
    for (std::size_t i = 0; i < reeds.size(); ++i) {
        const std::string& word = words[first + i];
        const double cents = std::strtod(word.c_str(), nullptr);
        // Farther than this is no reed of that harp.
        if (word != "-" && std::abs(cents) < 80.0) reeds[i] = Cents{cents};
    }
    std::size_t length = 0;  // of the name alone
    for (std::size_t w = 0; w < first; ++w) length += words[w].size() + (w > 0 ? 1 : 0);
    first_line = first_line.substr(0, length);
    return reeds;
}

/// Every reed, those that were left out as the middle of the others; nothing when too few are known to go by.
std::optional<std::array<Cents, 2 * harp::hole_count>> all_of(const Reeds& some) {
    constexpr std::size_t enough = 10;  // as the page says (web/practice/reed-walk-dialog.ts)
    std::vector<double> known;
    for (const auto& reed : some)
        if (reed) known.push_back(reed->value);
    if (known.size() < enough) return std::nullopt;
    const auto middle = known.begin() + std::ssize(known) / 2;
    std::nth_element(known.begin(), middle, known.end());
    std::array<Cents, 2 * harp::hole_count> all{};
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = some[i].value_or(Cents{*middle});
    return all;
}

std::string_view word(coach::Came came) {
    return came == coach::Came::right ? "right" : came == coach::Came::wrong ? "wrong" : "missing";
}

/// Above 0 is too high, as a tuner says it.
Json cents_of(const coach::NoteGrade& g) {
    return g.bend_error ? Json(std::round(-10.0 * g.bend_error->value) / 10.0) : Json();
}

}  // namespace

struct Ear::State {
    State(std::string_view question, double samples_a_second) : rate{samples_a_second} {
        const std::size_t line = std::min(question.find('\n'), question.size());
        std::string_view first = question.substr(0, line);
        given.reeds.reset();
        own = reeds_in(first);
        std::string rest{first};
        rest += question.substr(line);
        const text::LickReading reading = asked_lick(rest);
        lick = reading.lick;
        played = lick::unfold(lick);
        given.harp = lick.head.harp;
        given.reeds = all_of(own);
        listener.emplace(rate, given);
        samples.reserve(static_cast<std::size_t>(rate * longest_try));
    }

    double rate;
    lick::Lick lick;
    lick::Unfolded played;
    hear::Given given;
    Reeds own;
    std::optional<hear::Listener> listener;
    std::vector<float> samples;
    std::vector<hear::HeardNote> notes;
    Decibels level{-120.0};
};

Ear::Ear(std::string_view question, double rate) : state_{std::make_unique<State>(question, rate)} {}
Ear::Ear(Ear&&) noexcept = default;
Ear& Ear::operator=(Ear&&) noexcept = default;
Ear::~Ear() = default;

void Ear::push(std::span<const float> samples) {
    State& s = *state_;
    s.listener->push(samples);
    const std::size_t room = s.samples.capacity() - s.samples.size();
    s.samples.insert(s.samples.end(), samples.begin(),
                     samples.begin() + static_cast<std::ptrdiff_t>(std::min(room, samples.size())));
}

Answer Ear::look() {
    State& s = *state_;
    for (const hear::Frame& f : s.listener->take_frames()) s.level = f.level;
    const std::size_t before = s.notes.size();
    for (const hear::HeardNote& n : s.listener->take_notes()) s.notes.push_back(n);
    const hear::Guess guess = s.listener->guess();
    Reeds reeds = s.listener->reeds();
    for (std::size_t i = 0; i < reeds.size(); ++i)
        if (!reeds[i]) reeds[i] = s.own[i];
    // What the reeds are off is against the harp at the recording's own A4.
    const double tuned = 440.0 / s.listener->a4().value;
    Json live;
    if (guess.confidence >= sure_enough)
        if (const auto now = coach::live_note(s.lick.head.harp, guess.pitch * tuned, s.played, reeds)) {
            const harp::HoleNote way{now->reed.hole, now->reed.breath, 0, now->overbend};
            live = {{"tab", harp::to_text(way)},
                    {"hole", now->reed.hole},
                    {"breath", now->reed.breath == harp::Breath::blow ? "blow" : "draw"},
                    {"cents", std::round(100.0 * now->depth.value)},
                    {"note", now->note ? Json(*now->note) : Json()}};
        }
    Json notes = Json::array();
    for (std::size_t i = before; i < s.notes.size(); ++i) {
        const hear::HeardNote& n = s.notes[i];
        notes.push_back({{"onset", n.onset.value},
                         {"offset", n.offset.value},
                         {"tab", text::to_text(n.tab)},
                         {"cents", std::round(100.0 * n.bend.value)}});
    }
    Json answer = {
        {"at", guess.at.value},     {"hz", guess.confidence >= sure_enough ? guess.pitch.value : 0.0},
        {"sure", guess.confidence}, {"level", s.level.value},
        {"live", std::move(live)},  {"notes", std::move(notes)}};
    if (s.notes.size() > before && s.notes.size() < 400) {
        Json follow = Json::array();
        for (const coach::NoteGrade& g : coach::compare(s.lick, s.notes).notes)
            if (g.came != coach::Came::missing)
                follow.push_back({g.note, word(g.came), g.onset_error.value, cents_of(g), g.onset.value});
        answer["follow"] = std::move(follow);
    }
    return {0, json_bytes(answer)};
}

Answer Ear::finish() {
    State& s = *state_;
    const hear::Heard heard = hear::listen(s.samples, s.rate, s.given);
    const coach::Comparison c = coach::compare(s.lick, heard.notes);
    Json notes = Json::array();
    int right = 0;
    for (const coach::NoteGrade& g : c.notes) {
        Json note = {
            {"note", g.note}, {"came", word(g.came)}, {"tab", text::to_text(s.played.notes[g.note].tab)}};
        right += g.came == coach::Came::right;
        if (g.came != coach::Came::missing) {
            note["heard"] = text::to_text(heard.notes[*g.heard].tab);
            note["onset"] = g.onset.value;
            note["late"] = g.onset_error.value;
            note["cents"] = cents_of(g);
            note["length"] = g.length;
            note["faults"] = coach::faults(g);
        }
        notes.push_back(std::move(note));
    }
    Json extras = Json::array();
    for (const coach::Extra& e : c.extras)
        extras.push_back({{"onset", heard.notes[e.heard].onset.value},
                          {"tab", text::to_text(heard.notes[e.heard].tab)},
                          {"before", e.before}});
    Json advice = Json::array();
    for (const coach::Advice& a : c.advice) advice.push_back(a.words);
    Json reeds = Json::array();
    for (const auto& r : heard.reeds) reeds.push_back(r ? Json(std::round(10.0 * r->value) / 10.0) : Json());
    return {0, json_bytes({{"same_lick", c.same_lick},
                           {"likeness", c.likeness},
                           {"heard", heard.notes.size()},
                           {"tempo", c.tempo.value},
                           {"a4", heard.a4.value},
                           {"notes", std::move(notes)},
                           {"extras", std::move(extras)},
                           {"right", right},
                           {"advice", std::move(advice)},
                           {"reeds", std::move(reeds)}})};
}

}  // namespace lw::binding
