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
#include <string>

#include "wasm/answers.hpp"

namespace {

std::string& question() {
    static std::string text;
    return text;
}

lw::binding::Answer& answer() {
    static lw::binding::Answer last;
    return last;
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
LW_EXPORT(lw_explain) int lw_explain(int first_line) {
    return answered(lw::binding::explain(question(), "lick", first_line));
}
LW_EXPORT(lw_tidy) int lw_tidy() {
    return answered(lw::binding::tidy(question()));
}
LW_EXPORT(lw_lesson) int lw_lesson() {
    return answered(lw::binding::lesson(question()));
}
LW_EXPORT(lw_harp) int lw_harp(int position) {
    return answered(lw::binding::harp(question(), position));
}
LW_EXPORT(lw_midi) int lw_midi(int plain) {
    return answered(lw::binding::midi(question(), plain != 0));
}
LW_EXPORT(lw_told) int lw_told() {
    return answered(lw::binding::told(question()));
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
