// SPDX-License-Identifier: Apache-2.0
//
// The door of the module. Every call works on the text that lies in the module's own memory and leaves one
// answer there:
//
//     const at = lw_text(size)          // room for `size` bytes of UTF-8; write them there
//     const status = lw_read(1)         // or another question; 0 is good, 1 is a text with errors
//     bytes = memory.slice(lw_answer(), lw_answer() + lw_answer_size())
//
// The answer lies there until the next question. `memory.buffer` may be another one after any call, so look at
// it anew. Call `_initialize()` once before anything else. One module answers one question at a time; that is
// the only state in it.
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "wasm/answers.hpp"
#include "wasm/ear.hpp"

namespace {

std::string& question() {
    static std::string text;
    return text;
}

lw::binding::Answer& answer() {
    static lw::binding::Answer last;
    return last;
}

std::optional<lw::binding::Ear>& ear() {
    static std::optional<lw::binding::Ear> open;
    return open;
}

std::vector<float>& sound() {
    static std::vector<float> samples;
    return samples;
}

int answered(lw::binding::Answer a) {
    answer() = std::move(a);
    return answer().status;
}

}  // namespace

#define LW_EXPORT(name) extern "C" __attribute__((export_name(#name)))

LW_EXPORT(lw_text) char* lw_text(std::uint32_t size) {
    question().assign(size, '\0');
    return question().data();
}
LW_EXPORT(lw_answer) const char* lw_answer() {
    return answer().bytes.data();
}
LW_EXPORT(lw_answer_size) std::uint32_t lw_answer_size() {
    return static_cast<std::uint32_t>(answer().bytes.size());
}
LW_EXPORT(lw_read) int lw_read(int first_line) {
    return answered(lw::binding::read(question(), first_line));
}
LW_EXPORT(lw_told) int lw_told() {
    return answered(lw::binding::told(question()));
}
LW_EXPORT(lw_picture)
int lw_picture(double width, double scale, int spelling, int staff, int number, int sketch) {
    const std::string id = "lw" + std::to_string(number);
    return answered(lw::binding::picture(question(), {width, scale, spelling, staff != 0, id, sketch != 0}));
}
LW_EXPORT(lw_timeline) int lw_timeline(int percent) {
    return answered(lw::binding::timeline(question(), percent));
}
LW_EXPORT(lw_reeds) int lw_reeds() {
    return answered(lw::binding::reeds(question()));
}
LW_EXPORT(lw_loop) int lw_loop(int percent, double from, double to, double rate) {
    return answered(lw::binding::loop(question(), percent, from, to, rate));
}
LW_EXPORT(lw_knock) int lw_knock(int first_of_bar, double rate) {
    return answered(lw::binding::knock(first_of_bar != 0, rate));
}
LW_EXPORT(lw_colours) int lw_colours(int night) {
    return answered(lw::binding::colours(question(), night != 0));
}

// A try. One ear is open at a time; opening another closes it.
LW_EXPORT(lw_ear_open) void lw_ear_open(double rate) {
    ear().emplace(question(), rate);
}
/// Room for `count` samples; the same room until a larger one is asked for.
LW_EXPORT(lw_ear_room) float* lw_ear_room(std::uint32_t count) {
    if (sound().size() < count) sound().resize(count);
    return sound().data();
}
LW_EXPORT(lw_ear_push) void lw_ear_push(std::uint32_t count) {
    if (ear() && count <= sound().size()) ear()->push(std::span{sound()}.first(count));
}
LW_EXPORT(lw_ear_look) int lw_ear_look() {
    return answered(ear() ? ear()->look() : lw::binding::Answer{1, {}});
}
LW_EXPORT(lw_ear_finish) int lw_ear_finish() {
    return answered(ear() ? ear()->finish() : lw::binding::Answer{1, {}});
}

// What a practice page never asks.
#ifndef LW_PRACTICE_ONLY
LW_EXPORT(lw_explain) int lw_explain(int first_line) {
    return answered(lw::binding::explain(question(), "lick", first_line));
}
LW_EXPORT(lw_tidy) int lw_tidy() {
    return answered(lw::binding::tidy(question()));
}
LW_EXPORT(lw_tidy_lesson) int lw_tidy_lesson() {
    return answered(lw::binding::tidy_lesson(question()));
}
LW_EXPORT(lw_lesson) int lw_lesson() {
    return answered(lw::binding::lesson(question()));
}
LW_EXPORT(lw_harp) int lw_harp(int position) {
    return answered(lw::binding::harp(question(), position));
}
LW_EXPORT(lw_harp_of) int lw_harp_of() {
    return answered(lw::binding::harp_of(question()));
}
LW_EXPORT(lw_sheet) int lw_sheet(int lesson, int number) {
    return answered(lw::binding::sheet(question(), lesson != 0, "sheet" + std::to_string(number) + "-"));
}
LW_EXPORT(lw_midi) int lw_midi(int plain) {
    return answered(lw::binding::midi(question(), plain != 0));
}
LW_EXPORT(lw_draw) int lw_draw(double width) {
    return answered(lw::binding::drawing(question(), width));
}
LW_EXPORT(lw_clip) int lw_clip(int percent, int repeats, int click_through) {
    return answered(lw::binding::clip(question(), {percent, repeats, click_through != 0}));
}
LW_EXPORT(lw_listen) int lw_listen(double rate) {
    return answered(lw::binding::heard(question(), rate));
}
#endif
