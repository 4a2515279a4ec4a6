// SPDX-License-Identifier: Apache-2.0
#include "wasm/picture_json.hpp"

#include <array>

#include "engine/draw/svg.hpp"
#include "engine/draw/theme.hpp"
#include "wasm/json_bytes.hpp"

namespace lw::binding {
namespace {

using Json = nlohmann::ordered_json;

Json point(const draw::Point& p) {
    return Json::array({p.x, p.y});
}
Json box(const draw::Box& b) {
    return Json::array({b.x, b.y, b.width, b.height});
}

void add_path(Json& json, const draw::Command& command) {
    std::string verbs;
    Json xy = Json::array();
    const auto add = [&](const draw::Point& p) {
        xy.push_back(p.x);
        xy.push_back(p.y);
    };
    for (const draw::Segment& s : command.segments) {
        switch (s.kind) {
            case draw::Segment::Kind::move:
                verbs += 'M';
                add(s.a);
                break;
            case draw::Segment::Kind::line:
                verbs += 'L';
                add(s.a);
                break;
            case draw::Segment::Kind::cubic:
                verbs += 'C';
                add(s.a);
                add(s.b);
                add(s.c);
                break;
            case draw::Segment::Kind::close:
                verbs += 'Z';
                break;
        }
    }
    json["verbs"] = std::move(verbs);
    json["xy"] = std::move(xy);
    json["fill"] = draw::name(command.fill);
    json["stroke"] = draw::name(command.stroke);
    json["stroke_width"] = command.stroke_width;
    json["round_ends"] = command.round_ends;
}

Json command_json(const draw::Command& command) {
    static constexpr std::array<std::string_view, 4> kinds = {"path", "words", "music", "image"};
    static constexpr std::array<std::string_view, 3> anchors = {"start", "middle", "end"};
    Json json = {{"kind", kinds[static_cast<std::size_t>(command.kind)]},
                 {"part", draw::name(command.part)},
                 {"owner", command.owner},
                 {"box", box(command.box)}};
    switch (command.kind) {
        case draw::Command::Kind::path:
            add_path(json, command);
            break;
        case draw::Command::Kind::words:
            json["words"] = command.words;
            json["at"] = point(command.at);
            json["size"] = command.size;
            json["face"] = command.face == draw::Face::bold ? "bold" : "regular";
            json["anchor"] = anchors[static_cast<std::size_t>(command.anchor)];
            json["fill"] = draw::name(command.fill);
            break;
        case draw::Command::Kind::music:
            json["glyph"] = static_cast<std::uint32_t>(command.glyph);
            json["at"] = point(command.at);
            json["size"] = command.size;
            json["fill"] = draw::name(command.fill);
            break;
        case draw::Command::Kind::image:
            break;
    }
    return json;
}

}  // namespace

std::string picture_json(const draw::Picture& picture) {
    Json commands = Json::array();
    for (const draw::Command& c : picture.commands) commands.push_back(command_json(c));
    Json systems = Json::array();
    for (const draw::System& s : picture.systems) {
        systems.push_back({{"start", fraction_text(s.start.value)},
                           {"end", fraction_text(s.end.value)},
                           {"box", box(s.box)},
                           {"top", s.top},
                           {"bottom", s.bottom},
                           {"first_bar", s.first_bar},
                           {"bar_count", s.bar_count}});
    }
    Json beats = Json::array();
    for (const draw::BeatPlace& b : picture.beats)
        beats.push_back(
            {{"bar", b.bar}, {"at", fraction_text(b.at.value)}, {"system", b.system}, {"x", b.x}});
    Json tokens = Json::array();
    for (const draw::TokenPlace& t : picture.tokens) {
        tokens.push_back(
            {{"bar", t.bar}, {"event", t.event}, {"system", t.system}, {"box", box(t.box)}, {"x", t.x}});
    }
    return json_bytes({{"width", picture.width},
                       {"height", picture.height},
                       {"spoken", picture.spoken},
                       {"commands", std::move(commands)},
                       {"systems", std::move(systems)},
                       {"beats", std::move(beats)},
                       {"tokens", std::move(tokens)}});
}

}  // namespace lw::binding
