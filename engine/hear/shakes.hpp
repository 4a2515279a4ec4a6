// SPDX-License-Identifier: Apache-2.0
//
// Short notes that swing between two neighbouring holes in one breath are one note with a shake. Private to the room.
//
// A short note waits here until what follows is seen to be longer than a swing, or elsewhere. Of a shake the first four
// swings make it sure; from then on it only grows.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "engine/hear/confidence.hpp"
#include "engine/hear/hear.hpp"
#include "engine/hear/ways.hpp"

namespace lw::hear {

/// Makes room for the longest note, so that nothing allocates later.
void reserve(HeardNote& note);

class Shakes {
  public:
    explicit Shakes(const Ways& ways);

    /// One more note, in order, and why it is believed.
    void note(HeardNote& note, const Witness& why);
    /// This way sounds, and is seen to sound on until `until`.
    void sounds(int way, Seconds until);
    void silence(Seconds now);
    /// No more will come.
    void finish() { release_all(); }

    /// Notes that wait for nothing more, since the last `forget`.
    [[nodiscard]] std::span<const HeardNote> ready() const noexcept { return {ready_.data(), ready_count_}; }
    /// Beside them, why each is believed.
    [[nodiscard]] std::span<const Witness> witnesses() const noexcept { return {why_.data(), ready_count_}; }
    void forget() noexcept { ready_count_ = 0; }

  private:
    [[nodiscard]] bool swings(const HeardNote& note) const noexcept;
    [[nodiscard]] bool turns(int hole) const noexcept;
    [[nodiscard]] bool may_go_on(int way) const noexcept;
    [[nodiscard]] int twin_of(const HeardNote& note) const noexcept;
    [[nodiscard]] bool retell_as_twin(HeardNote& note) const noexcept;
    void hold(const HeardNote& note, const Witness& why);
    void release_oldest();
    void release_all();
    void write(const HeardNote& note, const Witness& why);

    const Ways* ways_;
    std::vector<HeardNote> waiting_;    // neighbours in turn; once shaking, one note
    std::vector<Witness> waiting_why_;  // beside them
    std::size_t waiting_count_ = 0;
    bool shaking_ = false;
    std::vector<HeardNote> ready_;
    std::vector<Witness> why_;  // beside them
    std::size_t ready_count_ = 0;
};

}  // namespace lw::hear
