// SPDX-License-Identifier: Apache-2.0
//
// From decisions about frames to notes. Private to the room.
//
// A run of frames with the same holes and breath is a note, its bend followed frame by frame by the fine pitch. A change
// of depth that stays (a plateau of 90 ms) is a new, joined note; one that comes back sooner is a gesture of the
// note. What is said about one note is finished when it ends; short notes that swing between two neighbouring holes
// wait a little, since they may be a shake.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "engine/hear/attacks.hpp"
#include "engine/hear/breath_gap.hpp"
#include "engine/hear/confidence.hpp"
#include "engine/hear/decoder.hpp"
#include "engine/hear/hear.hpp"
#include "engine/hear/note_shape.hpp"
#include "engine/hear/shakes.hpp"
#include "engine/hear/tuning.hpp"

namespace lw::hear {

class NoteMaker {
  public:
    NoteMaker(Ways& ways, TuningLearner& tuning, OctaveHabit& octaves, Attacks& attacks);

    /// The best of the other mouths in a frame, and how much better than it the decision fits there, in nats.
    struct Rival {
        int way = -1;
        float margin = 0.0F;
    };
    /// What was decided about frame number `frame` (they come in order), and what was seen then. `looks` are those of
    /// `frame` and of the frames after it, `around` the chances from `frame` - 3 on; nullptr where there are none.
    static constexpr std::size_t foresight = Decoder::lag + 1;  // frames
    struct Seen {
        std::array<const Look*, 1 + foresight> looks{};
        std::array<const Chances*, 3 + 1 + foresight> around{};
        Rival rival;
        [[nodiscard]] const Look& now() const noexcept { return *looks[0]; }
        [[nodiscard]] const Chances& chances(std::size_t later = 0) const noexcept {
            return *around[3 + later];
        }
    };
    void frame(std::int64_t frame, Decision decision, const Seen& seen);
    void finish(std::int64_t frames);

    /// Notes finished since the last `forget`.
    [[nodiscard]] std::span<const HeardNote> ready() const noexcept { return shakes_.ready(); }
    /// Beside them, why each is believed.
    [[nodiscard]] std::span<const Witness> witnesses() const noexcept { return shakes_.witnesses(); }
    void forget() noexcept { shakes_.forget(); }

  private:
    /// Where an attack lies between the frames, and the odds that there was one, in nats; 0 where none was decided.
    struct Attack {
        Seconds at;
        float odds = 0.0F;
    };
    [[nodiscard]] Attack attack_at(std::int64_t frame, int way, const Seen& seen) const noexcept;
    void begin(std::int64_t frame, int way, const Attack& attack);
    [[nodiscard]] bool reshapes(int way) const noexcept;
    [[nodiscard]] bool rang_on(int way) const noexcept;
    [[nodiscard]] Seconds left_its_pitch(std::int64_t frame) noexcept;
    std::size_t extend(int way, const Seen& seen);
    [[nodiscard]] std::size_t foresee(int way, const Seen& seen);
    void split_where_the_bend_moved(std::size_t foreseen);
    void end(Seconds at, int next_way);
    [[nodiscard]] bool rivals_note() const noexcept;
    void give_to_rival() noexcept;
    [[nodiscard]] int better_twin(int way, int next_way) const noexcept;

    Ways* ways_;
    TuningLearner* tuning_;
    OctaveHabit* octaves_;
    Attacks* attacks_;
    OpenNote open_;
    std::vector<float> later_depth_;  // of the note that a move of the bend begins
    int last_way_ = -1;               // of the note before
    Seconds last_end_;
    BreathGap gap_;
    std::vector<bool> bends_;  // beside the ways
    HeardNote made_;
    Shakes shakes_;
};

}  // namespace lw::hear
