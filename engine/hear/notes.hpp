// SPDX-License-Identifier: Apache-2.0
//
// From decisions about frames to notes. Private to the room.
//
// A run of frames with the same holes and breath is a note, its bend followed frame by frame by the fine pitch. A change
// of depth that stays (a plateau of 90 ms) is a new, joined note; one that comes back sooner is a gesture of the
// note. What is said about one note is finished when it ends; short notes that swing between two neighbouring holes
// wait a little, since they may be a shake.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/hear/confidence.hpp"
#include "engine/hear/decoder.hpp"
#include "engine/hear/hear.hpp"
#include "engine/hear/note_shape.hpp"
#include "engine/hear/tuning.hpp"

namespace lw::hear {

class NoteMaker {
  public:
    NoteMaker(Ways& ways, TuningLearner& tuning, OctaveHabit& octaves);

    /// What was decided about frame number `frame` (they come in order), what was seen then, and how much better the
    /// decision fits the frame than the best of the other mouths, in nats. `around` are the chances from `frame` - 3 to
    /// `frame` + 3, nullptr where there are none.
    struct Seen {
        const Look* now;
        std::array<const Chances*, 7> around;  // the fourth is now's
        float margin;
    };
    void frame(std::int64_t frame, Decision decision, const Seen& seen);
    void finish(std::int64_t frames);

    /// Notes finished since the last `forget`.
    [[nodiscard]] std::span<const HeardNote> ready() const noexcept { return {ready_.data(), ready_count_}; }
    /// Beside them, why each is believed.
    [[nodiscard]] std::span<const Witness> witnesses() const noexcept { return {why_.data(), ready_count_}; }
    void forget() noexcept { ready_count_ = 0; }

  private:
    void begin(std::int64_t frame, int way, bool attack, const Seen& seen);
    [[nodiscard]] bool reshapes(int way) const noexcept;
    [[nodiscard]] Seconds left_its_pitch(std::int64_t frame) noexcept;
    void extend(int way, const Seen& seen);
    void split_where_the_bend_moved();
    void end(Seconds at, int next_way);
    [[nodiscard]] int better_twin(int way, int next_way) const noexcept;
    [[nodiscard]] bool retell_as_twin(HeardNote& note) const noexcept;
    void pass_on(HeardNote& note, const Witness& why);
    [[nodiscard]] bool may_go_on_swinging(int way) const noexcept;
    void release_waiting();
    void write(const HeardNote& note, const Witness& why);

    Ways* ways_;
    TuningLearner* tuning_;
    OctaveHabit* octaves_;
    OpenNote open_;
    int last_way_ = -1;  // of the note before
    Seconds last_end_;
    std::vector<bool> bends_;  // beside the ways
    HeardNote made_;
    std::vector<HeardNote> waiting_;    // may turn out to be a shake
    std::vector<Witness> waiting_why_;  // beside them
    std::size_t waiting_count_ = 0;
    bool shaking_ = false;
    std::vector<HeardNote> ready_;
    std::vector<Witness> why_;  // beside them
    std::size_t ready_count_ = 0;
};

}  // namespace lw::hear
