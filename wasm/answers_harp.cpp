// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/staff_score.hpp"
#include "engine/harp/harp.hpp"
#include "engine/text/text.hpp"
#include "wasm/answers.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {

using Json = nlohmann::ordered_json;

namespace {

Json notes_of(const harp::Harp& h, harp::Key tonic) {
    Json notes = Json::array();
    for (const harp::HoleNote& n : harp::every_note(h)) {
        const Pitch pitch = *harp::pitch(h, n);
        notes.push_back({{"tab", harp::to_text(n)},
                         {"hole", n.hole},
                         {"breath", n.breath == harp::Breath::blow ? "blow" : "draw"},
                         {"bend", n.bend().value},
                         {"overbend", n.overbend},
                         {"note", draw::spelled_name(pitch, tonic)},
                         {"midi", pitch.midi},
                         {"hz", harp::frequency(h, n)->value},
                         {"degree", harp::degree(tonic, pitch)}});
    }
    return notes;
}

}  // namespace

Answer harp(std::string_view name, int position) {
    const tl::expected<harp::Harp, std::string> h = harp::harp_named(name);
    if (!h) return {1, h.error()};
    return {0, json_bytes({{"harp", harp::name(*h)},
                           {"notes", notes_of(*h, harp::key_of_music(h->key, position))}})};
}

Answer harp_of(std::string_view lick) {
    const lick::Head head = text::read_lick(lick).lick.head;
    const int position = head.position.value_or(head.harp.tuning.label_position);
    const harp::Key music = harp::key_of_music(head.harp.key, position);
    return {0, json_bytes({{"harp", harp::name(head.harp)},
                           {"tuning", head.harp.tuning.name},
                           {"position", position},
                           {"music", harp::name(music)},
                           {"notes", notes_of(head.harp, music)}})};
}

}  // namespace lw::binding
