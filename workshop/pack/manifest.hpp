// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is in a pack: every file with its size, its SHA-256 and the recipe it was made from. Written as
// manifest.json for programs and SHA256SUMS for `sha256sum -c`; read back to know what need not be made
// again.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lw::pack {

inline constexpr std::string_view manifest_name = "manifest.json";
inline constexpr std::string_view sums_name = "SHA256SUMS";

struct Entry {
    std::string path;  // inside the pack, with `/`
    std::string what;  // `practice audio of Porch Light Walkdown, 55 beats a minute`
    std::uint64_t bytes = 0;
    std::string sha256;  // of the file
    std::string recipe;  // SHA-256 of everything it was made from
};

struct Manifest {
    std::string lesson;
    std::vector<Entry> files;  // by path
};

[[nodiscard]] std::string write_manifest(const Manifest& manifest);
[[nodiscard]] std::string write_sums(const Manifest& manifest);
/// Nothing when the bytes are not a manifest of ours; paths that leave the pack are not taken.
[[nodiscard]] std::optional<Manifest> read_manifest(std::string_view bytes);

}  // namespace lw::pack
