// SPDX-License-Identifier: Apache-2.0
#include "engine/harp/harp.hpp"
#include "wasm/answers.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {

using Json = nlohmann::ordered_json;

Answer harp(std::string_view name, int position) {
    const tl::expected<harp::Harp, std::string> h = harp::harp_named(name);
    if (!h) return {1, h.error()};
    const harp::Key tonic = harp::key_of_music(h->key, position);
    Json notes = Json::array();
    for (const harp::HoleNote& n : harp::every_note(*h)) {
        const Pitch pitch = *harp::pitch(*h, n);
        notes.push_back({{"tab", harp::to_text(n)},
                         {"hole", n.hole},
                         {"breath", n.breath == harp::Breath::blow ? "blow" : "draw"},
                         {"bend", n.bend().value},
                         {"overbend", n.overbend},
                         {"note", harp::note_name(pitch)},
                         {"midi", pitch.midi},
                         {"hz", harp::frequency(*h, n)->value},
                         {"degree", harp::degree(tonic, pitch)}});
    }
    return {0, json_bytes({{"harp", harp::name(*h)}, {"notes", std::move(notes)}})};
}

}  // namespace lw::binding
