// SPDX-License-Identifier: Apache-2.0
//
// A lick as it is seen and heard.
#include <algorithm>
#include <bit>
#include <cstring>
#include <utility>
#include <vector>

#include "engine/draw/breath_line.hpp"
#include "engine/draw/sheet.hpp"
#include "engine/draw/svg.hpp"
#include "engine/exchange/midi.hpp"
#include "engine/sound/mix.hpp"
#include "engine/text/lesson.hpp"
#include "wasm/answers.hpp"
#include "wasm/json_bytes.hpp"
#include "wasm/picture_json.hpp"

namespace lw::binding {

static_assert(std::endian::native == std::endian::little, "samples are handed over as they lie in memory");

Answer drawing(std::string_view source, double width) {
    const text::LickReading reading = text::read_lick(source);
    if (!reading.ok()) return {1, {}};
    draw::LineChoices choices;
    choices.width = width;
    return {0, picture_json(draw::breath_line(reading.lick, choices))};
}

Answer sheet(std::string_view source, bool lesson, std::string_view id) {
    std::vector<draw::Picture> pages;
    std::string title;
    if (lesson) {
        const text::LessonReading reading = text::read_lesson(source);
        if (!reading.ok()) return {1, {}};
        pages = draw::sheet(reading.lesson, {});
        title = reading.lesson.title;
    } else {
        const text::LickReading reading = text::read_lick(source);
        if (!reading.ok()) return {1, {}};
        const lick::Lick* only = &reading.lick;
        pages = draw::sheet({&only, 1}, {}, {});
        if (pages.size() == 1) pages.front() = draw::cropped(std::move(pages.front()));
        title = reading.lick.head.title;
    }
    const draw::Theme theme = draw::theme(draw::Look::sheet);
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    for (const draw::Picture& page : pages) {
        const std::string own = std::string{id} + std::to_string(all.size());
        draw::SvgChoices choices;
        choices.title = title;
        choices.id = own;
        all.push_back(draw::svg(page, theme, choices));
    }
    return {0, json_bytes({{"pages", std::move(all)}})};
}

Answer midi(std::string_view source, bool plain) {
    const text::LickReading reading = text::read_lick(source);
    if (!reading.ok()) return {1, {}};
    const exchange::MidiScore score = plain
                                          ? exchange::plain_midi(reading.lick)
                                          : exchange::played_midi(reading.lick, sound::perform(reading.lick));
    return {0, exchange::midi_bytes(score)};
}

Answer clip(std::string_view source, const ClipQuestion& question) {
    const text::LickReading reading = text::read_lick(source);
    if (!reading.ok()) return {1, {}};
    const lick::Head& head = reading.lick.head;
    sound::Choices choices;
    choices.tempo = head.tempo * (std::clamp(question.percent, 10, 200) / 100.0);
    choices.repeats = std::clamp(question.repeats, 1, 16);
    choices.click_through = question.click_through;
    const sound::Clip made = sound::render_clip(head.harp, sound::perform(reading.lick, choices));
    Answer answer;
    answer.bytes.resize(made.samples.size() * sizeof(float));
    std::memcpy(answer.bytes.data(), made.samples.data(), answer.bytes.size());
    return answer;
}

}  // namespace lw::binding
