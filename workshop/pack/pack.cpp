// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/pack.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <mutex>
#include <numeric>
#include <optional>
#include <set>
#include <thread>

#include "workshop/files/digest.hpp"

namespace lw::pack {
namespace {

namespace fs = std::filesystem;
using files::Path;
using files::Result;
using files::Trouble;

/// The pack that lies there already: which recipe gave which file, as long as the file is still what it was.
struct Previous {
    std::map<std::string, Entry> by_recipe;
    std::vector<std::string> foreign;  // paths that are not ours, or no longer
};

Result<Previous> look_at(const Path& target) {
    Previous previous;
    std::error_code error;
    if (!fs::is_directory(target, error)) return previous;
    std::map<std::string, Entry> ours;
    bool is_pack = false;
    if (const auto bytes = files::read_file(target / manifest_name)) {
        if (auto manifest = read_manifest(*bytes)) {
            is_pack = true;
            for (Entry& e : manifest->files) ours.emplace(e.path, std::move(e));
        }
    }
    for (fs::recursive_directory_iterator it{target, error}, end; !error && it != end; it.increment(error)) {
        if (it->is_directory(error) && !it->is_symlink(error)) continue;
        // The entry's own place: a link is never followed, or it would lead out of the pack.
        const std::string path = it->path().lexically_relative(target).generic_string();
        if (is_pack && (path == manifest_name || path == sums_name)) continue;
        const auto known = ours.find(path);
        if (known != ours.end() && !it->is_symlink(error)) {
            const auto bytes = files::read_file(it->path());
            if (bytes && files::sha256(*bytes) == known->second.sha256) {
                previous.by_recipe.emplace(known->second.recipe, known->second);
                continue;
            }
        }
        previous.foreign.push_back(path);
    }
    if (error)
        return tl::make_unexpected(
            Trouble{fmt::format("cannot look into {}: {}", target.string(), error.message()),
                    "Choose another folder with --into."});
    if (!is_pack && !previous.foreign.empty())
        return tl::make_unexpected(Trouble{fmt::format("{} holds files that are not a pack, {} among them",
                                                       target.string(), previous.foreign.front()),
                                           "Choose an empty folder, or a new one, with --into."});
    std::sort(previous.foreign.begin(), previous.foreign.end());
    return previous;
}

/// A name under `kept/` that nothing else has.
std::string kept_name(const std::string& path, const std::set<std::string>& taken) {
    const std::string plain = path.rfind("kept/", 0) == 0 ? path : "kept/" + path;
    std::string name = plain;
    for (int i = 2; taken.count(name) != 0; ++i) {
        const Path p{plain};
        name = (p.parent_path() / fmt::format("{}-{}{}", p.stem().string(), i, p.extension().string()))
                   .generic_string();
    }
    return name;
}

/// Hands out batches to workers until all are made, one fails, or somebody says stop.
class Workers {
  public:
    Workers(files::StagedFolder& stage, const ProgressSink& progress, const std::atomic<bool>& stop,
            std::size_t all, std::size_t done)
        : stage_(stage), progress_(progress), stop_(stop), all_(all), done_(done) {}

    Result<std::vector<Entry>> run(const std::vector<const Batch*>& batches) {
        const std::size_t count =
            std::min<std::size_t>(std::max(1U, std::thread::hardware_concurrency()), batches.size());
        {
            std::vector<std::jthread> threads;
            for (std::size_t i = 0; i < count; ++i) threads.emplace_back([this, &batches] { work(batches); });
        }
        if (trouble_) return tl::make_unexpected(*trouble_);
        return std::move(entries_);
    }

  private:
    void work(const std::vector<const Batch*>& batches) {
        for (std::size_t i = next_++; i < batches.size() && !stop_ && !failed_; i = next_++) {
            const Batch& batch = *batches[i];
            if (auto entries = make(batch)) {
                const std::lock_guard lock{mutex_};
                done_ += batch.products.size();
                for (Entry& e : *entries) entries_.push_back(std::move(e));
                if (progress_) progress_(done_, all_, batch.products.front().path);
            } else {
                const std::lock_guard lock{mutex_};
                failed_ = true;
                if (!trouble_) trouble_ = entries.error();
            }
        }
    }

    Result<std::vector<Entry>> make(const Batch& batch) {
        const auto made = batch.make(stage_.folder(), stop_);
        if (!made) return tl::make_unexpected(made.error());
        std::vector<Entry> entries;
        for (std::size_t i = 0; i < batch.products.size(); ++i) {
            const Product& product = batch.products[i];
            std::string read_back;
            std::string_view bytes;
            if (made->empty()) {
                auto from_disk = files::read_file(stage_.folder() / product.path);
                if (!from_disk) return tl::make_unexpected(from_disk.error());
                read_back = *std::move(from_disk);
                bytes = read_back;
            } else {
                bytes = (*made)[i];
                if (const auto done = stage_.write(product.path, bytes); !done)
                    return tl::make_unexpected(done.error());
            }
            entries.push_back(
                {product.path, product.what, bytes.size(), files::sha256(bytes), product.recipe});
        }
        return entries;
    }

    files::StagedFolder& stage_;
    const ProgressSink& progress_;
    const std::atomic<bool>& stop_;
    const std::size_t all_;
    std::size_t done_;
    std::atomic<std::size_t> next_{0};
    std::atomic<bool> failed_{false};
    std::mutex mutex_;
    std::vector<Entry> entries_;
    std::optional<Trouble> trouble_;
};

}  // namespace

std::string recipe_of(const std::vector<std::string_view>& parts) {
    // The program is part of every recipe: a new version makes everything anew.
    static const std::string program = [] {
        const auto bytes = files::read_file("/proc/self/exe");
        return bytes ? files::sha256(*bytes) : std::string{"unknown"};
    }();
    std::string all = program;
    for (const std::string_view part : parts) all += fmt::format("\n{}:{}", part.size(), part);
    return files::sha256(all);
}

Result<Outcome> make_pack(files::Disk& disk, const Plan& plan, const Path& target,
                          const ProgressSink& progress, const std::atomic<bool>& stop) {
    auto previous = look_at(target);
    if (!previous) return tl::make_unexpected(previous.error());
    auto stage = files::StagedFolder::begin(disk, target);
    if (!stage) return tl::make_unexpected(stage.error());

    Outcome outcome;
    std::set<std::string> names{std::string{manifest_name}, std::string{sums_name}};
    std::vector<const Batch*> to_make;
    std::size_t all = 0;
    for (const Batch& batch : plan.batches) {
        all += batch.products.size();
        for (const Product& p : batch.products) names.insert(p.path);
        const bool all_there =
            std::all_of(batch.products.begin(), batch.products.end(),
                        [&](const Product& p) { return previous->by_recipe.count(p.recipe) != 0; });
        if (!all_there) {
            to_make.push_back(&batch);
            continue;
        }
        for (const Product& p : batch.products) {
            const Entry& old = previous->by_recipe.at(p.recipe);
            if (const auto done = stage->share(target / old.path, p.path); !done)
                return tl::make_unexpected(done.error());
            outcome.manifest.files.push_back({p.path, p.what, old.bytes, old.sha256, p.recipe});
            ++outcome.taken_over;
        }
    }
    std::stable_sort(to_make.begin(), to_make.end(),
                     [](const Batch* a, const Batch* b) { return a->weight > b->weight; });

    Workers workers{*stage, progress, stop, all, outcome.taken_over};
    auto made = workers.run(to_make);
    if (!made) return tl::make_unexpected(made.error());
    if (stop)
        return tl::make_unexpected(
            Trouble{"stopped before the pack was whole", "What was there before is as it was."});
    outcome.made = made->size();
    for (Entry& e : *made) outcome.manifest.files.push_back(std::move(e));
    std::sort(outcome.manifest.files.begin(), outcome.manifest.files.end(),
              [](const Entry& a, const Entry& b) { return a.path < b.path; });

    for (const std::string& path : previous->foreign) {
        const std::string name = kept_name(path, names);
        names.insert(name);
        if (const auto done = stage->carry(target / path, name); !done)
            return tl::make_unexpected(done.error());
        outcome.kept.push_back(name);
    }

    outcome.manifest.lesson = plan.lesson;
    if (const auto done = stage->write(Path{manifest_name}, write_manifest(outcome.manifest)); !done)
        return tl::make_unexpected(done.error());
    if (const auto done = stage->write(Path{sums_name}, write_sums(outcome.manifest)); !done)
        return tl::make_unexpected(done.error());
    if (const auto done = stage->swap_in(); !done) return tl::make_unexpected(done.error());
    return outcome;
}

}  // namespace lw::pack
