// SPDX-License-Identifier: GPL-3.0-or-later
//
// A recording, heard and written down: the ear (engine/hear) and the coach (engine/coach) put to work on a file. A
// recording of up to five minutes is heard as a whole. A longer one is heard while it is read, phrase by phrase, so that
// hours take no more memory than minutes; harp and tuning are then learned from the first part that has a harp in it.
//
// What is no harp is refused in one clear line: silence, talk, noise, other instruments. Nothing is made up.
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/coach/beat.hpp"
#include "engine/coach/draft.hpp"
#include "engine/coach/rank_harps.hpp"
#include "engine/hear/hear.hpp"
#include "workshop/files/disk.hpp"
#include "workshop/listen/recording.hpp"

namespace lw::listen {

struct Wishes {
    std::optional<harp::Harp> harp;
    std::optional<int> position;
    coach::BeatGiven beat;
    std::string title;
    Seconds whole_up_to{300.0};  // beyond this a recording is heard phrase by phrase
    bool must_be_a_harp = true;  // false: what sounds like another instrument is written down all the same
};

/// Loudest and quietest sample of every `hear::frame_step`, for a picture.
struct Swing {
    float low = 0.0F;
    float high = 0.0F;
};

/// All that came of a recording, or of its first part.
struct Listened {
    hear::Heard heard;                     // times from the beginning of the cut
    std::vector<hear::HeardNote> pitches;  // heard without a harp; empty when it was given
    harp::Harp harp;
    std::vector<coach::HarpGuess> harps;  // likeliest first; one when it was given
    int position = 2;
    coach::BeatMap beat;
    coach::Draft draft;
    Seconds length;
    std::vector<Swing> wave;
    std::vector<std::string> warnings;  // clipped, cut off ...
    bool whole = true;                  // false: the recording goes on (see Longer)
};

/// Where a long recording goes while it is heard. Called from the calling thread, in order of time.
struct Longer {
    /// Once, before the others: harp, harps, tuning, tempo are those of the whole.
    std::function<void(const Listened& first_part)> begin;
    std::function<void(std::span<const hear::Frame>)> frames;
    /// One phrase. `map.notes` counts from the first downbeat of the recording.
    std::function<void(std::span<const hear::HeardNote>, const coach::BeatMap& map)> phrase;
};

/// Called now and then with seconds heard and, where known, seconds in all.
using Heartbeat = std::function<void(Seconds done, std::optional<Seconds> all)>;

/// Hears a recording. With `longer`, one over `whole_up_to` is handed over as it is heard and the result is its first
/// part; without, it is trouble. `stop` is looked at between blocks; a stopped run is trouble.
[[nodiscard]] files::Result<Listened> listen(Recording& recording, const std::string& name,
                                             const Wishes& wishes, const Heartbeat& heartbeat,
                                             const std::atomic<bool>& stop, const Longer* longer = nullptr);

/// Why this is not the sound of a harp; nothing when it may be.
[[nodiscard]] std::optional<files::Trouble> no_harp(const hear::Heard& heard, const std::string& name);

}  // namespace lw::listen
