// SPDX-License-Identifier: Apache-2.0
//
// What a player of the ten-hole harp tends to play, as chances. Private to the room. On one harp, in one position, a
// phrase is a walk from note to note; here stand how likely each note is to start with, to follow another, and to end.
// All harps of one tuning share the walk: only the pitch differs.
#pragma once

#include <vector>

#include "engine/harp/harp.hpp"

namespace lw::coach {

class PlayerModel {
  public:
    struct Note {
        harp::HoleNote note;
        double above = 0.0;  // semitones above the 1 blow
        double room = 0.0;   // semitones that it can be pulled down further
    };
    /// For the standard tuning; `position` from 1 to 12.
    explicit PlayerModel(int position);

    [[nodiscard]] const std::vector<Note>& notes() const noexcept { return notes_; }
    /// Chances, not logarithms.
    [[nodiscard]] double first(std::size_t note) const noexcept { return first_[note]; }
    [[nodiscard]] double next(std::size_t from, std::size_t to) const noexcept {
        return next_[from * notes_.size() + to];
    }
    /// The same where no new attack was heard: the bend of one reed moves, or the mouth slides to the next hole.
    [[nodiscard]] double joined(std::size_t from, std::size_t to) const noexcept {
        return joined_[from * notes_.size() + to];
    }
    /// How much likelier than usual a phrase ends on it.
    [[nodiscard]] double last(std::size_t note) const noexcept { return last_[note]; }
    /// Of the position, before anything is heard.
    [[nodiscard]] static double prior(int position) noexcept;

  private:
    std::vector<Note> notes_;
    std::vector<double> first_, next_, joined_, last_;
};

/// How common a harp is before anything is heard; over all made harps about 1.
[[nodiscard]] double prior(const harp::Harp& harp) noexcept;
/// All that are made, in the standard tuning.
[[nodiscard]] std::vector<harp::Harp> made_harps();

}  // namespace lw::coach
