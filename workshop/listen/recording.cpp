// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/listen/recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "workshop/listen/decoder.hpp"

namespace lw::listen {
namespace {

constexpr int lowest_rate = 8000, highest_rate = 192000;
constexpr int most_channels = 64;
/// So much is heard before it is said which channels count. A dead side hums 40 dB lower than a live one.
constexpr double probe_s = 5.0;
constexpr double dead_below = 1e-4;  // of the power of the loudest channel
constexpr std::size_t block_frames = 8192;
/// Less holds no note: the shortest that is told is an attack and some frames of the ear. Common practice, no source:
/// sixteenths at 150 beats a minute last 0.1 s.
constexpr double shortest_s = 0.1;

/// Why neither libsndfile nor ffmpeg finds sound in a file; `why` is the decoder's.
tl::unexpected<files::Trouble> no_film(const files::Path& file, const std::string& why) {
    if (why.find("has no sound") != std::string::npos)
        return tl::unexpected(files::Trouble{fmt::format("{} has no sound", file.string()),
                                             "Name a recording, or a film with a sound track."});
    if (why.find("cut off") != std::string::npos)
        return tl::unexpected(files::Trouble{fmt::format("{} is no whole film: {}", file.string(), why),
                                             "Copy it again, or export it again."});
    return tl::unexpected(
        files::Trouble{fmt::format("{} is neither a sound file nor a film with sound", file.string()),
                       "WAV, FLAC, OGG, MP3 and films can be heard; check that it is the file you mean."});
}

}  // namespace

struct Recording::Inside {
    std::unique_ptr<Decoder> decoder;
    std::vector<float> probe;  // interleaved, from the cut's beginning
    std::size_t probe_at = 0;  // frames of it that were handed out
    std::vector<double> gain;  // by channel
    std::vector<float> block;
    std::size_t left = 0;  // frames of the cut still to come
    std::optional<std::size_t> promised;
    std::size_t given = 0;
    std::size_t broken = 0;        // samples that were no numbers
    std::size_t first_broken = 0;  // from the cut's beginning
    bool cut_end = false;
    bool ended = false;

    /// Frames that follow, from the probe first.
    std::size_t next(std::span<float> interleaved) {
        const auto channels = static_cast<std::size_t>(decoder->channels());
        const std::size_t have = probe.size() / channels - probe_at;
        if (have > 0) {
            const std::size_t n = std::min(have, interleaved.size() / channels);
            std::copy_n(probe.begin() + static_cast<std::ptrdiff_t>(probe_at * channels), n * channels,
                        interleaved.begin());
            probe_at += n;
            if (probe_at == probe.size() / channels) {
                probe.clear();
                probe.shrink_to_fit();
                probe_at = 0;
            }
            return n;
        }
        return decoder->read(interleaved);
    }

    /// Which channels are mixed. Two that are each other upside down would silence each other: the first is kept.
    void choose_channels() {
        const auto channels = static_cast<std::size_t>(decoder->channels());
        std::vector<double> power(channels, 0.0);
        double product = 0.0;
        for (std::size_t f = 0; f + channels <= probe.size(); f += channels) {
            for (std::size_t c = 0; c < channels; ++c)
                if (std::isfinite(probe[f + c])) power[c] += static_cast<double>(probe[f + c]) * probe[f + c];
            if (channels == 2 && std::isfinite(probe[f]) && std::isfinite(probe[f + 1]))
                product += static_cast<double>(probe[f]) * probe[f + 1];
        }
        const double most = *std::max_element(power.begin(), power.end());
        gain.assign(channels, 0.0);
        double alive = 0.0;
        for (std::size_t c = 0; c < channels; ++c)
            if (power[c] >= dead_below * most) {
                gain[c] = 1.0;
                alive += 1.0;
            }
        if (channels == 2 && alive == 2.0 && product < -0.5 * std::sqrt(power[0] * power[1])) {
            gain[1] = 0.0;
            alive = 1.0;
        }
        for (double& g : gain) g /= alive;
    }
};

Recording::Recording(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Recording::Recording(Recording&&) noexcept = default;
Recording& Recording::operator=(Recording&&) noexcept = default;
Recording::~Recording() = default;

files::Result<Recording> Recording::open(const files::Path& file, const Cut& cut, const std::string& ffmpeg,
                                         const std::atomic<bool>* stop) {
    const auto trouble = [](std::string words, std::string remedy) {
        return tl::unexpected(files::Trouble{std::move(words), std::move(remedy)});
    };
    if (files::real_disk().is_folder(file))
        return trouble(fmt::format("{} is a folder", file.string()), "Name a sound file or a film.");
    if (auto may = files::may_read(file); !may) return tl::unexpected(may.error());
    std::error_code unreadable;
    if (std::filesystem::file_size(file, unreadable) == 0 && !unreadable)
        return trouble(fmt::format("{} is empty", file.string()), "Record it again, or copy it again.");
    auto inside = std::make_unique<Inside>();
    inside->decoder = sound_file(file);
    const bool film = inside->decoder == nullptr;
    if (film) {
        auto opened = film_sound(file, cut.from, ffmpeg, stop);
        if (!opened) return tl::unexpected(opened.error());
        inside->decoder = std::move(*opened);
    }
    const int rate = inside->decoder->rate(), channels = inside->decoder->channels();
    if (rate < lowest_rate || rate > highest_rate)
        return trouble(fmt::format("{} has {} samples a second", file.string(), rate),
                       "From 8000 to 192000 can be heard; convert it first.");
    if (channels < 1 || channels > most_channels)
        return trouble(fmt::format("{} has {} channels", file.string(), channels), "Mix it to stereo first.");

    const auto n = static_cast<std::size_t>(channels);
    const auto frames_of = [&](Seconds s) { return static_cast<std::size_t>(std::max(0.0, s.value) * rate); };
    inside->left = cut.to ? frames_of(*cut.to) - std::min(frames_of(*cut.to), frames_of(cut.from))
                          : static_cast<std::size_t>(-1);
    inside->cut_end = cut.to.has_value();
    if (const auto frames = inside->decoder->frames()) {
        const std::size_t behind = *frames - std::min(*frames, frames_of(cut.from));
        inside->promised = std::min(behind, inside->left);
    }
    inside->block.resize(block_frames * n);
    // A film begins at the cut. Where a sound file cannot go to a place, what lies before is read and dropped.
    const std::size_t before = film ? 0 : frames_of(cut.from);
    if (before > 0 && !inside->decoder->go_to(before))
        for (std::size_t skip = before; skip > 0 && (stop == nullptr || !*stop);) {
            const std::size_t got =
                inside->decoder->read(std::span{inside->block}.first(std::min(skip, block_frames) * n));
            if (got == 0) break;
            skip -= got;
        }
    const auto probed = static_cast<std::size_t>(probe_s * rate);
    inside->probe.resize(probed * n);
    std::size_t got = 0;
    while (got < probed) {
        const std::size_t more = inside->decoder->read(std::span{inside->probe}.subspan(got * n));
        if (more == 0) break;
        got += more;
    }
    inside->probe.resize(got * n);
    if (stop != nullptr && *stop) return trouble("stopped", "Nothing was written.");
    if (got == 0) {
        const std::string why = inside->decoder->complaint();
        if (film && why.empty() && cut.from == Seconds{0.0})
            return trouble(fmt::format("{} holds no sound", file.string()),
                           "Record it again, or copy it again.");
        if (film && !why.empty()) return no_film(file, why);
        if (cut.from > Seconds{0.0})
            return trouble(fmt::format("{} ends before --from {}", file.string(), cut.from.value),
                           "Choose an earlier beginning.");
        return trouble(fmt::format("{} holds no sound{}", file.string(), why.empty() ? "" : ": " + why),
                       "Record it again, or copy it again.");
    }
    // No more than this is asked for, or nothing follows.
    if (static_cast<double>(std::min(got, inside->left)) < shortest_s * rate) {
        const bool is_cut = cut.to || cut.from > Seconds{0.0};
        return trouble(fmt::format("{} is too short to hear a note in: {} lasts less than {} s",
                                   file.string(), is_cut ? "the cut" : "it", shortest_s),
                       is_cut ? "Give --from and --to a whole phrase." : "Record a whole phrase.");
    }
    inside->choose_channels();
    return Recording{std::move(inside)};
}

double Recording::rate() const noexcept {
    return inside_->decoder->rate();
}

std::optional<std::size_t> Recording::length() const noexcept {
    return inside_->promised;
}

std::size_t Recording::read(std::span<float> samples) {
    Inside& in = *inside_;
    const auto channels = static_cast<std::size_t>(in.decoder->channels());
    std::size_t done = 0;
    while (done < samples.size() && in.left > 0 && !in.ended) {
        const std::size_t wanted = std::min({block_frames, samples.size() - done, in.left});
        const std::size_t got = in.next(std::span{in.block}.first(wanted * channels));
        if (got == 0) {
            in.ended = true;
            break;
        }
        for (std::size_t f = 0; f < got; ++f) {
            double sum = 0.0;
            for (std::size_t c = 0; c < channels; ++c)
                if (in.gain[c] != 0.0) sum += in.gain[c] * static_cast<double>(in.block[f * channels + c]);
            if (!std::isfinite(sum)) {
                if (in.broken++ == 0) in.first_broken = in.given + f;
                sum = 0.0;
            }
            samples[done + f] = static_cast<float>(sum);
        }
        done += got;
        in.left -= got;
        in.given += got;
    }
    return done;
}

std::vector<std::string> Recording::complaints() const {
    Inside& in = *inside_;
    std::vector<std::string> all;
    if (in.broken > 0)
        all.push_back(fmt::format(
            "the file is damaged: {} sample{} from {:.2f} s on {} no number{} and taken as silence",
            in.broken, in.broken == 1 ? "" : "s", static_cast<double>(in.first_broken) / rate(),
            in.broken == 1 ? "is" : "are", in.broken == 1 ? "" : "s"));
    if (in.cut_end && in.left == 0) return all;  // what lies behind the cut is not our business
    const std::string why = in.decoder->complaint();
    // Half a second less than promised: MP3 lengths are off by some padding.
    if (in.promised && static_cast<double>(*in.promised) - static_cast<double>(in.given) > 0.5 * rate())
        all.push_back(fmt::format("the file is cut off: it ends after {:.1f} s of the {:.1f} s it promises",
                                  static_cast<double>(in.given) / rate(),
                                  static_cast<double>(*in.promised) / rate()));
    else if (!why.empty())
        all.push_back(why);
    return all;
}

bool is_sound_file(const files::Path& file) {
    return !files::real_disk().is_folder(file) && sound_file(file) != nullptr;
}

}  // namespace lw::listen
