// SPDX-License-Identifier: GPL-3.0-or-later
//
// Making a pack: every product has a recipe, the hash of all it is made from. What the previous pack holds
// under the same recipe is taken over, the rest is made, by as many workers as the machine has cores; all of
// it in a folder aside that takes the old pack's place in one step. Interrupted or failed, the old pack stays
// as it was. Files that somebody else put into the old pack, or changed there, are carried over into its
// folder `kept`.
#pragma once

#include <atomic>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "workshop/files/disk.hpp"
#include "workshop/pack/manifest.hpp"

namespace lw::pack {

struct Product {
    std::string path;
    std::string what;
    std::string recipe;  // see `recipe_of`
};

/// Products that are made in one go, because they share the work (one rendering, several encodings).
struct Batch {
    std::vector<Product> products;
    /// Makes all of them; either gives their bytes in the order of `products` or writes the files itself into
    /// `folder` and gives nothing. Called from any thread.
    std::function<files::Result<std::vector<std::string>>(const files::Path& folder,
                                                          const std::atomic<bool>& stop)>
        make;
    double weight = 1.0;  // rough cost, heaviest first keeps all cores busy to the end
};

struct Plan {
    std::string lesson;
    std::vector<Batch> batches;
};

/// Hash of the parts a product depends on, the program itself among them; parts cannot run into one another.
[[nodiscard]] std::string recipe_of(const std::vector<std::string_view>& parts);

struct Outcome {
    Manifest manifest;
    std::size_t made = 0;
    std::size_t taken_over = 0;
    std::vector<std::string> kept;  // files of somebody else, now under `kept/`
};

using ProgressSink = std::function<void(std::size_t done, std::size_t all, std::string_view now)>;

[[nodiscard]] files::Result<Outcome> make_pack(files::Disk& disk, const Plan& plan, const files::Path& target,
                                               const ProgressSink& progress, const std::atomic<bool>& stop);

}  // namespace lw::pack
