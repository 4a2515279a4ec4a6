// SPDX-License-Identifier: GPL-3.0-or-later
#include <fcntl.h>
#include <sndfile.h>
#include <unistd.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <cstring>

#include "workshop/listen/decoder.hpp"

namespace lw::listen {
namespace {

struct Closed {
    void operator()(SNDFILE* f) const noexcept { sf_close(f); }
    void operator()(std::FILE* f) const noexcept { std::fclose(f); }
};

/// While one lives, nothing is said on standard error: the MP3 reader under libsndfile prints warnings there and has no
/// switch that libsndfile hands on. What went wrong is seen by the length all the same.
class Hush {
  public:
    Hush() : said_(::fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3)) {
        const int nowhere = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
        if (said_ >= 0 && nowhere >= 0) ::dup2(nowhere, STDERR_FILENO);
        if (nowhere >= 0) ::close(nowhere);
    }
    Hush(const Hush&) = delete;
    Hush& operator=(const Hush&) = delete;
    ~Hush() {
        if (said_ < 0) return;
        ::dup2(said_, STDERR_FILENO);
        ::close(said_);
    }

  private:
    int said_;
};

/// Frames that the head of a WAV promises; libsndfile quietly takes what is there instead. A head whose sizes were never
/// filled in (a recorder that lost power, a stream) promises nothing. Layout: Microsoft and IBM, Multimedia Programming
/// Interface and Data Specifications 1.0, 1991, "Waveform Audio File Format".
std::optional<std::size_t> promised_by_wav(const files::Path& file, std::size_t bytes_a_frame) {
    const std::unique_ptr<std::FILE, Closed> in{std::fopen(file.c_str(), "rb")};
    std::array<unsigned char, 12> head{};
    if (!in || std::fread(head.data(), 1, 12, in.get()) != 12) return std::nullopt;
    if (std::memcmp(head.data(), "RIFF", 4) != 0 || std::memcmp(head.data() + 8, "WAVE", 4) != 0)
        return std::nullopt;
    constexpr int most_chunks = 64;  // before the samples; more is no sound file that anybody made
    for (int chunk = 0; chunk < most_chunks; ++chunk) {
        if (std::fread(head.data(), 1, 8, in.get()) != 8) return std::nullopt;
        const std::uint32_t size = head[4] | std::uint32_t{head[5]} << 8U | std::uint32_t{head[6]} << 16U |
                                   std::uint32_t{head[7]} << 24U;
        if (std::memcmp(head.data(), "data", 4) == 0) {
            if (size == 0 || size >= 0xFFFFFF00U || bytes_a_frame == 0) return std::nullopt;
            return size / bytes_a_frame;
        }
        if (std::fseek(in.get(), static_cast<long>(size) + static_cast<long>(size % 2), SEEK_CUR) != 0)
            return std::nullopt;
    }
    return std::nullopt;
}

std::size_t bytes_a_sample(int format) noexcept {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_U8:
            return 1;
        case SF_FORMAT_PCM_16:
            return 2;
        case SF_FORMAT_PCM_24:
            return 3;
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_FLOAT:
            return 4;
        case SF_FORMAT_DOUBLE:
            return 8;
        default:
            return 0;  // packed: what a frame takes is not known
    }
}

class SoundFile final : public Decoder {
  public:
    SoundFile(SNDFILE* file, const SF_INFO& info, std::optional<std::size_t> promised)
        : file_(file), info_(info), promised_(promised) {}
    ~SoundFile() override {
        const Hush hush;
        file_.reset();
    }
    int rate() const noexcept override { return info_.samplerate; }
    int channels() const noexcept override { return info_.channels; }
    std::optional<std::size_t> frames() const noexcept override {
        if (promised_) return promised_;
        // The length of an MP3 is a guess in some files, and a pipe has none.
        if (info_.frames <= 0 || info_.frames == SF_COUNT_MAX) return std::nullopt;
        return static_cast<std::size_t>(info_.frames);
    }
    std::size_t read(std::span<float> samples) override {
        const Hush hush;
        const auto wanted = static_cast<sf_count_t>(samples.size()) / info_.channels;
        const sf_count_t got = sf_readf_float(file_.get(), samples.data(), wanted);
        return got > 0 ? static_cast<std::size_t>(got) : 0;
    }
    bool go_to(std::size_t frame) override {
        const Hush hush;
        if (info_.seekable == 0) return false;
        return sf_seek(file_.get(), static_cast<sf_count_t>(frame), SEEK_SET) ==
               static_cast<sf_count_t>(frame);
    }
    std::string complaint() override {
        return sf_error(file_.get()) == SF_ERR_NO_ERROR ? "" : "parts of it are damaged";
    }

  private:
    std::unique_ptr<SNDFILE, Closed> file_;
    SF_INFO info_;
    std::optional<std::size_t> promised_;
};

}  // namespace

std::unique_ptr<Decoder> sound_file(const files::Path& file) {
    const Hush hush;
    SF_INFO info{};
    SNDFILE* opened = sf_open(file.c_str(), SFM_READ, &info);
    if (opened == nullptr) return nullptr;
    std::optional<std::size_t> promised;
    if ((info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_WAV)
        promised =
            promised_by_wav(file, bytes_a_sample(info.format) * static_cast<std::size_t>(info.channels));
    return std::make_unique<SoundFile>(opened, info, promised);
}

}  // namespace lw::listen
