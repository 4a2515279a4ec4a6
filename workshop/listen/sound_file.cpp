// SPDX-License-Identifier: GPL-3.0-or-later
#include <sndfile.h>

#include "workshop/listen/decoder.hpp"

namespace lw::listen {
namespace {

struct Closed {
    void operator()(SNDFILE* f) const noexcept { sf_close(f); }
};

class SoundFile final : public Decoder {
  public:
    SoundFile(SNDFILE* file, const SF_INFO& info) : file_(file), info_(info) {}
    int rate() const noexcept override { return info_.samplerate; }
    int channels() const noexcept override { return info_.channels; }
    std::optional<std::size_t> frames() const noexcept override {
        // The length of an MP3 is a guess in some files, and a pipe has none.
        if (info_.frames <= 0 || info_.frames == SF_COUNT_MAX) return std::nullopt;
        return static_cast<std::size_t>(info_.frames);
    }
    std::size_t read(std::span<float> samples) override {
        const auto wanted = static_cast<sf_count_t>(samples.size()) / info_.channels;
        const sf_count_t got = sf_readf_float(file_.get(), samples.data(), wanted);
        return got > 0 ? static_cast<std::size_t>(got) : 0;
    }
    std::string complaint() override {
        return sf_error(file_.get()) == SF_ERR_NO_ERROR ? "" : sf_strerror(file_.get());
    }

  private:
    std::unique_ptr<SNDFILE, Closed> file_;
    SF_INFO info_;
};

}  // namespace

std::unique_ptr<Decoder> sound_file(const files::Path& file) {
    SF_INFO info{};
    SNDFILE* opened = sf_open(file.c_str(), SFM_READ, &info);
    if (opened == nullptr) return nullptr;
    return std::make_unique<SoundFile>(opened, info);
}

}  // namespace lw::listen
