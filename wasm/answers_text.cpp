// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "engine/lick/walk_through.hpp"
#include "engine/text/lesson.hpp"
#include "engine/text/text.hpp"
#include "wasm/answers.hpp"
#include "wasm/asked.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {
namespace {

using Json = nlohmann::ordered_json;

Json faults_json(const std::vector<text::Diagnostic>& diagnostics) {
    Json all = Json::array();
    for (const text::Diagnostic& d : diagnostics) {
        all.push_back({{"slug", d.slug},
                       {"level", d.level == text::Level::error ? "error" : "warning"},
                       {"line", d.place.line},
                       {"column", d.place.column},
                       {"length", d.place.length},
                       {"words", d.words},
                       {"remedy", d.remedy}});
    }
    return all;
}

std::string meter_text(const lick::Meter& meter) {
    return std::to_string(meter.top) + "/" + std::to_string(meter.bottom);
}

}  // namespace

Answer read(std::string_view source, int first_line) {
    const text::LickReading reading = text::read_lick(source, {}, first_line);
    const lick::Head& head = reading.lick.head;
    const std::optional<harp::Key> music = lick::key_of_music(head);
    Json answer = {{"ok", reading.ok()},
                   {"faults", faults_json(reading.diagnostics)},
                   {"title", head.title},
                   {"harp", harp::name(head.harp)},
                   {"tuning", head.harp.tuning.name}};
    if (head.position) answer["position"] = *head.position;
    if (music) answer["music"] = harp::name(*music);
    answer["meter"] = meter_text(head.meter);
    answer["beats"] = head.meter.beats();
    answer["tempo"] = head.tempo.value;
    answer["feel"] = fraction_text(head.feel.ratio);
    answer["tags"] = head.tags;
    answer["more"] = head.more;
    answer["credit"] = head.credit;
    answer["bars"] = reading.lick.bars.size();
    return {reading.ok() ? 0 : 1, json_bytes(answer)};
}

Answer explain(std::string_view source, std::string_view file, int first_line) {
    const text::LickReading reading = text::read_lick(source, {}, first_line);
    // Places count from `first_line`; the source lines that are shown are those of the lick alone.
    const std::string before(static_cast<std::size_t>(first_line > 1 ? first_line - 1 : 0), '\n');
    const std::string whole = before + std::string{source};
    std::string all;
    for (const text::Diagnostic& d : reading.diagnostics) all += text::explain(d, file, whole);
    return {reading.ok() ? 0 : 1, std::move(all)};
}

Answer tidy(std::string_view source) {
    return {text::read_lick(source).ok() ? 0 : 1, text::format_lick(source)};
}

Answer tidy_lesson(std::string_view source) {
    return {text::read_lesson(source).ok() ? 0 : 1, text::format_lesson(source)};
}

Answer lesson(std::string_view source) {
    const text::LessonReading reading = text::read_lesson(source);
    Json licks = Json::array();
    for (const text::LessonLick& l : reading.lesson.licks) {
        licks.push_back({{"title", l.lick.head.title},
                         {"slug", l.slug},
                         {"first_line", l.first_line},
                         {"source", l.source}});
    }
    Json passages = Json::array();
    for (const text::Passage& p : reading.lesson.passages)
        passages.push_back(p.lick ? Json(*p.lick) : Json(p.prose));
    const Json answer = {{"ok", reading.ok()},
                         {"faults", faults_json(reading.diagnostics)},
                         {"title", reading.lesson.title},
                         {"licks", std::move(licks)},
                         {"passages", std::move(passages)}};
    return {reading.ok() ? 0 : 1, json_bytes(answer)};
}

Answer told(std::string_view question) {
    const text::LickReading reading = asked_lick(question);
    if (!reading.ok()) return {1, {}};
    const lick::WalkThrough words = lick::walk_through(reading.lick);
    std::string all = words.what + "\n" + words.count + "\n";
    for (const std::string& bar : words.bars) all += bar + "\n";
    return {0, std::move(all)};
}

}  // namespace lw::binding
