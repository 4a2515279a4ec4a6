// SPDX-License-Identifier: Apache-2.0
//
// A page that listens: a microphone's samples in, what sounds now out; at the end of a try, how it went.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "wasm/answers.hpp"

namespace lw::binding {

/// One try at a lick. Keeps the samples of at most two minutes, to hear the whole try again at its end with everything
/// that was learned of the player's reeds.
class Ear {
  public:
    /// `question` as for a picture, but its first line may go on with the player's reeds: `C 3.5 - 0 ...`, 20 numbers in
    /// cents or `-`, hole 1 blow first. `rate` in samples a second, 8000 to 192000.
    Ear(std::string_view question, double rate);
    Ear(Ear&&) noexcept;
    Ear& operator=(Ear&&) noexcept;
    ~Ear();

    void push(std::span<const float> samples);
    /// What came since the last look: `{at, hz, sure, level, live: {tab, hole, breath, cents, note}, notes: [{onset,
    /// offset, tab, cents}], follow: [[note, came, late, cents, onset]]}`. `live` is null where nothing sounds; its cents are
    /// how deep the bend is; `at`, onset and late are seconds of the try; `follow` is there when a note was decided.
    [[nodiscard]] Answer look();
    /// The whole try against the lick: `{same_lick, likeness, tempo, notes: [{note, came, tab, heard, late, cents, length,
    /// faults}], extras, right, advice, reeds: [cents or null]}`.
    [[nodiscard]] Answer finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace lw::binding
