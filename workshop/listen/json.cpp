// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/listen/json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace lw::listen {
namespace {

/// Harps below this share are not worth a line, unless they are the only ones.
constexpr double least_share = 0.005;

std::string fraction(Fraction f) {
    return f.whole() ? fmt::format("{}", f.top()) : fmt::format("{}/{}", f.top(), f.bottom());
}

std::string feel_word(const coach::BeatMap& map) {
    if (map.meter.compound() || map.feel.straight()) return "straight";
    if (map.feel.ratio == Fraction{2}) return "swing";
    return fmt::format("swing {}:{}", map.feel.ratio.top(), map.feel.ratio.bottom());
}

void add_note(std::string& out, const hear::HeardNote& n, const coach::Placed& placed) {
    out += fmt::format("{{\"onset\":{:.4f},\"offset\":{:.4f},\"hole\":{},\"holes\":[", n.onset.value,
                       n.offset.value, n.tab.lead_hole());
    for (std::size_t i = 0; i < n.tab.holes.size(); ++i)
        out += fmt::format("{}{}", i > 0 ? "," : "", n.tab.holes[i]);
    out +=
        fmt::format("],\"breath\":\"{}\",\"bend\":{:.3f},\"bend_start\":{:.3f},\"bend_path\":[",
                    n.tab.breath == lick::Breath::blow ? "blow" : "draw", n.bend.value, n.bend_start.value);
    for (std::size_t i = 0; i < n.bend_path.size(); ++i)
        out += fmt::format("{}[{:.3f},{:.3f}]", i > 0 ? "," : "", n.bend_path[i].at.value,
                           n.bend_path[i].depth.value);
    out += fmt::format("],\"overbend\":{},\"joined\":{},\"midi\":{:.3f},\"beat\":\"{}\",\"gestures\":[",
                       n.tab.overbend, n.joined, n.pitch.midi, fraction(placed.at.value));
    for (std::size_t i = 0; i < n.gestures.size(); ++i) {
        out += fmt::format("{}\"{}\"", i > 0 ? "," : "", lick::word(n.gestures[i].gesture));
    }
    out += fmt::format("],\"confidence\":{:.3f}}}", n.confidence);
}

}  // namespace

HearingJson::HearingJson(std::FILE* out) : out_(out), pitches_(std::tmpfile()) {}

void HearingJson::begin(const Listened& l) {
    begun_ = true;
    std::string text = fmt::format(
        "{{\"command\":\"listen\",\"harp_key\":\"{}\",\"tuning_hz\":{:.2f},\"tempo\":{:.2f},\"position\":{},"
        "\"meter\":\"{}/{}\",\"feel\":\"{}\",\"harps\":[",
        harp::name(l.harp), l.heard.a4.value, l.beat.tempo.value, l.position, l.beat.meter.top,
        l.beat.meter.bottom, feel_word(l.beat));
    bool any = false;
    for (const coach::HarpGuess& g : l.harps) {
        if (any && g.probability < least_share) break;
        text += fmt::format("{}[\"{}\",{:.4f}]", any ? "," : "", harp::name(g.harp), g.probability);
        any = true;
    }
    text += "],\n\"notes\":[";
    std::fputs(text.c_str(), out_);
}

void HearingJson::notes(std::span<const hear::HeardNote> notes, const coach::BeatMap& map) {
    std::string text;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        text += any_note_ ? ",\n" : "\n";
        any_note_ = true;
        add_note(text, notes[i], map.notes[i]);
    }
    std::fputs(text.c_str(), out_);
}

void HearingJson::frames(std::span<const hear::Frame> frames) {
    if (pitches_ == nullptr) return;
    std::string text;
    for (const hear::Frame& f : frames) {
        text += fmt::format("{}[{:.3f},{:.2f}]", any_frame_ ? "," : "", f.at.value, f.pitch.value);
        any_frame_ = true;
    }
    std::fputs(text.c_str(), pitches_.get());
}

bool HearingJson::finish(const Listened* listened, const nlohmann::ordered_json& trouble) {
    std::fputs("],\n\"f0\":[", out_);
    bool well = pitches_ != nullptr && std::fflush(pitches_.get()) == 0 && std::ferror(pitches_.get()) == 0;
    if (well) {
        std::rewind(pitches_.get());
        std::vector<char> part(1 << 16);
        while (const std::size_t got = std::fread(part.data(), 1, part.size(), pitches_.get()))
            std::fwrite(part.data(), 1, got, out_);
    }
    // Words may hold a name of a file in any bytes; they are shown as U+FFFD, never a reason to fail.
    const auto text = [](const nlohmann::ordered_json& value) {
        return value.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
    };
    auto checks = nlohmann::ordered_json::array(), remarks = checks;
    if (listened != nullptr) {
        if (listened->whole)
            for (const coach::Check& c : listened->draft.checks) checks.push_back(c.words);
        for (const std::string& w : listened->warnings) remarks.push_back(w);
    }
    std::string end = "],\n\"check\":" + text(checks) + ",\"remarks\":" + text(remarks);
    end += ",\"made\":" + text(made_);
    end += std::string{",\n\"ok\":"} + (trouble.is_null() ? "true" : "false") + ",\"faults\":[]";
    if (!trouble.is_null()) end += ",\"trouble\":" + text(trouble);
    std::fputs((end + "}\n").c_str(), out_);
    return std::fflush(out_) == 0 && std::ferror(out_) == 0 && well;
}

}  // namespace lw::listen
