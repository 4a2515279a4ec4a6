// SPDX-License-Identifier: Apache-2.0
//
// What a page shows and plays: the picture with its places, the times, the sound of a part.
#include <algorithm>
#include <cmath>
#include <cstring>
#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/svg.hpp"
#include "engine/lick/count.hpp"
#include "engine/lick/unfold.hpp"
#include "engine/sound/click.hpp"
#include "engine/sound/excerpt.hpp"
#include "engine/sound/loudness.hpp"
#include "engine/sound/mix.hpp"
#include "wasm/answers.hpp"
#include "wasm/asked.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {
namespace {

using Json = nlohmann::ordered_json;

double number(Beats beats) {
    return beats.value.value();
}

/// Hundredths are finer than any screen.
double short_number(double x) {
    return std::round(x * 100.0) / 100.0;
}

Json box(std::size_t system, const draw::Box& b) {
    return Json::array(
        {system, short_number(b.x), short_number(b.y), short_number(b.width), short_number(b.height)});
}

/// Where the place mark is at every place the picture knows, along the unfolded line.
Json track_of(const draw::Picture& picture, const lick::Unfolded& played) {
    Json track = Json::array();
    for (const lick::PlayedBar& bar : played.bars)
        for (const draw::BeatPlace& place : picture.beats)
            if (place.bar == bar.bar)
                track.push_back({number(bar.start + place.at), place.system, short_number(place.x)});
    return track;
}

Json notes_of(const lick::Lick& lick, const draw::Picture& picture, const lick::Unfolded& played) {
    Json notes = Json::array();
    for (const lick::PlayedNote& note : played.notes) {
        Json lit = Json::array();
        for (const lick::Stretch& s : note.stretches)
            for (std::size_t i = 0; i < picture.tokens.size(); ++i)
                if (picture.tokens[i].bar == s.bar && picture.tokens[i].event == s.event) lit.push_back(i);
        const lick::Stretch& first = note.stretches.front();
        notes.push_back(
            {{"beat", number(note.start)},
             {"end", number(note.start + note.length)},
             {"tab", text::to_text(note.tab)},
             {"place", lick::say_place(lick, first.bar, lick.bars[first.bar].events[first.event].at)},
             {"lit", std::move(lit)}});
    }
    return notes;
}

/// Every event where it is typed and when it is first played, rests and holds too.
Json events_of(const lick::Lick& lick, const lick::Unfolded& played) {
    Json events = Json::array();
    for (const lick::PlayedBar& bar : played.bars) {
        if (bar.pass != 1) continue;
        for (const lick::Event& e : lick.bars[bar.bar].events)
            events.push_back({e.place.line, e.place.column, e.place.length, number(bar.start + e.at),
                              number(bar.start + e.at + e.length)});
    }
    return events;
}

std::string bytes_of(const std::vector<float>& samples) {
    std::string bytes(samples.size() * sizeof(float), '\0');
    if (!samples.empty()) std::memcpy(bytes.data(), samples.data(), bytes.size());
    return bytes;
}

sound::Performance performed(const lick::Lick& lick, int percent) {
    sound::Choices choices;
    choices.tempo = lick.head.tempo * (std::clamp(percent, 10, 200) / 100.0);
    choices.count_in = false;
    return sound::perform(lick, choices);
}

}  // namespace

Answer picture(std::string_view question, const PictureQuestion& asked) {
    const text::LickReading reading = asked_lick(question);
    const lick::Lick& lick = reading.lick;
    const lick::Unfolded played = lick::unfold(lick);
    // Where no note was understood, a sketch would be an empty stave.
    if (!reading.ok() && (!asked.sketch || played.notes.empty())) return {1, {}};
    draw::LineChoices choices;
    choices.width = asked.width;
    choices.scale = std::clamp(asked.scale, 0.6, 3.0);
    choices.spelling = static_cast<text::Spelling>(std::clamp(asked.spelling, 0, 3));
    choices.staff = asked.staff;
    const draw::Picture picture = draw::breath_line(lick, choices);
    draw::SvgChoices svg;
    svg.colours = draw::SvgChoices::Colours::names;
    svg.paper = false;
    svg.title = lick.head.title;
    svg.id = asked.id;
    Json systems = Json::array();
    for (const draw::System& s : picture.systems)
        systems.push_back({short_number(s.box.x), short_number(s.top), short_number(s.box.width),
                           short_number(s.bottom), short_number(s.blow), short_number(s.draw),
                           short_number(s.box.bottom())});
    Json tokens = Json::array();
    for (const draw::TokenPlace& t : picture.tokens) {
        Json token = box(t.system, t.box);
        const lick::Place& place = lick.bars[t.bar].events[t.event].place;
        for (const int n : {place.line, place.column, place.length}) token.push_back(n);
        tokens.push_back(std::move(token));
    }
    for (const draw::Command& c : picture.commands)
        if (c.part == draw::Part::number_shape && c.owner >= 0) {
            Json& token = tokens[static_cast<std::size_t>(c.owner)];
            if (token.size() > 8) continue;
            token.push_back(short_number(c.box.x + c.box.width / 2.0));
            token.push_back(short_number(c.box.y + c.box.height / 2.0));
            token.push_back(short_number(c.box.width));
        }
    const std::optional<harp::Key> music = lick::key_of_music(lick.head);
    return {reading.ok() ? 0 : 1,
            json_bytes("svg", draw::svg(picture, draw::theme(draw::Look::light), svg),
                       {{"width", picture.width},
                        {"height", picture.height},
                        {"spoken", picture.spoken},
                        {"systems", std::move(systems)},
                        {"track", track_of(picture, played)},
                        {"notes", notes_of(lick, picture, played)},
                        {"tokens", std::move(tokens)},
                        {"events", events_of(lick, played)},
                        {"start", number(played.start)},
                        {"end", number(played.end)},
                        {"harp", harp::name(lick.head.harp)},
                        {"music", music ? std::string(harp::name(*music)) : std::string{}}})};
}

Answer timeline(std::string_view question, int percent) {
    const text::LickReading reading = asked_lick(question);
    if (!reading.ok()) return {1, {}};
    const sound::Performance p = performed(reading.lick, percent);
    const Seconds zero = sound::time_of(p, Beats{});
    Json beats = Json::array();
    for (const sound::BeatTime& b : p.beats) beats.push_back({(b.at - zero).value, number(b.beat)});
    Json notes = Json::array();
    for (const sound::SoundedNote& n : p.notes)
        notes.push_back({(n.onset - zero).value, (n.offset - zero).value, n.note});
    Json clicks = Json::array();
    for (const sound::Click& c : p.clicks) clicks.push_back({(c.at - zero).value, c.first_of_bar, c.number});
    const lick::Unfolded played = lick::unfold(reading.lick);
    return {0, json_bytes({{"tempo", p.tempo.value},
                           {"beats", std::move(beats)},
                           {"notes", std::move(notes)},
                           {"clicks", std::move(clicks)},
                           {"start", (sound::time_of(p, played.start) - zero).value},
                           {"end", (sound::time_of(p, played.end) - zero).value}})};
}

Answer reeds(std::string_view question) {
    const harp::Harp harp = asked_lick(question).lick.head.harp;
    Json reeds = Json::array();
    for (int hole = 1; hole <= harp::hole_count; ++hole)
        for (const harp::Breath breath : {harp::Breath::blow, harp::Breath::draw})
            reeds.push_back(440.0 * std::exp2((harp::made_for(harp, {hole, breath}).midi - 69.0) / 12.0));
    return {0, json_bytes(reeds)};
}

Answer loop(std::string_view question, int percent, double from, double to, double rate) {
    const text::LickReading reading = asked_lick(question);
    if (!reading.ok() || !(to > from) || !(rate >= 8000.0 && rate <= 192000.0)) return {1, {}};
    const sound::Performance p = performed(reading.lick, percent);
    // A beat of a page is one of 960: every group of the language but the wildest falls on it.
    const auto at = [&](double beat) {
        return sound::time_of(p, Beats{Fraction{std::llround(beat * 960.0), 960}});
    };
    const sound::Performance part = sound::excerpt(p, at(from), at(to));
    const sound::ReedTables tables;
    std::vector<float> samples = sound::render_loop(tables, reading.lick.head.harp, part, Hz{rate});
    float peak = 0.0F;
    for (const float x : samples) peak = std::max(peak, std::abs(x));
    sound::LoudnessMeter meter{1, Hz{rate}};
    meter.add(samples);
    // One channel is measured 3 dB under the same sound on two.
    const double lift = sound::to_ratio(Decibels{(sound::clip_loudness - meter.integrated()).value - 3.0});
    const double gain = peak > 0.0F ? std::min(lift, 0.7 / static_cast<double>(peak)) : 1.0;
    for (float& x : samples) x *= static_cast<float>(gain);
    return {0, bytes_of(samples)};
}

Answer knock(bool first_of_bar, double rate) {
    if (!(rate >= 8000.0 && rate <= 192000.0)) return {1, {}};
    return {0, bytes_of(sound::click_sound(first_of_bar, Hz{rate}))};
}

Answer colours(std::string_view house, bool night) {
    return {0,
            draw::css(draw::theme(night ? draw::Look::dark : draw::Look::light, draw::colour_from(house)))};
}

}  // namespace lw::binding
