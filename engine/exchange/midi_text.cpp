// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <charconv>
#include <optional>

#include "engine/exchange/midi_score.hpp"

namespace lw::exchange {
namespace {

using Kind = MidiEvent::Kind;

struct Word {
    std::string_view word;
    int type;
};
/// Meta events whose bytes are words; the others are shown as bytes.
constexpr std::array<Word, 5> wordy = {{{"text", meta::text},
                                        {"name", meta::track_name},
                                        {"instrument", meta::instrument},
                                        {"lyric", meta::lyric},
                                        {"marker", meta::marker}}};

constexpr std::string_view digits = "0123456789abcdef";

std::string hex(std::string_view bytes) {
    std::string text;
    for (const char c : bytes) {
        if (!text.empty()) text += ' ';
        text += digits[static_cast<unsigned char>(c) >> 4];
        text += digits[static_cast<unsigned char>(c) & 15];
    }
    return text;
}

/// In double quotes; `"`, `\` and control characters as `\xx` in hex, everything else as it is.
std::string quoted(std::string_view words) {
    std::string text = "\"";
    for (const char c : words) {
        const auto u = static_cast<unsigned char>(c);
        if (u < 0x20 || c == '"' || c == '\\') {
            text += '\\';
            text += digits[u >> 4];
            text += digits[u & 15];
        } else {
            text += c;
        }
    }
    return text + '"';
}

std::optional<int> hex_digit(char c) noexcept {
    const auto at = digits.find(c);
    if (at == std::string_view::npos) return std::nullopt;
    return static_cast<int>(at);
}

std::string say(const MidiEvent& e) {
    const auto numbers = [&](std::string_view word, int count) {
        std::string text{word};
        text += ' ' + std::to_string(e.channel) + ' ' + std::to_string(e.a);
        if (count > 1) text += ' ' + std::to_string(e.b);
        return text;
    };
    switch (e.kind) {
        case Kind::note_off:
            return numbers("off", 2);
        case Kind::note_on:
            return numbers("on", 2);
        case Kind::control:
            return numbers("control", 2);
        case Kind::program:
            return numbers("program", 1);
        case Kind::bend:
            return numbers("bend", 1);
        case Kind::other:
            return "other " + std::to_string(e.a) + (e.data.empty() ? "" : " ") + hex(e.data);
        case Kind::meta:
            break;
    }
    for (const Word& w : wordy)
        if (w.type == e.a) return std::string{w.word} + ' ' + quoted(e.data);
    if (e.a == meta::tempo && e.data.size() == 3) {
        std::uint32_t value = 0;
        for (const char c : e.data) value = value << 8 | static_cast<unsigned char>(c);
        return "tempo " + std::to_string(value);
    }
    return "meta " + std::to_string(e.a) + (e.data.empty() ? "" : " ") + hex(e.data);
}

/// Walks one line, word by word.
class Line {
  public:
    explicit Line(std::string_view text) : rest_(text) { skip(); }
    [[nodiscard]] bool done() const noexcept { return rest_.empty(); }
    std::string_view word() {
        const std::size_t end = std::min(rest_.find(' '), rest_.size());
        const std::string_view w = rest_.substr(0, end);
        rest_.remove_prefix(end);
        skip();
        return w;
    }
    std::optional<int> number(int largest) {
        const std::string_view w = word();
        int value = 0;
        const auto [end, error] = std::from_chars(w.data(), w.data() + w.size(), value);
        if (w.empty() || error != std::errc{} || end != w.data() + w.size() || value < 0 || value > largest)
            return std::nullopt;
        return value;
    }
    std::optional<std::string> quotation() {
        if (rest_.size() < 2 || rest_.front() != '"' || rest_.back() != '"') return std::nullopt;
        const std::string_view inside = rest_.substr(1, rest_.size() - 2);
        std::string words;
        for (std::size_t i = 0; i < inside.size(); ++i) {
            if (inside[i] == '"') return std::nullopt;
            if (inside[i] != '\\') {
                words += inside[i];
                continue;
            }
            if (i + 2 >= inside.size()) return std::nullopt;
            const auto high = hex_digit(inside[i + 1]);
            const auto low = hex_digit(inside[i + 2]);
            if (!high || !low) return std::nullopt;
            words += static_cast<char>(static_cast<unsigned char>(*high << 4 | *low));
            i += 2;
        }
        rest_ = {};
        return words;
    }
    std::optional<std::string> bytes() {
        std::string data;
        while (!done()) {
            const std::string_view w = word();
            if (w.size() != 2) return std::nullopt;
            const auto high = hex_digit(w[0]);
            const auto low = hex_digit(w[1]);
            if (!high || !low) return std::nullopt;
            data += static_cast<char>(static_cast<unsigned char>(*high << 4 | *low));
        }
        return data;
    }

  private:
    void skip() {
        while (!rest_.empty() && rest_.front() == ' ') rest_.remove_prefix(1);
    }
    std::string_view rest_;
};

std::optional<MidiEvent> read_event(Line& line, std::string_view word) {
    MidiEvent e;
    const auto numbers = [&](Kind kind, int largest, bool second) -> std::optional<MidiEvent> {
        e.kind = kind;
        const auto channel = line.number(15);
        const auto a = line.number(largest);
        const auto b = second ? line.number(127) : std::optional<int>{0};
        if (!channel || !a || !b) return std::nullopt;
        e.channel = *channel;
        e.a = *a;
        e.b = *b;
        return e;
    };
    if (word == "off") return numbers(Kind::note_off, 127, true);
    if (word == "on") return numbers(Kind::note_on, 127, true);
    if (word == "control") return numbers(Kind::control, 127, true);
    if (word == "program") return numbers(Kind::program, 127, false);
    if (word == "bend") return numbers(Kind::bend, 16383, false);
    std::optional<std::string> data;
    e.kind = Kind::meta;
    for (const Word& w : wordy) {
        if (w.word != word) continue;
        e.a = w.type;
        data = line.quotation();
    }
    if (word == "tempo") {
        e.a = meta::tempo;
        if (const auto value = line.number(0xFFFFFF))
            data = std::string{static_cast<char>(*value >> 16), static_cast<char>(*value >> 8 & 0xFF),
                               static_cast<char>(*value & 0xFF)};
    }
    if (word == "meta" || word == "other") {
        const bool other = word == "other";
        const auto type = line.number(other ? 255 : 127);
        if (!type || (other && *type < 0x80)) return std::nullopt;
        e.kind = other ? Kind::other : Kind::meta;
        e.a = *type;
        data = line.bytes();
    }
    if (!data) return std::nullopt;
    e.data = *std::move(data);
    return e;
}

}  // namespace

std::string midi_text(const MidiScore& score) {
    std::string text =
        "midi format " + std::to_string(score.format) + " division " + std::to_string(score.division) + "\n";
    for (const MidiTrack& track : score.tracks) {
        text += "track\n";
        for (const MidiEvent& e : track.events) text += std::to_string(e.tick) + ' ' + say(e) + '\n';
        text += std::to_string(track.end) + " end\n";
    }
    return text;
}

tl::expected<MidiScore, std::string> read_midi_text(std::string_view text) {
    MidiScore score;
    int number = 0;
    bool inside = false;
    const auto fault = [&](std::string_view words) {
        return tl::make_unexpected("line " + std::to_string(number) + ": " + std::string{words});
    };
    while (!text.empty()) {
        ++number;
        const std::size_t end = std::min(text.find('\n'), text.size());
        Line line{text.substr(0, end)};
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.done()) continue;
        if (number == 1) {
            if (line.word() != "midi" || line.word() != "format") return fault("expected `midi format`");
            const auto format = line.number(2);
            const bool named = line.word() == "division";
            const auto division = line.number(0x7FFF);
            if (!format || !named || !division || *division == 0)
                return fault("expected `midi format 1 division 960`");
            score.format = *format;
            score.division = *division;
            continue;
        }
        if (!inside) {
            if (line.word() != "track" || !line.done()) return fault("expected `track`");
            score.tracks.emplace_back();
            inside = true;
            continue;
        }
        const auto tick = line.number(static_cast<int>(largest_quantity));
        MidiTrack& track = score.tracks.back();
        const std::uint32_t before = track.events.empty() ? 0 : track.events.back().tick;
        if (!tick || static_cast<std::uint32_t>(*tick) < before)
            return fault("expected a tick, never falling");
        const std::string_view word = line.word();
        if (word == "end" && line.done()) {
            track.end = static_cast<std::uint32_t>(*tick);
            inside = false;
            continue;
        }
        auto event = read_event(line, word);
        if (!event || !line.done()) return fault("not an event");
        event->tick = static_cast<std::uint32_t>(*tick);
        track.events.push_back(*std::move(event));
    }
    if (score.tracks.empty() || inside) return fault("the text ends inside a track");
    return score;
}

}  // namespace lw::exchange
