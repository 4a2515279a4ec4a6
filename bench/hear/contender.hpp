// SPDX-License-Identifier: GPL-3.0-or-later
//
// Who listens: our ear, and general-purpose libraries that know nothing of harps. Each hears the same takes and is given
// the same harp. What a library gives is a line of pitch and a list of onsets; `notes_of_track` makes notes of them, as
// well as we know how, so that the table compares ears and not our patience.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "engine/hear/hear.hpp"
#include "tests/hear/listening/take.hpp"

namespace lw::bench {

class Contender {
  public:
    virtual ~Contender() = default;
    [[nodiscard]] virtual std::string name() const = 0;
    [[nodiscard]] virtual std::vector<hear::Heard> hear(std::span<const listening::Take> takes) = 0;
    /// CPU time spent listening, alone and in all; 0 when it ran in another process.
    [[nodiscard]] virtual Seconds spent() const = 0;
};

[[nodiscard]] std::unique_ptr<Contender> our_ear();
/// aubio 0.4 (P. Brossier): spectral YIN and its default onset detector.
[[nodiscard]] std::unique_ptr<Contender> aubio_ear();
/// Essentia 2.1 (D. Bogdanov et al., ISMIR 2013) in node: Melodia and its superflux onsets. (Its method for
/// several voices, Klapuri's, found fewer double stops right than Melodia did.) Nothing when node or the package is missing.
[[nodiscard]] std::unique_ptr<Contender> essentia_ear();

/// CPU time of aubio's spectral YIN alone, without onsets and notes: the yardstick of speed.
[[nodiscard]] Seconds yinfft_alone(std::span<const listening::Take> takes);

/// What a library heard at one time; a pitch of 0 where it heard none.
struct Height {
    Seconds at;
    Hz pitch;
};
struct Track {
    std::vector<Height> frames;  // evenly spaced
    std::vector<Seconds> onsets;
};
/// Notes of a harp out of a track: the tuning is the median distance from the nearest semitone; each frame goes to the
/// nearest thing the harp plays; what holds for 50 ms is a note; onsets cut what repeats; of two ways to play a pitch
/// the one nearer to the note before is taken. `late` is how far behind the planted onset this library comes at the
/// median (hear_table prints it); it is taken off, as its user would.
[[nodiscard]] hear::Heard notes_of_track(const Track& track, const harp::Harp& harp, Seconds late);

}  // namespace lw::bench
