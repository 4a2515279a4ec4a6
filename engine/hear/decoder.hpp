// SPDX-License-Identifier: Apache-2.0
//
// The likeliest story of breath and holes behind the evidence. Private to the room.
//
// A Viterbi search (L. Rabiner, A tutorial on hidden Markov models, Proc. IEEE 77(2), 1989, from memory) over silence
// and the ways of the harp (ways.hpp), each way twice: beginning (one frame, which asks for evidence of an attack) and
// sounding on. A way is believed as its reeds' evidence says. Decisions fall `lag` frames late and stand: paths that
// contradict them are dropped, so what has been said stays the beginning of what is said later. Streaming and
// whole-file hearing run exactly this.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "engine/hear/evidence.hpp"
#include "engine/hear/ways.hpp"

namespace lw::hear {

/// What is going on in one frame.
struct Decision {
    int way = -1;         // -1: silence
    bool begins = false;  // a new attack
};

class Decoder {
  public:
    /// Frames that a decision waits for what follows: 30 ms, so that with the lookahead of the evidence, the window
    /// and what the notes wait for, a note is out in 300 ms.
    static constexpr int lag = 3;

    explicit Decoder(const Ways& ways);
    /// Weighs one more frame, whose attacks show in the frames beside it too; gives back the decision about the frame
    /// `lag` before it once there is one.
    [[nodiscard]] std::optional<Decision> step(const Evidence& evidence, const Chances& before,
                                               const Chances& now, const Chances& after) noexcept;
    /// What is still open at the end of the sound, oldest first; at most `lag` of them.
    [[nodiscard]] std::span<const Decision> finish() noexcept;
    /// How well each way fits a frame alone, in nats; written by `step` for the frame it was given.
    [[nodiscard]] std::span<const float> fit() const noexcept { return fit_; }

  private:
    using Index = std::int32_t;  // 0 silence, 1 + way sounding, 1 + count + way beginning
    [[nodiscard]] Index& back(int frame, int state) noexcept {
        return back_[static_cast<std::size_t>(frame % (lag + 1)) * score_.size() +
                     static_cast<std::size_t>(state)];
    }
    [[nodiscard]] Decision meaning(int state) const noexcept;

    const Ways* ways_;
    int count_;
    int frame_ = 0;
    std::vector<float> voice_sounds_, voice_begins_;
    std::vector<float> fit_, begin_fit_;
    std::vector<float> score_, next_;
    std::vector<Index> back_;
    std::array<float, 4> voices_;  // of the last frames
    std::vector<int> hopeful_;
    std::vector<Decision> open_;
};

}  // namespace lw::hear
