// SPDX-License-Identifier: GPL-3.0-or-later
//
// Everything that was heard, as one JSON object that is written while it is heard:
//
//     {"command":"listen","harp_key":"C","tuning_hz":440.0,"tempo":92.1,"position":2,"meter":"4/4","feel":"swing",
//      "harps":[["C",0.91],["F",0.06]],
//      "notes":[{"onset":s,"offset":s,"hole":4,"holes":[4],"breath":"draw","bend":1.0,"bend_start":1.0,
//                "bend_path":[[t,semitones]],"joined":false,"midi":73.0,"beat":"7/3","gestures":["dip"],
//                "confidence":0.93}],
//      "f0":[[t,hz]],"check":["bar 2, beat 3: 4d' (sure to 48 %)"],"remarks":["3.0 % of it is clipped: ..."],
//      "made":["a.lick"],"ok":true,"faults":[]}
//
// The pitch of every frame waits in a file without a name until the notes are done, so memory stays the same however
// long the recording is.
#pragma once

#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <vector>

#include "engine/coach/beat.hpp"
#include "workshop/listen/listening.hpp"

namespace lw::listen {

class HearingJson {
  public:
    /// Writes to `out`, which stays open.
    explicit HearingJson(std::FILE* out);
    void begin(const Listened& listened);
    void notes(std::span<const hear::HeardNote> notes, const coach::BeatMap& map);
    void frames(std::span<const hear::Frame> frames);
    /// A file that was written besides.
    void made(const std::string& file) { made_.push_back(file); }
    [[nodiscard]] bool begun() const noexcept { return begun_; }
    /// Ends the object: with what there is to check (of a recording heard as a whole) and to remark, or with the trouble
    /// that ended it too soon. False when something could not be written.
    [[nodiscard]] bool finish(const Listened* listened, const nlohmann::ordered_json& trouble = {});

  private:
    struct Closed {
        void operator()(std::FILE* f) const noexcept { std::fclose(f); }
    };
    std::FILE* out_;
    std::unique_ptr<std::FILE, Closed> pitches_;
    std::vector<std::string> made_;
    bool begun_ = false;
    bool any_note_ = false;
    bool any_frame_ = false;
};

}  // namespace lw::listen
