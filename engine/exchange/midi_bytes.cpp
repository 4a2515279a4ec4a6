// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "engine/exchange/midi_score.hpp"

namespace lw::exchange {
namespace {

using Kind = MidiEvent::Kind;

void put(std::string& bytes, int value) {
    bytes += static_cast<char>(static_cast<unsigned char>(value & 0xFF));
}

/// Big-endian, as every number of the format.
void put_number(std::string& bytes, std::uint32_t value, int width) {
    for (int shift = 8 * (width - 1); shift >= 0; shift -= 8) put(bytes, static_cast<int>(value >> shift));
}

void put_event(std::string& bytes, const MidiEvent& e) {
    switch (e.kind) {
        case Kind::note_off:
        case Kind::note_on:
        case Kind::control:
            put(bytes, (e.kind == Kind::note_off ? 0x80 : e.kind == Kind::note_on ? 0x90 : 0xB0) | e.channel);
            put(bytes, e.a & 0x7F);
            put(bytes, e.b & 0x7F);
            return;
        case Kind::program:
            put(bytes, 0xC0 | e.channel);
            put(bytes, e.a & 0x7F);
            return;
        case Kind::bend:  // low seven bits first
            put(bytes, 0xE0 | e.channel);
            put(bytes, e.a & 0x7F);
            put(bytes, (e.a >> 7) & 0x7F);
            return;
        case Kind::meta:
            put(bytes, 0xFF);
            put(bytes, e.a & 0x7F);
            bytes += variable_length(static_cast<std::uint32_t>(e.data.size()));
            bytes += e.data;
            return;
        case Kind::other:
            put(bytes, e.a);
            if (e.a == 0xF0 || e.a == 0xF7)
                bytes += variable_length(static_cast<std::uint32_t>(e.data.size()));
            bytes += e.data;
            return;
    }
}

/// Reads on and never past the end; after the first fault everything it gives is 0.
class Reader {
  public:
    explicit Reader(std::string_view bytes) : bytes_(bytes) {}

    [[nodiscard]] bool failed() const noexcept { return !fault_.empty(); }
    [[nodiscard]] const std::string& fault() const noexcept { return fault_; }
    [[nodiscard]] std::size_t at() const noexcept { return at_; }
    [[nodiscard]] std::size_t left() const noexcept { return bytes_.size() - at_; }
    void fail(std::string words) {
        if (!failed()) fault_ = "byte " + std::to_string(at_) + ": " + std::move(words);
    }
    int byte() {
        if (failed()) return 0;
        if (at_ >= bytes_.size()) {
            fail("the file ends too early");
            return 0;
        }
        return static_cast<unsigned char>(bytes_[at_++]);
    }
    [[nodiscard]] int peek() const noexcept {
        return at_ < bytes_.size() ? static_cast<unsigned char>(bytes_[at_]) : 0;
    }
    /// A data byte: below 128.
    int data() {
        const int value = byte();
        if (value > 0x7F) fail("a data byte is above 127");
        return value & 0x7F;
    }
    std::uint32_t number(int width) {
        std::uint32_t value = 0;
        for (int i = 0; i < width; ++i) value = value << 8 | static_cast<std::uint32_t>(byte());
        return value;
    }
    std::uint32_t quantity() {
        std::uint32_t value = 0;
        for (int i = 0; i < 4; ++i) {
            const int b = byte();
            value = value << 7 | static_cast<std::uint32_t>(b & 0x7F);
            if (b < 0x80) return value;
        }
        fail("a variable-length number is longer than four bytes");
        return 0;
    }
    std::string text(std::size_t length) {
        if (failed()) return {};
        if (length > left()) {
            fail("the file ends too early");
            return {};
        }
        at_ += length;
        return std::string{bytes_.substr(at_ - length, length)};
    }

  private:
    std::string_view bytes_;
    std::size_t at_ = 0;
    std::string fault_;
};

/// One event after its time; `running` is the status byte that may be left out. False at the track's end.
bool read_event(Reader& in, MidiEvent& e, int& running) {
    int status = running;
    if (in.peek() >= 0x80) status = in.byte();
    if (status < 0x80) {
        in.fail("an event has no status byte");
        return false;
    }
    e.channel = status & 0x0F;
    if (status < 0xF0) running = status;
    switch (status & 0xF0) {
        case 0x80:
        case 0x90:
        case 0xB0:
            e.kind = (status & 0xF0) == 0x80   ? Kind::note_off
                     : (status & 0xF0) == 0x90 ? Kind::note_on
                                               : Kind::control;
            e.a = in.data();
            e.b = in.data();
            return true;
        case 0xC0:
            e.kind = Kind::program;
            e.a = in.data();
            return true;
        case 0xE0:
            e.kind = Kind::bend;
            e.a = in.data();
            e.a |= in.data() << 7;
            return true;
        case 0xA0:
        case 0xD0:
            e.kind = Kind::other;
            e.a = status;
            e.channel = 0;
            e.data = in.text((status & 0xF0) == 0xA0 ? 2 : 1);
            return true;
        default:
            break;
    }
    running = 0;
    e.channel = 0;
    if (status == 0xFF) {
        e.kind = Kind::meta;
        e.a = in.data();
        e.data = in.text(in.quantity());
        return e.a != meta::end_of_track;
    }
    if (status == 0xF0 || status == 0xF7) {
        e.kind = Kind::other;
        e.a = status;
        e.data = in.text(in.quantity());
        return true;
    }
    in.fail("a status byte that does not belong into a file");
    return false;
}

MidiTrack read_track(Reader& in, std::size_t length) {
    MidiTrack track;
    const std::size_t stop = in.at() + length;
    std::uint64_t now = 0;
    int running = 0;
    while (!in.failed()) {
        if (in.at() >= stop) {
            in.fail("the track has no end event");
            break;
        }
        now += in.quantity();
        if (now > largest_quantity) {
            in.fail("the track is too long");
            break;
        }
        MidiEvent e;
        e.tick = static_cast<std::uint32_t>(now);
        if (!read_event(in, e, running)) break;
        track.events.push_back(std::move(e));
    }
    track.end = static_cast<std::uint32_t>(std::min<std::uint64_t>(now, largest_quantity));
    if (!in.failed() && in.at() != stop) in.fail("the track's length does not fit its events");
    return track;
}

}  // namespace

std::string variable_length(std::uint32_t value) {
    value = std::min(value, largest_quantity);
    std::string bytes;
    for (int shift = 21; shift > 0; shift -= 7)
        if (value >> shift != 0) put(bytes, static_cast<int>((value >> shift & 0x7F) | 0x80));
    put(bytes, static_cast<int>(value & 0x7F));
    return bytes;
}

std::string midi_bytes(const MidiScore& score) {
    std::string bytes = "MThd";
    put_number(bytes, 6, 4);
    put_number(bytes, static_cast<std::uint32_t>(score.format), 2);
    put_number(bytes, static_cast<std::uint32_t>(score.tracks.size()), 2);
    put_number(bytes, static_cast<std::uint32_t>(score.division), 2);
    for (const MidiTrack& track : score.tracks) {
        std::string body;
        std::uint32_t now = 0;
        for (const MidiEvent& e : track.events) {
            body += variable_length(e.tick - now);
            put_event(body, e);
            now = e.tick;
        }
        body += variable_length(std::max(track.end, now) - now);
        body += std::string_view{"\xFF\x2F\x00", 3};
        bytes += "MTrk";
        put_number(bytes, static_cast<std::uint32_t>(body.size()), 4);
        bytes += body;
    }
    return bytes;
}

tl::expected<MidiScore, std::string> read_midi(std::string_view bytes) {
    Reader in{bytes};
    MidiScore score;
    if (in.text(4) != "MThd") in.fail("not a MIDI file: it does not begin with MThd");
    const std::uint32_t header = in.number(4);
    if (header < 6) in.fail("the header is too short");
    score.format = static_cast<int>(in.number(2));
    const std::uint32_t tracks = in.number(2);
    score.division = static_cast<int>(in.number(2));
    if (score.division == 0 || score.division > 0x7FFF) in.fail("the division is not in ticks to a quarter");
    if (!in.failed() && header > 6) (void)in.text(header - 6);
    while (!in.failed() && score.tracks.size() < tracks) {
        const std::string chunk = in.text(4);
        const std::uint32_t length = in.number(4);
        if (in.failed()) break;
        if (length > in.left()) {
            in.fail("the file ends too early");
            break;
        }
        // The specification asks a reader to step over chunks it does not know.
        if (chunk == "MTrk") {
            score.tracks.push_back(read_track(in, length));
        } else {
            (void)in.text(length);
        }
    }
    if (in.failed()) return tl::make_unexpected(in.fault());
    return score;
}

}  // namespace lw::exchange
