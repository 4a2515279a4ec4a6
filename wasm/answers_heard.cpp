// SPDX-License-Identifier: Apache-2.0
//
// What is heard in samples.
#include <cmath>
#include <cstring>
#include <vector>

#include "engine/hear/hear.hpp"
#include "engine/text/text.hpp"
#include "wasm/answers.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {

using Json = nlohmann::ordered_json;

Answer heard(std::string_view question, double rate) {
    const std::size_t line = question.find('\n');
    if (line == std::string_view::npos)
        return {1, "The harp's name and a line break stand before the samples."};
    hear::Given given;
    if (line > 0) {
        const tl::expected<harp::Harp, std::string> h = harp::harp_named(question.substr(0, line));
        if (!h) return {1, h.error()};
        given.harp = *h;
    }
    const std::string_view bytes = question.substr(line + 1);
    std::vector<float> samples(bytes.size() / sizeof(float));
    if (!samples.empty()) std::memcpy(samples.data(), bytes.data(), samples.size() * sizeof(float));
    const hear::Heard all = hear::listen(samples, rate, given);

    Json notes = Json::array();
    for (const hear::HeardNote& n : all.notes) {
        Json gestures = Json::array();
        for (const hear::HeardGesture& g : n.gestures) gestures.push_back(lick::word(g.gesture));
        notes.push_back({{"onset", n.onset.value},
                         {"offset", n.offset.value},
                         {"tab", n.tab.holes.empty() ? std::string{} : text::to_text(n.tab)},
                         {"joined", n.joined},
                         {"midi", n.pitch.midi},
                         {"bend_start", n.bend_start.value},
                         {"bend", n.bend.value},
                         {"gestures", std::move(gestures)},
                         {"confidence", n.confidence}});
    }
    Json f0 = Json::array();
    for (const hear::Frame& f : all.frames)
        f0.push_back(f.pitch.value > 0.0 ? 69.0 + 12.0 * std::log2(f.pitch.value / 440.0) : 0.0);
    return {0, json_bytes({{"tuning_hz", all.a4.value},
                           {"noise", all.noise},
                           {"clipped", all.clipped},
                           {"notes", std::move(notes)},
                           {"f0_midi", std::move(f0)}})};
}

}  // namespace lw::binding
